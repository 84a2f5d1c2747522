//! `evenfield room`

mod new;
mod patches;
mod report;
mod screens;
mod sheet;
mod verify;

use std::error::Error;

use clap::{Args, Subcommand};

use super::{Outcome, print};

#[derive(Args)]
pub(super) struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Writes a room file from what was measured, or from what the screen says of itself
    New(new::Arguments),
    /// Writes a setup picture: scale bar, card outline, tone steps, match strip
    Sheet(sheet::Arguments),
    /// Writes plain pictures to hold a meter to
    Patches(patches::Arguments),
    /// Holds a meter's readings against the room file, and keeps them in a log
    Verify(verify::Arguments),
    /// Says what this room can show, and what its red-green test is worth
    Report(report::Arguments),
    /// Lists the attached screens and what each says of itself (Linux)
    Screens(screens::Arguments),
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    match &arguments.command {
        Command::New(arguments) => new::run(arguments),
        Command::Sheet(arguments) => sheet::run(arguments),
        Command::Patches(arguments) => patches::run(arguments),
        Command::Verify(arguments) => verify::run(arguments),
        Command::Report(arguments) => report::run(arguments),
        Command::Screens(arguments) => screens::run(arguments),
    }
}
