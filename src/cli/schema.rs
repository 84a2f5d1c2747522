//! `evenfield schema`
//!
//! The forms are derived from the types that are read and written, so that a form cannot say something else than the program does. What
//! the program reads is described as it is read, what it only writes as it is written.

use std::error::Error;

use clap::{Args, ValueEnum};
use schemars::generate::{Contract, SchemaSettings};
use schemars::{JsonSchema, Schema};

use super::balance::TrialPrinted;
use super::exam::{FromPanel, ToPanel};
use super::{Outcome, print};
use crate::balance::record::RecordLine;
use crate::check::Report;
use crate::claim::{ChartClaim, NearClaim};
use crate::room::RoomFile;

/// The form of a file or of what is printed for programs, as a JSON Schema of draft 2020-12.
///
/// What fits the form may still be refused for its values: a room 400 m away has the form of a room.
#[derive(Args)]
#[command(after_help = "Example: evenfield schema room")]
pub(super) struct Arguments {
    /// What it is the form of
    of: Form,
}

#[derive(Clone, Copy, ValueEnum)]
enum Form {
    /// A room file, read from TOML
    Room,
    /// What a chart’s file says of itself
    Chart,
    /// What a near chart’s file says of itself
    Near,
    /// What `evenfield check --json` prints
    Findings,
    /// One line of the record that `--record` keeps
    Record,
    /// What `evenfield balance --trial --json` prints
    Trial,
    /// A message that the server of `evenfield exam` sends to a panel
    ToPanel,
    /// A message that a panel sends to that server
    FromPanel,
}

impl Form {
    fn schema(self) -> Schema {
        match self {
            Self::Room => of::<RoomFile>(Contract::Deserialize),
            Self::Chart => of::<ChartClaim>(Contract::Serialize),
            Self::Near => of::<NearClaim>(Contract::Serialize),
            Self::Findings => of::<Report>(Contract::Serialize),
            Self::Record => of::<RecordLine>(Contract::Deserialize),
            Self::Trial => of::<TrialPrinted>(Contract::Serialize),
            Self::ToPanel => of::<ToPanel>(Contract::Serialize),
            Self::FromPanel => of::<FromPanel>(Contract::Deserialize),
        }
    }

    /// What it is the form of, in words.
    fn words(self) -> Option<String> {
        self.to_possible_value()?.get_help().map(ToString::to_string)
    }
}

fn of<T: JsonSchema>(contract: Contract) -> Schema {
    let settings = SchemaSettings::draft2020_12().with(|settings| settings.contract = contract);
    settings.into_generator().into_root_schema_for::<T>()
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let mut schema = arguments.of.schema();
    schema.insert("title".into(), arguments.of.words().into());
    print(&serde_json::to_string_pretty(&schema)?);
    Ok(Outcome::Fine)
}
