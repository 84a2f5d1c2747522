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
use crate::light::{Fields, Side};

/// What the file says of itself holds where no flag says otherwise; what neither says is not judged.
#[derive(Args)]
#[command(after_help = help::after(help::CHECK, "check chart.png --room room.toml"))]
pub(super) struct Arguments {
    /// The chart, a PNG, SVG or PDF
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
