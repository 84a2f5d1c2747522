//! Writing files: the only place where bytes reach the disk.

use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use crate::room::plain;

/// Maximum number of symbolic links followed in a row; more of them are taken for a circle.
const MOST_LINKS: usize = 16;

/// Why a file was not written.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// Something is there already.
    #[error("{0}: exists already: name another file, or add --force to overwrite it")]
    Exists(String),
    /// A folder is there.
    #[error("{0}: is a folder: name a file in it")]
    Folder(String),
    /// A device, a pipe or the like is there, which must never be replaced.
    #[error("{0}: is no ordinary file: name another one")]
    NotAFile(String),
    /// Its folder is not there.
    #[error("{0}: its folder does not exist: make the folder first, or name another file")]
    NoFolder(String),
    /// The system refuses.
    #[error("{0}: cannot be written ({1}): name another file")]
    Refused(String, String),
}

/// The place of a file that is to be written, checked before the work began.
#[derive(Debug)]
pub struct Target {
    named: String,
    path: PathBuf,
    force: bool,
}

impl Target {
    /// Looks whether a file may be written there; with `force` it may replace one.
    ///
    /// # Errors
    /// Where something is in the way.
    pub fn new(path: &Path, force: bool) -> Result<Self, StoreError> {
        let named = path.display().to_string();
        let refused = |error: io::Error| StoreError::Refused(named.clone(), plain(&error));
        let path = behind_links(path).map_err(refused)?;
        match fs::metadata(&path) {
            Ok(found) if found.is_dir() => return Err(StoreError::Folder(named)),
            Ok(found) if !found.is_file() => return Err(StoreError::NotAFile(named)),
            Ok(_) if !force => return Err(StoreError::Exists(named)),
            Ok(_) => {}
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            Err(error) => return Err(StoreError::Refused(named, plain(&error))),
        }
        if !folder_of(&path).is_dir() {
            return Err(StoreError::NoFolder(named));
        }
        Ok(Self { named, path, force })
    }

    /// The ending of its name in lower case, without the dot.
    #[must_use]
    pub fn ending(&self) -> String {
        self.path.extension().map_or_else(String::new, |ending| ending.to_string_lossy().to_lowercase())
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The name that the user gave.
    #[must_use]
    pub fn named(&self) -> &str {
        &self.named
    }

    /// Writes the file whole or not at all, with ordinary permissions.
    ///
    /// # Errors
    /// Where the system refuses, or something came in the way since.
    pub fn write(&self, bytes: &[u8]) -> Result<(), StoreError> {
        let refused = |error: io::Error| {
            if error.kind() == io::ErrorKind::AlreadyExists {
                StoreError::Exists(self.named.clone())
            } else {
                StoreError::Refused(self.named.clone(), plain(&error))
            }
        };
        let mut file = beside(&self.path).map_err(refused)?;
        file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(refused)?;
        let placed = if self.force { file.persist(&self.path) } else { file.persist_noclobber(&self.path) };
        placed.map(drop).map_err(|error| refused(error.error))
    }
}

/// Adds a line at the end of a text file, which is made if it does not exist; what it already holds stays as it is.
///
/// # Errors
/// Where the system refuses, or something else than a file is there.
pub fn append_line(path: &Path, line: &str) -> Result<(), StoreError> {
    append_after(path, line, |_| true).map(drop)
}

/// Adds a line at the end of a file if `allows` says so of what the file holds, and says whether it did. The file is locked
/// meanwhile, so no other caller of this function can write in between.
///
/// # Errors
/// Where the system refuses, or something else than a file is there.
pub fn append_after(path: &Path, line: &str, allows: impl Fn(&str) -> bool) -> Result<bool, StoreError> {
    let named = path.display().to_string();
    let refused = |error: io::Error| StoreError::Refused(named.clone(), plain(&error));
    match fs::metadata(path) {
        Ok(found) if !found.is_file() => return Err(StoreError::NotAFile(named)),
        _ => {}
    }
    let open = fs::OpenOptions::new().create(true).append(true).read(true).open(path);
    let mut file = open.map_err(refused)?;
    file.lock().map_err(refused)?;
    let mut present = Vec::new();
    file.read_to_end(&mut present).map_err(refused)?;
    if !allows(&String::from_utf8_lossy(&present)) {
        return Ok(false);
    }
    // A line that was cut off, by whatever stopped its writer, must not swallow this one.
    let end_of_last = if present.last().is_none_or(|last| *last == b'\n') { "" } else { "\n" };
    // In one piece, so that programs without the lock cannot mix their lines with it.
    let piece = format!("{end_of_last}{line}\n");
    file.write_all(piece.as_bytes()).and_then(|()| file.sync_all()).map_err(refused)?;
    Ok(true)
}

/// A temporary file in the same folder, with the permissions of any new file.
fn beside(path: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".evenfield-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Before the user's mask; without this only the owner could read it.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder_of(path))
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
        match fs::read_link(&path) {
            Ok(target) => path = folder_of(&path).join(target),
            Err(_) => return Ok(path),
        }
    }
    Err(io::Error::other("its links lead in a circle"))
}

#[cfg(all(test, unix))]
mod tests {
    use std::os::unix::fs::PermissionsExt;

    use super::*;

    #[test]
    fn a_file_appears_whole_with_ordinary_permissions_and_nothing_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new.txt");
        Target::new(&path, false).unwrap().write(b"whole").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"whole");
        let plainly_made = folder.path().join("plain.txt");
        fs::write(&plainly_made, b"").unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
        assert_eq!(mode(&path), mode(&plainly_made));
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    }

    #[test]
    fn what_is_there_stays_without_force_and_links_stay_links() {
        let folder = tempfile::tempdir().unwrap();
        let (file, link) = (folder.path().join("file"), folder.path().join("link"));
        fs::write(&file, b"old").unwrap();
        std::os::unix::fs::symlink("file", &link).unwrap();
        assert!(matches!(Target::new(&link, false), Err(StoreError::Exists(_))));
        Target::new(&link, true).unwrap().write(b"new").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&file).unwrap(), b"new");
    }

    #[test]
    fn a_file_that_came_in_between_is_not_lost() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("file");
        let target = Target::new(&path, false).unwrap();
        fs::write(&path, b"of another program").unwrap();
        assert!(matches!(target.write(b"mine"), Err(StoreError::Exists(_))));
        assert_eq!(fs::read(&path).unwrap(), b"of another program");
    }

    #[test]
    fn folders_missing_folders_and_devices_are_refused() {
        assert!(matches!(Target::new(Path::new("/dev/null"), true), Err(StoreError::NotAFile(_))));
        let folder = tempfile::tempdir().unwrap();
        assert!(matches!(Target::new(folder.path(), true), Err(StoreError::Folder(_))));
        let lost = folder.path().join("none/file.png");
        assert!(matches!(Target::new(&lost, false), Err(StoreError::NoFolder(_))));
    }
}
