//! `evenfield room sheet`
//!
//! What is found on the picture goes into the room file with `room set`, which has a flag for each thing on it.

use std::error::Error;

use clap::Args;

use super::super::arguments::{OutputArgument, RoomArgument};
use super::super::{help, named, png_bytes};
use super::{Outcome, print};
use crate::chart::FieldLight;
use crate::print::SetupSheet;

/// A picture for the whole screen that tells its size, its tone curve and its match without an instrument.
#[derive(Args)]
#[command(after_help = help::after(help::ROOM_SHEET, "room sheet --room room.toml --out sheet.png"))]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    #[command(flatten)]
    output: OutputArgument,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let (room, name) = arguments.room.load()?;
    let target = arguments.output.target()?;
    if target.ending() != "png" {
        return Err(
            format!("{}: a setup sheet is a PNG: name a file that ends in .png", target.named()).into()
        );
    }
    let sheet = SetupSheet::new(&room, &FieldLight::new(&room.display, None)?);
    target.write(&png_bytes(&sheet.scene, &room)?)?;
    let greens: Vec<String> = sheet.greens.iter().map(ToString::to_string).collect();
    print(&format!(
        "{}: setup sheet for {name}\nShow it full screen, at 100 %. What you find on it goes into the room file with `evenfield room set`.\nbar: {} px; match strip: green codes {}",
        named(target.named()),
        sheet.bar_px,
        greens.join(", ")
    ));
    Ok(Outcome::Fine)
}
