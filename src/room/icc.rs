//! Just enough of ICC.1 to know a display profile before it is embedded.

use std::path::Path;

/// A display profile as it came, ready to embed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Profile {
    bytes: Vec<u8>,
}

/// Why a file is not a display profile.
#[derive(Debug, thiserror::Error)]
pub enum ProfileError {
    /// It cannot be read.
    #[error("{0}: cannot be read ({1}): mend or remove screen.profile in the room file")]
    Unreadable(String, String),
    /// It is no RGB display profile.
    #[error(
        "{0}: is not an RGB display profile (ICC.1) of at most 4 MiB: mend or remove screen.profile in the room file"
    )]
    NotADisplay(String),
}

const MAX_BYTES: u64 = 4 << 20;

impl Profile {
    /// Reads a profile and looks at its header (ICC.1, table of the profile header: bytes 0, 12, 16 and 36).
    ///
    /// # Errors
    /// Unreadable, too large, or not an RGB display profile.
    pub fn read(path: &Path) -> Result<Self, ProfileError> {
        let name = || path.display().to_string();
        let bytes = super::small_file(path, MAX_BYTES)
            .map_err(|problem| ProfileError::Unreadable(name(), problem))?;
        let says = |from: usize, what: &[u8]| bytes.get(from..from + what.len()) == Some(what);
        let length = u32::try_from(bytes.len()).unwrap_or(0).to_be_bytes();
        if says(0, &length) && says(12, b"mntr") && says(16, b"RGB ") && says(36, b"acsp") {
            Ok(Self { bytes })
        } else {
            Err(ProfileError::NotADisplay(name()))
        }
    }

    /// The profile's bytes.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }
}
