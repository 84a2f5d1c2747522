//! `evenfield room`
//!
//! `new` makes a room file, `set` changes it, `report` explains it; `sheet`, `patches` and `verify` are for finding out what goes
//! into it; `screens` lists what is attached. Each checks the file as a [`Room`], so a value that cannot be is
//! refused by all in the same words.

mod new;
mod patches;
mod report;
mod screens;
mod set;
mod sheet;
mod size;
mod verify;

use std::error::Error;
use std::path::Path;

use clap::{Args, Subcommand};

use super::{Outcome, help, named, print};
use crate::room::{Edit, Room, RoomFile};
use crate::store::Target;

#[derive(Args)]
#[command(
    after_help = help::after(help::ROOM, "room new --pixels 1920x1080 --width 527mm --distance 3.2m --out room.toml")
)]
pub(super) struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Writes a room file from what was measured, or from what the screen says of itself
    New(new::Arguments),
    /// Changes single values of a room file, and keeps the rest and its comments
    Set(Box<set::Arguments>),
    /// Writes a setup picture: scale bar, card outline, tone steps, match strip
    Sheet(sheet::Arguments),
    /// Writes plain pictures to hold a meter to
    Patches(patches::Arguments),
    /// Holds a meter’s readings against the room file, and keeps them in a log
    Verify(verify::Arguments),
    /// Says what this room can show, and what its red-green test is worth
    Report(report::Arguments),
    /// Lists the attached screens and what each says of itself (Linux)
    Screens(screens::Arguments),
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    match &arguments.command {
        Command::New(arguments) => new::run(arguments),
        Command::Set(arguments) => set::run(arguments),
        Command::Sheet(arguments) => sheet::run(arguments),
        Command::Patches(arguments) => patches::run(arguments),
        Command::Verify(arguments) => verify::run(arguments),
        Command::Report(arguments) => report::run(arguments),
        Command::Screens(arguments) => screens::run(arguments),
    }
}

/// Puts other values into a room file, whole or not at all, and keeps all else that it holds, be it that another run of this
/// program put it there just now.
fn rewrite(
    path: &Path,
    wanted: impl FnOnce(&RoomFile) -> Result<RoomFile, Box<dyn Error>>,
) -> Result<Edit, Box<dyn Error>> {
    let target = Target::replacing(path);
    let text = Room::text(path)?;
    let target = target?;
    let before = Room::from_toml(&text, target.named())?;
    let edit = Edit::new(&text, target.named(), wanted(before.file())?)?;
    if !edit.changes.is_empty() {
        target.write(edit.text.as_bytes())?;
    }
    Ok(edit)
}

/// A path as a shell takes it.
fn quoted(path: &Path) -> String {
    let path = named(path);
    if path.contains(char::is_whitespace) { format!("\"{path}\"") } else { path }
}
