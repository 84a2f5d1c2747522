//! One place where a chart is shown: its distance, its screen, its light.
//!
//! A [`Room`] comes from a room file, a few lines of TOML that a practice keeps: the distance, the screen's pixels and size, and
//! what a photometer read. [`RoomFile`] is that file as written; a [`Room`] is the same with every value checked and with what
//! follows from it: [`Viewing`], [`Screen`], the light of any code as a [`Display`], and the [`Primaries`].
//!
//! Most practices have no photometer. So all but distance, pixels and size may be left out, and whatever stands in for it says
//! so: every number carries a [`Basis`]. A screen's own word ([`Edid`], [`Profile`]) counts as claimed, an eye's on the match
//! strip as matched.
//!
//! ```
//! use evenfield::light::Basis;
//! use evenfield::room::Room;
//!
//! let text = "[viewing]\ndistance_mm = 4000\n[screen]\npixels = [1920, 1080]\nsize_mm = [527, 296.5]\n";
//! let room = Room::from_toml(text, "room.toml")?;
//! assert_eq!(room.viewing.distance.to_string(), "4 m");
//! assert_eq!(room.display.tone_basis(), Basis::Assumed);
//!
//! // What cannot be is refused with its line and the way out.
//! let error = Room::from_toml(&text.replace("4000", "4"), "room.toml").unwrap_err().to_string();
//! assert!(error.starts_with("room.toml line 2: viewing.distance_mm = 4 is not within 200 to 20000 mm"), "{error}");
//! # Ok::<(), evenfield::room::RoomFileError>(())
//! ```
//!
//! A room is read, never written: [`Edit`] changes single values of a file and keeps its comments. It says nothing of the
//! patient, and cannot tell whether the screen still is as it was when it was read.

mod demo;
mod display;
mod edid;
mod edit;
mod fault;
mod field_match;
mod field_readings;
mod file;

mod full_drive;
mod held;
mod icc;
mod left_open;
mod named_file;
mod primaries;
mod schema;
mod screen;
mod viewing;

use std::ops::Deref;
use std::path::Path;

pub use display::{Display, METER_PERCENT, Meter, READING};
pub use edid::{Edid, EdidError};
pub use edit::{Change, Edit, changes};
pub use field_match::FieldMatch;
pub use field_readings::day;
pub use file::{
    LuminanceTable, MatchTable, PrimariesTable, PrimaryTable, RoomFile, ScreenTable, Steps, ToneTable,
    ViewingTable,
};
pub use icc::{Profile, ProfileError, ProfileSays};
pub use named_file::NamedFile;
pub use primaries::{Primaries, ScreenKind, Spectra, SpectraError};
pub use screen::{LEAST_STROKE_PX, MAX_PIXELS, PIXELS_A_SIDE, PLAIN_STROKE_PX, Screen};
pub use viewing::Viewing;

use crate::light::Basis;
use crate::store;

/// A room whose every number was checked.
///
/// What its file says is the one truth. What follows from it can be read as `room.viewing` and the like, never changed
/// apart from the file: another room comes from another file.
#[derive(Debug, Clone)]
pub struct Room {
    file: RoomFile,
    files: Vec<NamedFile>,
    facts: Facts,
}

/// What follows from a room file.
#[derive(Debug, Clone)]
pub struct Facts {
    /// Where the eye is.
    pub viewing: Viewing,
    /// What it looks at.
    pub screen: Screen,
    /// The light of the screen and of the room upon it.
    pub display: Display,
    /// The spectra of its primaries.
    pub primaries: Primaries,
}

impl Deref for Room {
    type Target = Facts;

    fn deref(&self) -> &Facts {
        &self.facts
    }
}

/// A value in a room file that cannot be, where it stands and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{key} {problem}")]
pub struct RoomError {
    key: String,
    problem: String,
}

impl RoomError {
    pub(crate) fn new(key: impl Into<String>, problem: impl Into<String>) -> Self {
        Self { key: key.into(), problem: problem.into() }
    }
}

