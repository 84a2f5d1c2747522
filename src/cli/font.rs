//! `evenfield font`
//!
//! It prints which character stands for which letter, which no name of a font could say.

use std::error::Error;

use clap::Args;

use super::arguments::OutputArgument;
use super::{Outcome, help, named, print};
use crate::export::font::{characters, truetype};

/// The letters as a TrueType font to install, for slides and handouts: its size is the letters’ height.
#[derive(Args)]
#[command(after_help = help::after(help::FONT, "font --out evenfield-letters.ttf"))]
pub(super) struct Arguments {
    #[command(flatten)]
    output: OutputArgument,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let target = arguments.output.target()?;
    if target.ending() != "ttf" {
        return Err(
            format!("{}: a font is a TrueType file: name a file that ends in .ttf", target.named()).into()
        );
    }
    target.write(&truetype()?)?;
    let stands: Vec<String> = characters()
        .into_iter()
        .map(|(letter, stands)| {
            let stands: Vec<String> = stands.iter().map(ToString::to_string).collect();
            format!("{}: {}", letter.name(), stands.join(" or "))
        })
        .collect();
    print(&format!(
        "{}: {} letters, by what you type\n{}\nFor slides and handouts, not for examination: what shows a font draws its edges.",
        named(target.named()),
        stands.len(),
        stands.join("\n")
    ));
    Ok(Outcome::Fine)
}
