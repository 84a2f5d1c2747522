//! Files that a room file names, as what is made for the room may tell of them: without their folders, in whose names a
//! person's own may stand.

use std::path::Path;

use serde::Serialize;

use super::RoomFile;
use crate::store;

/// Larger files are neither profiles nor spectra.
const MOST_BYTES: u64 = 4 << 20;

/// A file that a room file names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct NamedFile {
    /// Where the room file names it.
    pub key: &'static str,
    /// Its name, without its folder.
    pub name: String,
    /// A sum over its bytes, CRC-32 in hexadecimal, where it could be read: enough to recognise a file, no proof against
    /// somebody who wants another one to pass for it.
    pub crc32: Option<String>,
}

impl RoomFile {
    /// The files that it names, by key.
    pub(super) fn named_files(&self) -> [(&'static str, Option<&String>); 4] {
        let [red, green, blue] = self.primaries.as_ref().map_or([None; 3], |table| {
            [&table.red, &table.green, &table.blue].map(|primary| primary.as_ref()?.spectrum.as_ref())
        });
        [
            ("screen.profile", self.screen.profile.as_ref()),
            ("primaries.red.spectrum", red),
            ("primaries.green.spectrum", green),
            ("primaries.blue.spectrum", blue),
        ]
    }

    /// The same with the names of its files alone, for what leaves the practice.
    #[must_use]
    pub fn without_folders(&self) -> Self {
        let mut file = self.clone();
        let primaries = file.primaries.iter_mut();
        let primaries = primaries.flat_map(|table| [&mut table.red, &mut table.green, &mut table.blue]);
        let spectra = primaries.flatten().map(|primary| &mut primary.spectrum);
        for path in spectra.chain([&mut file.screen.profile]).flatten() {
            *path = name(path).into();
        }
        file
    }

    /// What may be told of its files, their paths counted from a folder; unread without one.
    pub(super) fn files_in(&self, folder: Option<&Path>) -> Vec<NamedFile> {
        let read = |path: &str| store::read(&folder?.join(path), MOST_BYTES).ok();
        let named = self.named_files().into_iter().filter_map(|(key, path)| Some((key, path?)));
        named
            .map(|(key, path)| NamedFile {
                key,
                name: name(path).into(),
                crc32: read(path).map(|bytes| format!("{:08x}", crc32fast::hash(&bytes))),
            })
            .collect()
    }
}

/// What follows the last stroke, of either kind, since room files go from one system to another.
fn name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}
