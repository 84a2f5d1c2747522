//! What this command read, and what it wrote.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::SystemTime;

use super::{behind_links, folder_of};

/// A file by its name behind all links, and by what the system knows it as, since one file can have several names.
#[derive(Debug, PartialEq)]
struct Place {
    path: PathBuf,
    number: Option<Number>,
}

/// Device, inode, and when the file was made, since the inode of a file that is gone is given to another.
type Number = (u64, u64, Option<SystemTime>);

static INPUTS: Mutex<Vec<Place>> = Mutex::new(Vec::new());

static OUTPUTS: Mutex<Vec<Place>> = Mutex::new(Vec::new());

static WRITTEN: Mutex<Vec<String>> = Mutex::new(Vec::new());

impl Place {
    fn of(path: &Path) -> Self {
        let end = behind_links(path).unwrap_or_else(|_| path.to_owned());
        let whole = end.canonicalize().or_else(|_| {
            let folder = folder_of(&end).canonicalize()?;
            Ok::<_, std::io::Error>(end.file_name().map_or_else(|| folder.clone(), |name| folder.join(name)))
        });
        Self { number: number(&end), path: whole.unwrap_or(end) }
    }

    fn is_same(&self, other: &Self) -> bool {
        self.path == other.path || (self.number.is_some() && self.number == other.number)
    }
}

#[cfg(unix)]
fn number(path: &Path) -> Option<Number> {
    use std::os::unix::fs::MetadataExt;
    std::fs::metadata(path).ok().map(|found| (found.dev(), found.ino(), found.created().ok()))
}

#[cfg(not(unix))]
fn number(_: &Path) -> Option<Number> {
    None
}

/// Notes that this command reads a file or appends to it, whether it is there yet or not.
pub(super) fn note(path: &Path) {
    add(&INPUTS, path);
}

/// Notes that this command is going to write a file.
pub(super) fn note_output(path: &Path) {
    add(&OUTPUTS, path);
}

/// Whether a file was noted as an input, by whatever path, link or name.
pub(super) fn is_input(path: &Path) -> bool {
    holds(&INPUTS, path)
}

/// Whether this command is going to write a file, by whatever path, link or name: it is no place for a record then.
#[must_use]
pub fn is_output(path: &Path) -> bool {
    holds(&OUTPUTS, path)
}

fn add(places: &Mutex<Vec<Place>>, path: &Path) {
    let place = Place::of(path);
    let mut places = places.lock().unwrap_or_else(PoisonError::into_inner);
    if !places.contains(&place) {
        places.push(place);
    }
}

fn holds(places: &Mutex<Vec<Place>>, path: &Path) -> bool {
    let place = Place::of(path);
    places.lock().unwrap_or_else(PoisonError::into_inner).iter().any(|noted| noted.is_same(&place))
}

/// Notes that a file was written or appended to.
pub(super) fn note_written(named: &str) {
    let mut written = WRITTEN.lock().unwrap_or_else(PoisonError::into_inner);
    if !written.iter().any(|one| one == named) {
        written.push(named.into());
    }
}

/// The files that this command wrote or appended to, as the user named them.
#[must_use]
pub fn written() -> Vec<String> {
    WRITTEN.lock().unwrap_or_else(PoisonError::into_inner).clone()
}
