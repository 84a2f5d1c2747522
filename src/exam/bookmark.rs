//! What stands between two entries and follows from no event: a small file beside the record, so that a program that begins
//! again finds it.
//!
//! A record holds what happened. How acuities are written, what of *Options* is on, that the lens is in, which letters stand on
//! the wall and which of them were marked: none of that happens to the examination, all of it is there to be gone on with. It is
//! written anew, whole, before a panel is shown that it changed, so it never grows. No result rests on it, and one that cannot be
//! read is left out.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::quantity::Dioptres;
use crate::store::Target;

/// The form of the file.
const FORM: u8 = 1;

/// Maximum number of bytes of the file, which has some 500. This project's own decision.
const MOST_BYTES: u64 = 1 << 16;

/// What follows the record's name in the name of the file.
const ENDING: &str = ".bookmark";

/// What stands between two entries.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Bookmark {
    evenfield_bookmark: u8,
    /// The name of the notation that acuities are written in.
    pub(super) notation: String,
    /// Whether the wall is dark between questions.
    pub(super) dark_between: bool,
    /// Whether the patient has buttons of their own.
    pub(super) patient_buttons: bool,
    /// Where the examination in hand stands; none where none is.
    pub(super) page: Option<Page>,
}

/// Where an examination stands after its last event.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Page {
    /// Its name in the record.
    pub(super) examination: String,
    /// How many events it has, those that were taken back among them: after another one all of this is over.
    pub(super) events: usize,
    /// Whether the lens of the question is in.
    pub(super) lens_in: bool,
    /// The lens that was in place at the step before.
    #[serde(rename = "lens_before_d")]
    pub(super) lens_before: Option<Dioptres>,
    /// What the letters on the wall are drawn by.
    pub(super) seed: u64,
    /// Those letters by name, to be sure that the same are drawn again.
    pub(super) letters: Vec<String>,
    /// The lines that were read on white, from the largest, and which of their letters were missed.
    pub(super) read: Vec<(String, Vec<bool>)>,
}

impl Bookmark {
    /// What stands, to be written.
    pub(super) const fn new(
        notation: String,
        [dark_between, patient_buttons]: [bool; 2],
        page: Option<Page>,
    ) -> Self {
        Self { evenfield_bookmark: FORM, notation, dark_between, patient_buttons, page }
    }

    /// The one beside a record, if there is one; what is wrong with it, otherwise.
    pub(super) fn beside(record: &Path) -> Result<Option<Self>, String> {
        let path = place(record);
        let left_out = |what: &str| {
            format!("{}: {what}: options and marked letters are not taken from it", path.display())
        };
        let target = Target::new(&path, true).map_err(|error| error.to_string())?;
        let bytes = match target.present(MOST_BYTES) {
            Ok(bytes) => bytes,
            Err(error) if error.is_missing() => return Ok(None),
            Err(error) => return Err(left_out(&error.to_string())),
        };
        match serde_json::from_slice::<Self>(&bytes) {
            Ok(read) if read.evenfield_bookmark == FORM => Ok(Some(read)),
            Ok(_) | Err(_) => Err(left_out("is damaged, or of another version of this program")),
        }
    }

    /// Writes it beside a record, in place of the one before.
    pub(super) fn write_beside(&self, record: &Path) -> Result<(), String> {
        let text = serde_json::to_string(self).map_err(|error| error.to_string())?;
        let written = Target::new(&place(record), true).and_then(|file| file.write(text.as_bytes()));
        written.map_err(|error| {
            format!("Options and marked letters would be lost if the program ended now: {error}.")
        })
    }
}

/// Where a record's bookmark lies.
fn place(record: &Path) -> PathBuf {
    let mut name = record.as_os_str().to_owned();
    name.push(ENDING);
    name.into()
}
