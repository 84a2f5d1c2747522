//! Adding lines at the end of files that are kept.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;

use super::{MOST_KEPT_BYTES, StoreError, folder_of, uses};

/// As many bytes of a file's end are looked at before all of it is: some hundred lines of a record. This project's own decision.
const END: u64 = 1 << 16;

/// Adds a line at the end of a text file, which is made if it does not exist, if `allows` says so of what the file holds, and
/// says whether it did. `allows` is asked about the whole lines at the file's end first, so that a long file takes no longer, and
/// about all of the file only where it says nothing of those. What the file already holds stays as it is. The file is locked
/// meanwhile, so no other caller of this function can write in between. A line that cannot be written leaves no part of itself,
/// and no file that was not there before.
///
/// # Errors
/// Where the system refuses, something else than a file is there, or it has more than [`MOST_KEPT_BYTES`].
pub fn append_after(
    path: &Path,
    line: &str,
    allows: impl Fn(&str) -> Option<bool>,
) -> Result<bool, StoreError> {
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
    let length = file.metadata().map_err(refused)?.len();
    if length > MOST_KEPT_BYTES {
        return Err(StoreError::Full(named));
    }
    let (end, is_all) = end_of(&mut file, length, END).map_err(refused)?;
    let lines = if is_all { None } else { whole_lines(&end) };
    let is_allowed = match lines.and_then(&allows) {
        Some(said) => said,
        None if is_all => allows(&end) == Some(true),
        None => allows(&end_of(&mut file, length, length).map_err(refused)?.0) == Some(true),
    };
    if !is_allowed {
        return Ok(false);
    }
    // A line that was cut off, by whatever stopped its writer, must not swallow this one.
    let end_of_last = if end.is_empty() || end.ends_with('\n') { "" } else { "\n" };
    // In one piece, so that programs without the lock cannot mix their lines with it.
    let piece = format!("{end_of_last}{line}\n");
    let added = file.write_all(piece.as_bytes()).and_then(|()| file.sync_all());
    if let Err(error) = added {
        take_back(&file, length, path, is_new);
        return Err(refused(error));
    }
    uses::note_written(&named);
    Ok(true)
}

/// The last bytes of a file, and whether these are all of it.
fn end_of(file: &mut File, length: u64, most: u64) -> io::Result<(String, bool)> {
    let begins = length.saturating_sub(most);
    file.seek(SeekFrom::Start(begins))?;
    let mut bytes = Vec::new();
    file.take(length - begins).read_to_end(&mut bytes)?;
    Ok((String::from_utf8_lossy(&bytes).into_owned(), begins == 0))
}

/// What follows the first line, which may have lost its beginning, if that is anything.
fn whole_lines(text: &str) -> Option<&str> {
    text.split_once('\n').map(|(_, rest)| rest).filter(|rest| !rest.trim().is_empty())
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