/// Why a room file was refused.
#[derive(Debug, thiserror::Error)]
pub enum RoomFileError {
    /// It cannot be read.
    #[error("{path}: {problem}: give a room file, or make one with `evenfield room new`")]
    Unreadable {
        /// The file.
        path: String,
        /// What the system says.
        problem: String,
    },
    /// A value, a key or the notation is wrong.
    #[error("{path}{place}: {problem}")]
    Refused {
        /// The file.
        path: String,
        /// ` line 3`, or nothing where the fault has no line.
        place: String,
        /// One sentence with value and remedy.
        problem: String,
    },
}

/// Maximum number of bytes of a room file, which is a few lines. This project's own decision.
pub const MAX_FILE_BYTES: u64 = 1 << 20;

impl Room {
    /// The built-in room of a made-up practice. Its numbers are invented, and findings say so.
    ///
    /// # Panics
    /// Never: a test reads it.
    #[must_use]
    pub fn demo() -> Self {
        let file = demo::file();
        Self::from_file(file, Basis::Invented).expect("the demo room is legal, which a test holds")
    }

    /// Reads and checks a room file.
    ///
    /// # Errors
    /// One sentence with file, line, value and remedy.
    pub fn read(path: &Path) -> Result<Self, RoomFileError> {
        let mut room = Self::from_toml(&Self::text(path)?, &path.display().to_string())?;
        let folder = path.parent().unwrap_or_else(|| Path::new(""));
        if let Some(profile) = &mut room.facts.screen.profile {
            *profile = folder.join(&*profile);
        }
        room.facts.primaries.count_from(folder);
        room.files = room.file.files_in(Some(folder));
        Ok(room)
    }

    /// The text of a room file, unchecked.
    ///
    /// # Errors
    /// Unreadable, too large, or no text.
    pub fn text(path: &Path) -> Result<String, RoomFileError> {
        let unreadable =
            |problem: String| RoomFileError::Unreadable { path: path.display().to_string(), problem };
        let bytes = store::read(path, MAX_FILE_BYTES).map_err(|problem| unreadable(problem.to_string()))?;
        String::from_utf8(bytes).map_err(|_| unreadable("is not UTF-8 text".into()))
    }

    /// Checks the text of a room file; `name` stands for it in an error.
    ///
    /// # Errors
    /// As [`read`](Self::read).
    pub fn from_toml(text: &str, name: &str) -> Result<Self, RoomFileError> {
        let refused = |(line, problem): (Option<usize>, String)| RoomFileError::Refused {
            path: name.into(),
            place: line.map_or_else(String::new, |line| format!(" line {line}")),
            problem,
        };
        let file = file::parse(text).map_err(refused)?;
        Self::from_file(file, Basis::Measured)
            .map_err(|error| refused((file::line_of(text, &error.key), error.to_string())))
    }

    /// Checks what a room file says; `basis` is what its luminances rest on.
    ///
    /// # Errors
    /// The first value that cannot be.
    pub fn from_file(file: RoomFile, basis: Basis) -> Result<Self, RoomError> {
        file.check_words()?;
        file.check_primaries()?;
        let viewing = Viewing::from_table(&file.viewing)?;
        let screen = Screen::from_table(&file.screen, basis)?;
        let display = Display::from_file(&file, basis)?;
        let primaries = Primaries::from_table(file.primaries.as_ref(), basis)?;
        let files = file.files_in(None);
        Ok(Self { file, files, facts: Facts { viewing, screen, display, primaries } })
    }

    /// What the practice calls it.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        self.file.name.as_deref()
    }

    /// What may be told of the files that its file names, in what is made for this room.
    #[must_use]
    pub fn files(&self) -> &[NamedFile] {
        &self.files
    }

    /// The file that says all this; what leaves the practice takes it [without folders](RoomFile::without_folders).
    #[must_use]
    pub const fn file(&self) -> &RoomFile {
        &self.file
    }
}

/// A number that must lie in a range.
pub(crate) fn within(
    key: &str,
    value: f64,
    range: std::ops::RangeInclusive<f64>,
    unit: &str,
    remedy: &str,
) -> Result<f64, RoomError> {
    if range.contains(&value) {
        return Ok(value);
    }
    let (from, to) = (range.start(), range.end());
    let value = if value.abs() < 1e9 { value.to_string() } else { format!("{value:e}") };
    Err(RoomError::new(key, format!("= {value} is not within {from} to {to}{unit}: {remedy}")))
}

#[cfg(test)]
mod tests;
