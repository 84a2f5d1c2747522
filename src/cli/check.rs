//! `evenfield check`
//!
//! Nothing is written. Without `--room` the chart is held to the room that it names itself, without `--line` to its own lines.

use std::error::Error;
use std::path::PathBuf;

use clap::Args;

use super::arguments::{self, RoomArgument};
use super::report::{outcome, print_report};
use super::{Outcome, help, named, print};
use crate::acuity::Acuity;
use crate::check::{self, Expected};
use crate::claim::PageClaim;
use crate::light::{Fields, Side};
use crate::store;

/// What the file says of itself holds where no flag says otherwise; what neither says is not judged.
#[derive(Args)]
#[command(after_help = help::after(help::CHECK, "check chart.png --room room.toml"))]
pub(super) struct Arguments {
    /// The chart, a PNG, SVG or PDF; or a page of `evenfield page`, which is held against its room file
    file: PathBuf,
    #[command(flatten)]
    room: RoomArgument,
    /// A line it should have, such as 20/40, 6/12 or 0.3logmar; repeat for more
    #[arg(long, value_name = "A", value_parser = arguments::acuity, allow_hyphen_values = true)]
    line: Vec<Acuity>,
    /// The fields it should have
    #[arg(long, value_parser = arguments::fields())]
    fields: Option<Fields>,
    /// Where red should be, as the patient sees it
    #[arg(long, value_parser = arguments::side())]
    red: Option<Side>,
    /// Print the findings as JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    if arguments.file.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("html")) {
        return page(arguments);
    }
    let expected = Expected {
        room: arguments.room.load_if_named()?,
        lines: arguments.line.clone(),
        fields: arguments.fields,
        red: arguments.red,
    };
    let report = check::file(&arguments.file, &expected)?;
    if arguments.json {
        print(&serde_json::to_string_pretty(&report)?);
    } else {
        print(&format!("{}\n", named(&arguments.file)));
        print_report(&report);
    }
    Ok(outcome(&report))
}

/// Says whether a page was made for its room as the file has it now.
fn page(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let Arguments { file, room, line, fields, red, json } = arguments;
    let name = named(file);
    if !line.is_empty() || fields.is_some() || red.is_some() {
        return Err(format!(
            "{name}: a page has all lines and fields of its room: leave out --line, --fields and --red"
        )
        .into());
    }
    let room = room
        .load_if_named()?
        .ok_or_else(|| format!("{name}: name the room file that the page was made for: --room FILE"))?;
    let text = store::read(file, MOST_BYTES)
        .map_err(|problem| format!("{name}: cannot be read ({problem}): give a page that evenfield wrote"))?;
    let claim = PageClaim::read(&String::from_utf8_lossy(&text)).ok_or_else(|| {
        format!("{name}: does not say for which room it was made: make it again with evenfield page")
    })?;
    let differs = claim.differs_from(&room);
    if *json {
        print(&serde_json::to_string_pretty(&serde_json::json!({ "page": name, "differs": differs }))?);
    } else if differs.is_empty() {
        print(&format!(
            "{name}: made for this room as its file is now\nIts charts are not measured: meter its own patches (p)."
        ));
    } else {
        let all = differs.iter().map(|one| format!("  {one}")).collect::<Vec<_>>().join("\n");
        print(&format!(
            "{name}: older than its room file, which has changed since\n{all}\nMake it again: evenfield page --room … --out … --force"
        ));
    }
    Ok(if differs.is_empty() { Outcome::Fine } else { Outcome::Failed })
}

/// More than any page that this program writes.
const MOST_BYTES: u64 = 1 << 26;
