//! `evenfield room verify`

use std::error::Error;
use std::path::{Path, PathBuf};

use clap::Args;

use super::super::arguments::{self, RoomArgument};
use super::{Outcome, print};
use crate::chart::{FieldColours, Request};
use crate::print::Verification;
use crate::quantity::Luminance;
use crate::room::Room;
use crate::store::append_line;

/// Holds what a photometer reads at the patient's eye against what the room file predicts, says what to change, and
/// keeps a dated line in the room's log.
#[derive(Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// The red field as read, in cd/m²
    #[arg(long, value_name = "CD_M2", value_parser = arguments::luminance, allow_hyphen_values = true)]
    red: Luminance,
    /// The green field as read, in cd/m²
    #[arg(long, value_name = "CD_M2", value_parser = arguments::luminance, allow_hyphen_values = true)]
    green: Luminance,
    /// The black of the screen as read, in cd/m²
    #[arg(long, value_name = "CD_M2", value_parser = arguments::luminance, allow_hyphen_values = true)]
    black: Option<Luminance>,
    /// The standard uncertainty of one reading in per cent; otherwise as the room file says, or 3
    #[arg(long, value_name = "PERCENT", value_parser = percent, allow_hyphen_values = true)]
    meter: Option<f64>,
    /// The day of the readings, such as 2026-03-31; today where it is not given
    #[arg(long, value_name = "DATE", value_parser = arguments::date)]
    date: Option<time::Date>,
    /// Where to keep the log; beside the room file where it is not given
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Print the comparison as JSON
    #[arg(long)]
    json: bool,
}

fn percent(text: &str) -> Result<f64, String> {
    let value = text.parse::<f64>().ok().filter(|value| (0.1..=50.0).contains(value));
    value
        .ok_or_else(|| format!("{text:?} is not within 0.1 to 50: write the meter's uncertainty in per cent"))
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let (room, name) = arguments.room.load()?;
    let colours = FieldColours::choose(&Request::new(Vec::new()), &room.display)?;
    let fields = [colours.left.codes, colours.right.unwrap_or(colours.left).codes];
    let own = room.display.meter();
    let (meter, given) = arguments.meter.map_or((own.standard, own.given), |percent| (percent / 100.0, true));
    let readings = [arguments.red, arguments.green];
    let found = Verification::new(&room, fields, readings, arguments.black, meter);
    let log = arguments.log.clone().or_else(|| arguments.room.path().map(|path| path.with_extension("log")));
    if arguments.json {
        print(&serde_json::to_string_pretty(&found)?);
    } else {
        let good = format!(
            "The ± takes a reading as good to {:.1} %, {}.",
            meter * 100.0,
            if given { "as given" } else { "assumed: give --meter" }
        );
        print(&format!("{}\n{good}", said(&room, &name, &found)));
    }
    // Last, so that a log that cannot be written costs nobody the comparison.
    let kept = match log {
        Some(log) => keep(&log, arguments.date.unwrap_or_else(arguments::today), &found)?,
        None => "No log is kept for the built-in room: name one with --log.".into(),
    };
    if !arguments.json {
        print(&format!("\n{kept}"));
    }
    Ok(if found.fails() { Outcome::Failed } else { Outcome::Fine })
}

/// Adds a line to the log and says where.
fn keep(log: &Path, date: time::Date, found: &Verification) -> Result<String, Box<dyn Error>> {
    append_line(log, &format!("{date} {}", found.line()))?;
    Ok(format!("{}: one line added", log.display()))
}

fn said(room: &Room, name: &str, found: &Verification) -> String {
    let row = |what: &str, [expected, read]: [f64; 2]| {
        let off = (read / expected - 1.0) * 100.0;
        format!("{what:6} {expected:8.2} {read:8.2}   {off:+.1} %").replace('-', "−")
    };
    let mut said = vec![format!("room: {name}"), String::new(), "cd/m²  expected     read".into()];
    said.push(row("red", found.red_cd_m2));
    said.push(row("green", found.green_cd_m2));
    said.extend(found.black_cd_m2.map(|black| row("black", black)));
    let [luminance, tone] = found.predicted_from;
    said.push(format!("expected: luminances {luminance}, tone curve {tone}"));
    said.push(String::new());
    said.push(found.verdict.clone());
    said.extend(found.advice.iter().cloned());
    if room.viewing.mirror {
        said.push("Readings count through the mirror, at the patient's eye.".into());
    }
    said.join("\n")
}
