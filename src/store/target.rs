//! Writing files whole or not at all.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use tempfile::NamedTempFile;

use super::{ReadError, StoreError, behind_links, folder_of, read, uses};

/// What the names of files begin with that are not yet whole, and how many letters and figures follow.
const PREFIX: &str = ".evenfield-";
const RANDOM_LETTERS: usize = 6;

/// The age from which such a file was left by a run that was killed, since no run takes that long. This project's own
/// decision.
const LEFT_BEHIND: Duration = Duration::from_hours(24);

/// The place of a file that is to be written, checked before the work began.
#[derive(Debug)]
pub struct Target {
    named: String,
    path: PathBuf,
    force: bool,
    /// Whether it is there to be changed, so that it may be an input.
    replaces: bool,
    /// Held while it is changed.
    _lock: Option<File>,
}

impl Target {
    /// Looks whether a file may be written there; with `force` it may replace one, but none that the command read.
    ///
    /// # Errors
    /// Where something is in the way.
    pub fn new(path: &Path, force: bool) -> Result<Self, StoreError> {
        Self::checked(path, force, false)
    }

    /// The place of a file that is read to be changed. As long as this lives, other runs of this program that would change it wait:
    /// read it afterwards, so that nothing of theirs is lost.
    ///
    /// # Errors
    /// Where something is in the way.
    pub fn replacing(path: &Path) -> Result<Self, StoreError> {
        Self::checked(path, true, true)
    }

    fn checked(path: &Path, force: bool, replaces: bool) -> Result<Self, StoreError> {
        let named = path.display().to_string();
        let path = behind_links(path).map_err(|error| StoreError::of(&named, &error))?;
        let lock = if replaces { lock_on(&path) } else { None };
        let target = Self { named, path, force, replaces, _lock: lock };
        target.refuse_input()?;
        let named = target.named.clone();
        match fs::metadata(&target.path) {
            Ok(found) if found.is_dir() => return Err(StoreError::Folder(named)),
            Ok(found) if !found.is_file() => return Err(StoreError::NotAFile(named)),
            Ok(_) if !force => return Err(StoreError::Exists(named)),
            Ok(_) => {}
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            Err(error) => return Err(StoreError::of(&named, &error)),
        }
        if !folder_of(&target.path).is_dir() {
            return Err(StoreError::NoFolder(named));
        }
        if !replaces {
            uses::note_output(&target.path);
        }
        Ok(target)
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

    /// What is there now, of at most `most` bytes; looking at it makes it no input.
    ///
    /// # Errors
    /// Where there is nothing, or it cannot be read.
    pub fn present(&self, most: u64) -> Result<Vec<u8>, ReadError> {
        read::looked_at(&self.path, most)
    }

    /// Refuses a file that the command read or appended to. Writing does so too; asked before, nothing else is done in vain.
    ///
    /// # Errors
    /// Where it is one.
    pub fn refuse_input(&self) -> Result<(), StoreError> {
        if !self.replaces && uses::is_input(&self.path) {
            return Err(StoreError::Input(self.named.clone()));
        }
        Ok(())
    }

    /// Writes the file whole or not at all, with ordinary permissions.
    ///
    /// Readers see the old file until the new one is complete.
    ///
    /// # Errors
    /// Where the system refuses, or something came in the way since.
    pub fn write(&self, bytes: &[u8]) -> Result<(), StoreError> {
        let file = self.beside(bytes)?;
        self.place(file)
    }

    /// A whole temporary file in the same folder, with the permissions of any new file.
    fn beside(&self, bytes: &[u8]) -> Result<NamedTempFile, StoreError> {
        self.refuse_input()?;
        let folder = folder_of(&self.path);
        clear_left_behind(folder);
        let mut builder = tempfile::Builder::new();
        builder.prefix(PREFIX).rand_bytes(RANDOM_LETTERS);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            // Before the user's mask; without this only the owner could read it.
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        let made = builder.tempfile_in(folder).and_then(|mut file| {
            file.write_all(bytes)?;
            file.as_file().sync_all()?;
            Ok(file)
        });
        made.map_err(|error| StoreError::of(&self.named, &error))
    }

    fn place(&self, file: NamedTempFile) -> Result<(), StoreError> {
        let placed = if self.force { file.persist(&self.path) } else { file.persist_noclobber(&self.path) };
        placed.map_err(|error| StoreError::of(&self.named, &error.error))?;
        uses::note_written(&self.named);
        Ok(())
    }
}

/// Writes a set of files: all of them to the side first, then each to its place.
///
/// # Errors
/// As [`Target::write`]; then none of them is there, but for those that replaced others, which the error names.
pub fn write_all(set: &[(Target, Vec<u8>)]) -> Result<(), StoreError> {
    let whole = set.iter().map(|(target, bytes)| target.beside(bytes)).collect::<Result<Vec<_>, _>>()?;
    let (mut made, mut replaced) = (Vec::new(), Vec::new());
    for ((target, _), file) in set.iter().zip(whole) {
        let was_there = target.path.exists();
        if let Err(cause) = target.place(file) {
            made.into_iter().for_each(|path: &Path| drop(fs::remove_file(path)));
            return Err(partly(cause, &replaced));
        }
        if was_there {
            replaced.push(target.named());
        } else {
            made.push(target.path());
        }
    }
    Ok(())
}

fn partly(cause: StoreError, replaced: &[&str]) -> StoreError {
    if replaced.is_empty() {
        return cause;
    }
    StoreError::Partly { cause: Box::new(cause), replaced: replaced.join(", ") }
}

/// Removes what killed runs left in a folder. What cannot be removed stays, and hinders nobody.
fn clear_left_behind(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let is_old = || {
            let found = entry.metadata().ok().filter(fs::Metadata::is_file)?;
            found.modified().ok()?.elapsed().ok().map(|age| age > LEFT_BEHIND)
        };
        if is_temporary(&entry.file_name().to_string_lossy()) && is_old() == Some(true) {
            drop(fs::remove_file(entry.path()));
        }
    }
}

/// The lock on a file that is going to be changed; none where there is no such file, or where its disk knows no locks.
#[cfg(unix)]
fn lock_on(path: &Path) -> Option<File> {
    use std::os::unix::fs::MetadataExt;
    let number = |found: fs::Metadata| found.is_file().then(|| (found.dev(), found.ino()));
    loop {
        let there = number(fs::metadata(path).ok()?)?;
        let file = File::open(path).ok()?;
        file.lock().ok()?;
        // Who had the lock before has put another file in this one's place.
        if number(file.metadata().ok()?)? == there && number(fs::metadata(path).ok()?)? == there {
            return Some(file);
        }
    }
}

/// Elsewhere a lock would keep the file from being read and replaced.
#[cfg(not(unix))]
fn lock_on(_: &Path) -> Option<File> {
    None
}

fn is_temporary(name: &str) -> bool {
    name.strip_prefix(PREFIX).is_some_and(|rest| {
        rest.len() == RANDOM_LETTERS && rest.bytes().all(|byte| byte.is_ascii_alphanumeric())
    })
}
