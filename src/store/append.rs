//! Adding lines at the end of files that are kept.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::Path;

use super::{MOST_KEPT_BYTES, StoreError, folder_of, uses};

/// Adds a line at the end of a text file, which is made if it does not exist, if `allows` says so of what the file holds, and
/// says whether it did. What the file already holds stays as it is. The file is locked
/// meanwhile, so no other caller of this function can write in between. A line that cannot be written leaves no part of itself,
/// and no file that was not there before.
///
/// # Errors
/// Where the system refuses, something else than a file is there, or it has more than [`MOST_KEPT_BYTES`].
pub fn append_after(path: &Path, line: &str, allows: impl Fn(&str) -> bool) -> Result<bool, StoreError> {
    let named = path.display().to_string();
    let refused = |error: io::Error| StoreError::of(&named, &error);
    match fs::metadata(path) {
        Ok(found) if !found.is_file() => return Err(StoreError::NotAFile(named)),
        Err(_) if !folder_of(path).is_dir() => return Err(StoreError::NoFolder(named)),
        _ => {}
    }
    let (mut file, is_new) = opened(path).map_err(refused)?;
    uses::note(path);
    file.lock().map_err(refused)?;
    let mut present = Vec::new();
    (&mut file).take(MOST_KEPT_BYTES + 1).read_to_end(&mut present).map_err(refused)?;
    if present.len() as u64 > MOST_KEPT_BYTES {
        return Err(StoreError::Full(named));
    }
    if !allows(&String::from_utf8_lossy(&present)) {
        return Ok(false);
    }
    // A line that was cut off, by whatever stopped its writer, must not swallow this one.
    let end_of_last = if present.last().is_none_or(|last| *last == b'\n') { "" } else { "\n" };
    // In one piece, so that programs without the lock cannot mix their lines with it.
    let piece = format!("{end_of_last}{line}\n");
    let added = file.write_all(piece.as_bytes()).and_then(|()| file.sync_all());
    if let Err(error) = added {
        take_back(&file, present.len() as u64, path, is_new);
        return Err(refused(error));
    }
    uses::note_written(&named);
    Ok(true)
}

/// The file, and whether it was made just now.
fn opened(path: &Path) -> io::Result<(File, bool)> {
    let mut options = OpenOptions::new();
    options.append(true).read(true);
    match options.clone().create_new(true).open(path) {
        // There already, or a link to where something may be.
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            options.create(true).open(path).map(|file| (file, false))
        }
        made => made.map(|file| (file, true)),
    }
}

/// Takes part of a line away again. Where that fails too, there is nothing left to be done: a cut line is noticed by whoever
/// reads it.
fn take_back(file: &File, length: u64, path: &Path, is_new: bool) {
    let shortened = file.set_len(length);
    if is_new && shortened.is_ok() && length == 0 {
        drop(fs::remove_file(path));
    }
}
