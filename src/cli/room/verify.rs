//! `evenfield room verify`
//!
//! The comparison is printed before anything is written, so that a log that cannot be written costs nobody the readings.

use std::error::Error;
use std::path::PathBuf;

use clap::Args;

use super::super::arguments::{self, RoomArgument};
use super::super::{columns, help, named, say};
use super::size::millionths;
use super::{Outcome, print, rewrite};
use crate::chart::FieldLight;
use crate::quantity::Luminance;
use crate::report::Verification;
use crate::room::{MatchTable, Room, RoomFile};
use crate::store::append_after;

/// Holds what a photometer reads at the patient’s eye against what the room file predicts, says what to change, and
/// keeps a dated line in the room’s log.
#[derive(Args)]
#[command(after_help = help::after(help::ROOM_VERIFY, "room verify --room room.toml --red 50.4 --green 50.6"))]
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
    #[arg(long, value_name = "PERCENT", value_parser = arguments::meter_percent, allow_hyphen_values = true)]
    meter: Option<f64>,
    /// The day of the readings, such as 2026-03-31; today where it is not given
    #[arg(long, value_name = "DATE", value_parser = arguments::date)]
    date: Option<time::Date>,
    /// Where to keep the log; beside the room file where it is not given
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Also put the readings into the room file, so that reports, charts and checks count them
    #[arg(long, requires = "room")]
    keep: bool,
    /// After how many days examinations in this room remind of reading them again; kept with the readings
    #[arg(long, value_name = "DAYS", requires = "keep")]
    again_after: Option<u32>,
    /// Print the comparison as JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let (room, name) = arguments.room.load()?;
    let light = FieldLight::new(&room.display, None)?;
    let fields = [light.red, light.green].map(|paint| paint.codes);
    let own = room.display.meter();
    let (meter, given) = arguments.meter.map_or((own.standard, own.given), |percent| (percent / 100.0, true));
    let readings = [arguments.red, arguments.green];
    let found = Verification::new(&room, fields, readings, arguments.black, meter);
    if arguments.json {
        print(&serde_json::to_string_pretty(&found)?);
    } else {
        let good = format!(
            "The ± takes one reading as good to {:.1} %, {}.",
            meter * 100.0,
            if given { "as given" } else { "which is assumed: give --meter" }
        );
        say(&format!("{}\n{good}", said(&room, &name, &found)));
    }
    // Last, so that a file that cannot be written costs nobody the comparison.
    let kept = arguments.keep_all(&found, meter)?;
    if !arguments.json {
        say(&format!("\n{kept}"));
    }
    Ok(if found.fails() { Outcome::Failed } else { Outcome::Fine })
}

impl Arguments {
    /// Adds a line to the log, puts the readings into the room file where that is asked for, and says so.
    fn keep_all(&self, found: &Verification, meter: f64) -> Result<String, Box<dyn Error>> {
        let date = self.date.unwrap_or_else(arguments::today);
        let log = self.log.clone().or_else(|| self.room.path().map(|path| path.with_extension("log")));
        let logged = match log {
            Some(log) => {
                if !append_after(&log, &format!("{date} {}", found.line()), |present| {
                    is_log(present).then_some(true)
                })? {
                    return Err(format!(
                        "{}: is no log of readings, so nothing was added to it: name another file for --log",
                        named(&log)
                    )
                    .into());
                }
                format!("{}: one line added", named(&log))
            }
            None => "No log is kept for the built-in room: name one with --log.".into(),
        };
        let Some(path) = self.room.path() else { return Ok(logged) };
        if !self.keep {
            return Ok(format!(
                "{logged}\nWith --keep the readings also go into {}, where reports, charts and checks count them.",
                named(path)
            ));
        }
        let [[red, ..], [_, green, _]] = found.codes;
        let readings = MatchTable {
            codes: [red, green],
            red: found.red_cd_m2[1],
            green: found.green_cd_m2[1],
            meter_percent: millionths(meter * 100.0),
            date: date.to_string(),
            again_after_days: self.again_after,
        };
        rewrite(path, |file| {
            let before = file.field_match.as_ref().and_then(|readings| readings.again_after_days);
            let again_after_days = readings.again_after_days.or(before);
            let field_match = Some(MatchTable { again_after_days, ..readings });
            Ok(RoomFile { field_match, ..file.clone() })
        })?;
        Ok(format!(
            "{logged}\n{}: [match] holds these readings; reports, charts and checks count them while the fields have these codes.",
            named(path)
        ))
    }
}

/// Whether a file can be gone on with as a log: there is nothing in it, or its lines begin with a day and what red read.
fn is_log(present: &str) -> bool {
    let first = present.lines().find(|line| !line.trim().is_empty());
    first.is_none_or(|line| line.split_once(" red ").is_some_and(|(day, _)| arguments::date(day).is_ok()))
}

/// The verdict first, then what was read, the worst first.
fn said(room: &Room, name: &str, found: &Verification) -> String {
    let rows = found.rows().into_iter().map(|row| {
        let judgement = row.judgement.map(|one| one.to_string()).unwrap_or_default();
        vec![judgement, row.what.into(), row.read, row.asked]
    });
    let table = columns::table(&["", "what", "read", "asked"], rows);
    let mut said = vec![found.verdict.clone()];
    said.extend(found.advice.iter().cloned());
    said.extend([String::new(), format!("room: {name}"), table]);
    said.push(format!("expected from: {}", found.predicted_from));
    if room.viewing.mirror {
        said.push("Readings count only through the mirror, at the patient’s eye.".into());
    }
    said.join("\n")
}
