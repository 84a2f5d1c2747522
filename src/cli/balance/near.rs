//! The near add at the keyboard.

use std::error::Error;

use super::both::{add, length, score};
use super::form::{Field, Form};
use super::raw::Raw;
use crate::balance::words::NEAR_HOW;
use crate::balance::{Answer, Near};
use crate::quantity::Length;

/// What stands for no value where one can be left out.
const NONE: &str = "none";

/// Asks for a near add; none where there is none to note.
pub(super) fn ask_near(raw: &Raw, head: [String; 2]) -> Result<Option<Near>, Box<dyn Error>> {
    let mut form = Form::new(raw, head, NEAR_HOW.into());
    let title = "Near add: from the eyes to what this patient reads or works at, such as 40cm";
    let field = Field { title, choices: &[], usual: Some(NONE) };
    let Some(Some(distance)) = form.ask(&field, |text| optional(text, length))? else { return Ok(None) };
    let field = Field { title: "The add to both eyes, such as +2.25", choices: &[], usual: None };
    let Some(add) = form.ask(&field, add)? else { return Ok(None) };
    let title = "The smallest line read through it, such as 20/25";
    let field = Field { title, choices: &[], usual: Some(NONE) };
    let Some(acuity) = form.ask(&field, |text| optional(text, score))? else { return Ok(None) };
    let title = "Clear from and to, such as 33cm,50cm";
    let field = Field { title, choices: &[], usual: Some(NONE) };
    let near = |clear| Near { distance, add, acuity, clear, red_green: None }.checked();
    let read = |text: &str| {
        let clear = optional(text, range)?;
        near(clear).map_err(|error| error.to_string())
    };
    let Some(near) = form.ask(&field, read)? else { return Ok(None) };
    let title = "Clearer at that distance: red, green, same or unsure";
    let field = Field { title, choices: &[], usual: Some(NONE) };
    let answer = |text: &str| {
        let found = Answer::ALL.into_iter().find(|one| one.name() == text);
        found.ok_or_else(|| format!("{text:?} is none of these: write red, green, same, unsure or none"))
    };
    let red_green = form.ask(&field, |text| optional(text, answer))?;
    Ok(red_green.map(|red_green| Near { red_green, ..near }))
}

/// Two lengths, the nearer one first.
fn range(text: &str) -> Result<[Length; 2], String> {
    let Some((from, to)) = text.split_once(',') else {
        return Err(format!("{text:?} is no range: write both places, such as 33cm,50cm"));
    };
    let end = |text: &str| length(text.trim()).map_err(|error| error.to_string());
    Ok([end(from)?, end(to)?])
}

/// A value, or none.
fn optional<T, E: std::fmt::Display>(
    text: &str,
    read: impl Fn(&str) -> Result<T, E>,
) -> Result<Option<T>, String> {
    if text.eq_ignore_ascii_case(NONE) {
        return Ok(None);
    }
    read(text).map(Some).map_err(|error| error.to_string())
}
