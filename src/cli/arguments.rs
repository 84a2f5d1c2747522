//! Arguments that several commands share, and how their values are read.
//!
//! Values are parsed as they are typed and are legal from then on. Names of choices come from the library's own, so that help, room
//! files and JSON cannot differ.

use std::error::Error;
use std::path::{Path, PathBuf};

use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};

use super::named;
use crate::acuity::{Acuity, Notation};
use crate::light::{Fields, Side};
use crate::optotype::LetterSet;
use crate::quantity::Luminance;
use crate::room::{METER_PERCENT, Profile, READING, Room, day};
use crate::store::{StoreError, Target};
use crate::text::{self, MOST_OF_A_NAME};

/// `--room`
#[derive(Args)]
pub(super) struct RoomArgument {
    /// Room file; without it the built-in demo room
    #[arg(long, value_name = "FILE")]
    room: Option<PathBuf>,
}

impl RoomArgument {
    /// The room, and a line that says which one it is. Commands read it before they look at their `--out`, so that a file which
    /// is both is refused before the work begins.
    pub(super) fn load(&self) -> Result<(Room, String), Box<dyn Error>> {
        let Some(path) = &self.room else {
            let room = Room::demo();
            let said = format!(
                "built-in demo room, whose numbers are invented: {}",
                room.name().unwrap_or_default()
            );
            return Ok((room, said));
        };
        let room = room(path)?;
        let name = room.name().map_or_else(String::new, |name| format!(", {name}"));
        Ok((room, format!("{}{name}", named(path))))
    }

    /// Its file, if one was named.
    pub(super) fn path(&self) -> Option<&Path> {
        self.room.as_deref()
    }

    /// The room, if one was named.
    pub(super) fn load_if_named(&self) -> Result<Option<Room>, Box<dyn Error>> {
        self.room.as_ref().map(|path| room(path)).transpose()
    }
}

/// A room whose profile and spectra, if it names some, are there and are such.
pub(super) fn room(path: &Path) -> Result<Room, Box<dyn Error>> {
    let room = Room::read(path)?;
    room.primaries.spectra()?;
    room.screen.profile.as_deref().map(Profile::read).transpose()?;
    Ok(room)
}

/// `--out` and `--force`
#[derive(Args)]
pub(super) struct OutputArgument {
    /// The file to write
    #[arg(long, value_name = "FILE")]
    pub(super) out: PathBuf,
    /// Overwrite the file if it exists
    #[arg(long)]
    force: bool,
}

impl OutputArgument {
    /// The place, looked at before the work begins.
    pub(super) fn target(&self) -> Result<Target, StoreError> {
        Target::new(&self.out, self.force)
    }

    /// The same for a page of a browser.
    pub(super) fn html_target(&self) -> Result<Target, Box<dyn Error>> {
        let target = self.target()?;
        if target.ending() == "html" {
            return Ok(target);
        }
        Err(format!("{}: a page is an HTML file: name a file that ends in .html", target.named()).into())
    }
}

/// One of these names, which stand for these values.
pub(super) fn one_of<T: Clone + Send + Sync + 'static>(
    named: Vec<(&'static str, T)>,
) -> impl TypedValueParser<Value = T> {
    let names: Vec<&'static str> = named.iter().map(|(name, _)| *name).collect();
    PossibleValuesParser::new(names).map(move |given| {
        let found = named.iter().find(|(name, _)| *name == given);
        found.map(|(_, value)| value.clone()).expect("the parser takes only these names")
    })
}

pub(super) fn fields() -> impl TypedValueParser<Value = Fields> {
    one_of(
        [Fields::RedGreen, Fields::White, Fields::Red, Fields::Green].map(|one| (one.name(), one)).to_vec(),
    )
}

pub(super) fn side() -> impl TypedValueParser<Value = Side> {
    one_of([Side::Left, Side::Right].map(|one| (one.name(), one)).to_vec())
}

pub(super) fn notation() -> impl TypedValueParser<Value = Notation> {
    one_of(Notation::ALL.map(|one| (one.name(), one)).to_vec())
}

pub(super) fn letter_set() -> impl TypedValueParser<Value = LetterSet> {
    one_of(LetterSet::ALL.iter().map(|one| (one.name(), *one)).collect())
}

pub(super) fn white() -> impl TypedValueParser<Value = crate::chart::White> {
    use crate::chart::White;
    one_of(vec![("matched", White::Matched), ("full", White::Full)])
}

/// An acuity in any notation.
pub(super) fn acuity(text: &str) -> Result<Acuity, crate::acuity::AcuityError> {
    text.parse()
}

/// A luminance in cd/m² that a photometer could read.
pub(super) fn luminance(text: &str) -> Result<Luminance, String> {
    let value = text.parse::<f64>().ok().filter(|value| *value > 0.0 && value <= READING.end());
    let most = READING.end();
    value.map(Luminance::cd_m2).ok_or_else(|| {
        format!(
            "{text:?} is not a luminance above zero and up to {most}: write cd/m² as a number, such as 40"
        )
    })
}

/// Words of one line that are to be written.
pub(super) fn words(given: &str) -> Result<String, String> {
    let checked = text::line(given, MOST_OF_A_NAME);
    checked.map(|()| given.trim().to_owned()).map_err(|error| format!("the text {error}"))
}

/// A day, written year-month-day.
pub(super) fn date(text: &str) -> Result<time::Date, String> {
    day(text).ok_or_else(|| format!("{text:?} is no day: write year-month-day, such as 2026-03-31"))
}

/// The day on this machine’s clock, of universal time.
pub(super) fn today() -> time::Date {
    time::OffsetDateTime::now_utc().date()
}

/// The standard uncertainty of one reading in per cent.
pub(super) fn meter_percent(text: &str) -> Result<f64, String> {
    let value = text.parse::<f64>().ok().filter(|value| METER_PERCENT.contains(value));
    let (from, to) = (METER_PERCENT.start(), METER_PERCENT.end());
    value.ok_or_else(|| {
        format!("{text:?} is not within {from} to {to}: write the meter’s uncertainty in per cent")
    })
}

/// The exponent of a tone curve.
pub(super) fn gamma(text: &str) -> Result<f64, String> {
    let value = text.parse::<f64>().ok().filter(|value| (1.0..=4.0).contains(value));
    value.ok_or_else(|| {
        format!("{text:?} is not a gamma from 1 to 4: write the number on the sheet, such as 2.2")
    })
}

/// Columns and rows, written 1920x1080.
pub(super) fn pixels(text: &str) -> Result<[u32; 2], String> {
    let refused = || format!("{text:?} is not a number of pixels: write columns x rows, such as 1920x1080");
    let (columns, rows) = text.split_once(['x', 'X', '×']).ok_or_else(refused)?;
    let side = |text: &str| text.trim().parse::<u32>().map_err(|_| refused());
    Ok([side(columns)?, side(rows)?])
}
