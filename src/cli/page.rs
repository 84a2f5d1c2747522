//! `evenfield page`
//!
//! The page is complete when it is written: room, letters and light are those of now, and a room file that changes needs a new
//! page.

use std::error::Error;

use clap::Args;

use super::arguments::{self, OutputArgument, RoomArgument};
use super::{Outcome, help, named, print};
use crate::SUPERVISION;
use crate::light::Side;
use crate::optotype::LetterSet;
use crate::web::exam_page;

/// One HTML file for the exam screen, opened in an ordinary browser, that shows the room’s charts from the keyboard.
#[derive(Args)]
#[command(after_help = help::after(help::PAGE, "page --room room.toml --out room.html"))]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// The letters
    #[arg(long, default_value = "sloan", value_parser = arguments::letter_set())]
    letters: LetterSet,
    /// Where red lies when it opens, as the patient sees it
    #[arg(long, value_name = "SIDE", default_value = "left", value_parser = arguments::side())]
    red: Side,
    #[command(flatten)]
    output: OutputArgument,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let (room, name) = arguments.room.load()?;
    let target = arguments.output.html_target()?;
    let page = exam_page(&room, arguments.letters, arguments.red)?;
    target.write(page.as_bytes())?;
    print(&format!(
        "{}: page for {name}\nOpen it in a browser on that screen, at 100 %, full screen (f); ? shows the keys.\n{SAY}\n{SUPERVISION}",
        named(target.named())
    ));
    Ok(Outcome::Fine)
}

const SAY: &str = "\
The page cannot see night colour, HDR or auto-brightness, and a browser may remap colours: meter its own patches (p).";
