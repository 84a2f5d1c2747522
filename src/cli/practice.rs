//! `evenfield practice`
//!
//! The seed makes the class: whoever writes the page with the same number meets the same patients.

use std::error::Error;

use clap::Args;

use super::arguments::{OutputArgument, RoomArgument};
use super::{Outcome, help, named, say, working};
use crate::text;
use crate::web::practice::Class;
use crate::web::practice_page;

/// One HTML file with simulated patients, on whom a learner practises the balance and is held against the rule.
#[derive(Args)]
#[command(after_help = help::after(help::PRACTICE, "practice --room room.toml --out practice.html"))]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// Other patients; the same number gives a whole class the same ones
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// What the class is called; codes of its scores hold for copies with the same word, seed and room
    #[arg(long, value_name = "WORD", value_parser = class_word)]
    class: Option<String>,
    #[command(flatten)]
    output: OutputArgument,
}

/// Maximum number of characters of a class' word: it stands in a line with others. This project's own decision.
const MOST_OF_A_WORD: usize = 30;

fn class_word(typed: &str) -> Result<String, text::LineError> {
    text::line(typed, MOST_OF_A_WORD).map(|()| typed.trim().to_owned())
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let (room, name) = arguments.room.load()?;
    let target = arguments.output.html_target()?;
    // It takes some seconds.
    let bar = working("working out what the patients see");
    let class = Class { seed: arguments.seed, word: arguments.class.clone() };
    let page = practice_page(&room, &class)?;
    drop(bar);
    target.write(page.as_bytes())?;
    say(&format!(
        "{}: simulated patients before {name}, class {}\nOpen it in a browser; ? shows the keys. \
         #patient=7&level=noisy behind its address opens that patient.\n{SAY}",
        named(target.named()),
        class.name()
    ));
    Ok(Outcome::Fine)
}

const SAY: &str = "\
Simulated patients are no evidence about real eyes: most of their numbers are assumed. The page is not for examination.";
