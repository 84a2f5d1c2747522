//! `evenfield room screens`
//!
//! It reads what the kernel keeps under `/sys/class/drm`, where there is one folder for each connector; other systems have none,
//! and then it says how to go on without.

use std::error::Error;
use std::path::{Path, PathBuf};

use clap::Args;

use super::super::{help, named};
use super::{Outcome, print};
use crate::room::{Edid, EdidError};

/// Each line names the connector, the preferred pixels, the claimed size, and the file for `room new --edid`.
#[derive(Args)]
#[command(after_help = help::after(help::ROOM_SCREENS, "room screens"))]
pub(super) struct Arguments {
    /// Where the system keeps a folder for each connector, with the screen’s EDID in it
    #[arg(long, value_name = "FOLDER", default_value = "/sys/class/drm")]
    connectors: PathBuf,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let screens = attached(&arguments.connectors);
    if screens.is_empty() {
        let folder = arguments.connectors.display();
        return Err(format!(
            "{folder}: this system lists no attached screen there: measure the width of the lit picture with a rule and give --pixels and --width to `evenfield room new`"
        )
        .into());
    }
    let lines = screens.iter().map(|(connector, file, bytes)| {
        let edid = Edid::parse(bytes);
        let colours = edid.as_ref().map_or_else(|_| String::new(), |edid| format!("\n  {}", colours(edid)));
        format!("{connector}: {}{colours}\n  --edid {}", words(&edid), named(file))
    });
    print(&lines.collect::<Vec<_>>().join("\n"));
    Ok(Outcome::Fine)
}

/// Connectors with a screen, by name: an empty EDID means that nothing is attached.
fn attached(folder: &Path) -> Vec<(String, PathBuf, Vec<u8>)> {
    let folders = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut screens: Vec<(String, PathBuf, Vec<u8>)> = folders
        .filter_map(|entry| {
            let file = entry.path().join("edid");
            let bytes = Edid::bytes(&file).ok().filter(|bytes| !bytes.is_empty())?;
            Some((entry.file_name().to_string_lossy().into_owned(), file, bytes))
        })
        .collect();
    screens.sort();
    screens
}

fn words(edid: &Result<Edid, EdidError>) -> String {
    let claimed = edid
        .as_ref()
        .map_err(Clone::clone)
        .and_then(|edid| Ok((edid.screen_pixels()?, edid.claimed_size()?)));
    match claimed {
        Ok(([columns, rows], [width, height])) => format!("{columns} × {rows} px, claims {width} × {height}"),
        Err(error) => format!("not to be trusted: its EDID {error}"),
    }
}

/// What it claims of its colours, which no room file takes.
fn colours(edid: &Edid) -> String {
    let gamma = edid.gamma.map_or_else(|| "no gamma".into(), |gamma| format!("gamma {gamma:.2}"));
    let named = ["red", "green", "blue", "white"].into_iter().zip(edid.chromaticities);
    let all: Vec<String> = named.map(|(name, [x, y])| format!("{name} {x:.3} {y:.3}")).collect();
    format!("also claims {gamma}, {}: not taken", all.join(", "))
}
