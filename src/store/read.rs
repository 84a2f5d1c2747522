//! Reading a regular file of bounded length.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

use super::{plain, uses};

/// Why a file was not read, in words that go behind its name.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// The system refuses.
    #[error("{}", plain(.0))]
    Refused(#[from] io::Error),
    /// A pipe or a device, which may have no end, or a folder.
    #[error("is no ordinary file")]
    NotAFile,
    /// It has more bytes than are read.
    #[error("has more than {} KiB", .most >> 10)]
    TooLarge {
        /// Maximum number of bytes that are read.
        most: u64,
    },
}

impl ReadError {
    /// Whether there is no such file.
    #[must_use]
    pub fn is_missing(&self) -> bool {
        matches!(self, Self::Refused(error) if error.kind() == io::ErrorKind::NotFound)
    }
}

/// All of a regular file of at most `most` bytes. It counts as an input of this command from now on, even if it is not there
/// yet.
///
/// # Errors
/// Where the system refuses, it is no regular file, or it has more bytes.
pub fn read(path: &Path, most: u64) -> Result<Vec<u8>, ReadError> {
    bounded(open(path, most)?, most)
}

/// Opens a regular file of at most `most` bytes for reading, as [`read`] does, without reading it.
///
/// # Errors
/// As [`read`].
pub fn open(path: &Path, most: u64) -> Result<File, ReadError> {
    uses::note(path);
    regular(path, most)
}

/// The first bytes of a regular file of at most `most` bytes, which counts as an input.
///
/// # Errors
/// As [`read`].
pub fn beginning(path: &Path, most: u64, bytes: u64) -> Result<Vec<u8>, ReadError> {
    let mut read = Vec::new();
    open(path, most)?.take(bytes).read_to_end(&mut read)?;
    Ok(read)
}

/// How many bytes a file has; none where there is no file.
#[must_use]
pub fn length(path: &Path) -> u64 {
    fs::metadata(path).map_or(0, |found| found.len())
}

/// All of a regular file that is looked at before it is replaced, and so is no input.
pub(super) fn looked_at(path: &Path, most: u64) -> Result<Vec<u8>, ReadError> {
    bounded(regular(path, most)?, most)
}

/// Looked at before it is opened, since opening a pipe waits for its other end.
fn regular(path: &Path, most: u64) -> Result<File, ReadError> {
    let found = fs::metadata(path)?;
    if !found.is_file() {
        return Err(ReadError::NotAFile);
    }
    if found.len() > most {
        return Err(ReadError::TooLarge { most });
    }
    Ok(File::open(path)?)
}

/// The system's own files say that they have no length, and others may grow meanwhile.
fn bounded(file: File, most: u64) -> Result<Vec<u8>, ReadError> {
    let mut bytes = Vec::new();
    file.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most { Err(ReadError::TooLarge { most }) } else { Ok(bytes) }
}
