//! An examination in hand: every event goes into the record, if there is one, before it counts.

use std::error::Error;
use std::path::{Path, PathBuf};

use crate::balance::record::{Kept, OnWall, Records};
use crate::balance::{Event, PROCEDURE_VERSION};
use crate::store::{self, MOST_KEPT_BYTES, append_after};

/// In as many bytes a file that is a record has a line of one, but for files that people have changed. This project's own decision.
const BEGINNING_BYTES: u64 = 1 << 14;

/// An examination and where it is written.
#[derive(Debug, Clone)]
pub struct Recorder {
    path: Option<PathBuf>,
    /// What happened.
    pub kept: Kept,
    /// How many bytes it has added to the record.
    pub(super) added: u64,
}

impl Recorder {
    /// A new examination of a name that no other has.
    ///
    /// # Errors
    /// Where the file is there and is no record.
    pub fn new(path: Option<&Path>, id: String) -> Result<Self, Box<dyn Error>> {
        if let Some(path) = path {
            check_record(path)?;
        }
        Ok(Self { path: path.map(Into::into), kept: Kept::new(id), added: 0 })
    }

    /// Keeps all that is going to happen in a file that can be a record.
    pub fn keep_in(&mut self, path: &Path) {
        self.path = Some(path.into());
    }

    /// One that a record holds and that is open: the one of this name, or the last.
    ///
    /// # Errors
    /// Where there is none that can go on.
    pub fn resume(path: &Path, id: Option<&str>) -> Result<Self, Box<dyn Error>> {
        let recorder = Self::again(path, id)?;
        if recorder.kept.is_open() {
            return Ok(recorder);
        }
        let (named, id) = (path.display(), &recorder.kept.id);
        Err(format!("{named}: the examination {id} is finished: begin another without --resume, or note its near add with --resume {id} --add").into())
    }

    /// One that a record holds, open or finished, of which the last entry can be taken back: the one of this name, or the
    /// last that is open.
    ///
    /// # Errors
    /// Where there is none, or another version of the procedure began it.
    pub fn again(path: &Path, id: Option<&str>) -> Result<Self, Box<dyn Error>> {
        let named = path.display();
        let records = read_record(path)?;
        let kept = wanted(&records, id, path)?;
        if kept.is_of_today() {
            return Ok(Self { path: Some(path.into()), kept: kept.clone(), added: 0 });
        }
        Err(format!(
            "{named}: the examination {} was begun by version {} of the procedure, which asks otherwise than today’s version {PROCEDURE_VERSION}: begin another without --resume",
            kept.id, kept.version
        )
        .into())
    }

    /// Goes on with an event at a moment, such as `2026-03-31T09:30:00Z`: written first, then counted.
    ///
    /// # Errors
    /// Where the event is out of turn, or the record cannot be written; then nothing has happened.
    pub fn happen(&mut self, event: Event, at: &str) -> Result<(), Box<dyn Error>> {
        self.happen_before(event, at, None)
    }

    /// As [`Self::happen`], and the record keeps what the wall showed meanwhile.
    ///
    /// # Errors
    /// As there.
    pub fn happen_before(
        &mut self,
        event: Event,
        at: &str,
        wall: Option<OnWall>,
    ) -> Result<(), Box<dyn Error>> {
        let mut after = self.kept.clone();
        let line = after.take_before(event, at, wall)?;
        if let Some(path) = &self.path {
            let last = |present: &str| self.kept.is_last_in(present);
            if !append_after(path, &line, last)? {
                let (named, id) = (path.display(), &self.kept.id);
                return Err(format!(
                    "{named}: no longer ends where {id} left it, since another program wrote on or the file was moved: stop, and go on with --resume"
                )
                .into());
            }
            self.added += line.len() as u64 + 1;
        }
        self.kept = after;
        Ok(())
    }

    /// Where it is written.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }
}

/// The examination of a name, or the last that is open.
fn wanted<'a>(records: &'a Records, id: Option<&str>, path: &Path) -> Result<&'a Kept, String> {
    let named = path.display();
    let Some(id) = id else {
        let open = records.kept.iter().rev().find(|kept| kept.is_open());
        return open.ok_or_else(|| {
            format!("{named}: has no examination that is still open: begin one without --resume")
        });
    };
    let kept = records.named(id);
    kept.ok_or_else(|| format!("{named}: has no examination {id:?}: see what it has with --show {named}"))
}

/// Refuses a file that is no record, as [`read_record`] does, without going through all of a long one.
fn check_record(path: &Path) -> Result<(), Box<dyn Error>> {
    let beginning = store::beginning(path, MOST_KEPT_BYTES, BEGINNING_BYTES).unwrap_or_default();
    if Records::has_a_line(&String::from_utf8_lossy(&beginning)) {
        return Ok(());
    }
    read_record(path).map(drop)
}

/// A record, or nothing yet; refuses a file that is something else.
///
/// # Errors
/// Where it cannot be read or is no record.
pub fn read_record(path: &Path) -> Result<Records, Box<dyn Error>> {
    let named = path.display();
    let text = match store::read(path, MOST_KEPT_BYTES) {
        Ok(bytes) => String::from_utf8_lossy(&bytes).into_owned(),
        Err(error) if error.is_missing() => {
            let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
            if folder.is_some_and(|folder| !folder.is_dir()) {
                return Err(format!(
                    "{named}: its folder does not exist: make the folder first, or name another file"
                )
                .into());
            }
            return Ok(Records::default());
        }
        Err(error) => return Err(format!("{named}: cannot be read ({error}): name another file").into()),
    };
    let records = Records::read(&text);
    if records.kept.is_empty() && !Records::can_be(&text) {
        return Err(format!("{named}: is no record of balances: name another file").into());
    }
    Ok(records)
}
