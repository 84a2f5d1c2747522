//! Reading and writing files: the only place where bytes come from the disk or reach it, but for what the system says of its
//! screens.
//!
//! What a command reads or appends to is noted, and nothing that was noted is replaced by what the command writes.
//!
//! [`read`](fn@read) takes only ordinary files of a bounded size. A [`Target`] is checked before the work begins and written at
//! its end, whole or not at all: into a temporary file beside it, which then takes its name. Several that belong together go
//! through [`write_all`]. [`append_after`] adds a line to a record under a lock.
//!
//! Nothing is overwritten unless the user said so, and a device, a pipe or a folder is never replaced.

mod append;
mod read;
mod target;
mod uses;

use std::io;
use std::path::{Path, PathBuf};

pub use append::append_after;
pub use read::{ReadError, beginning, length, open, read};
pub use target::{Target, write_all};
pub use uses::{is_output, written};

/// Maximum number of symbolic links followed in a row; more of them are taken for a circle. This project's own decision.
const MOST_LINKS: usize = 16;

/// Maximum number of bytes of a record or log. An examination of both eyes has about 20 lines of 400 bytes, so this holds
/// thirty thousand of them. This project's own decision.
pub const MOST_KEPT_BYTES: u64 = 256 << 20;

/// Why a file was not written.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// Something is there already.
    #[error("{0}: exists already: name another file, or add --force to overwrite it")]
    Exists(String),
    /// The command read it, or appended to it.
    #[error("{0}: was read by this command: name another file for --out")]
    Input(String),
    /// A folder is there.
    #[error("{0}: is a folder: name a file in it")]
    Folder(String),
    /// A device, a pipe or the like is there, which must never be replaced.
    #[error("{0}: is no ordinary file: name another one")]
    NotAFile(String),
    /// Its folder is not there.
    #[error("{0}: its folder does not exist: make the folder first, or name another file")]
    NoFolder(String),
    /// It is larger than what is gone on with.
    #[error("{0}: has more than {mib} MiB: name another file", mib = MOST_KEPT_BYTES >> 20)]
    Full(String),
    /// Its disk is full, or holds as much of this user as it may.
    #[error(
        "{0}: cannot be written, since its disk is full: free some space on it, or name a file on another disk"
    )]
    NoSpace(String),
    /// The system refuses.
    #[error("{0}: cannot be written ({1}): name another file")]
    Refused(String, String),
    /// Some files of a set replaced others before one of them could not be written.
    #[error("{cause}; replaced already: {replaced}")]
    Partly {
        /// Why the set ended.
        cause: Box<Self>,
        /// The files that were replaced.
        replaced: String,
    },
}

impl StoreError {
    /// What the system says of a file that was named so.
    fn of(named: &str, error: &io::Error) -> Self {
        let kind = error.kind();
        if matches!(kind, io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded) {
            Self::NoSpace(named.into())
        } else if kind == io::ErrorKind::AlreadyExists {
            Self::Exists(named.into())
        } else {
            Self::Refused(named.into(), plain(error))
        }
    }
}

/// What the system says of a failure, without its number.
pub(crate) fn plain(error: &io::Error) -> String {
    let text = error.to_string();
    text.split(" (os error").next().unwrap_or(&text).to_lowercase()
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// The file at the end of a chain of symbolic links, whether it exists or not.
fn behind_links(path: &Path) -> io::Result<PathBuf> {
    let mut path = path.to_owned();
    for _ in 0..MOST_LINKS {
        match std::fs::read_link(&path) {
            Ok(target) => path = folder_of(&path).join(target),
            Err(_) => return Ok(path),
        }
    }
    Err(io::Error::other("its links lead in a circle"))
}

#[cfg(all(test, unix))]
mod tests;
