//! Why a room gets no page to practise on.

use crate::balance::TableError;
use crate::chart::ColourError;
use crate::eye::PupilError;
use crate::room::SpectraError;
use crate::view::{CloseUpError, ModelError};

/// Why a room gets no page to practise on.
#[derive(Debug, thiserror::Error)]
pub enum PracticeError {
    /// The fields cannot have that light.
    #[error(transparent)]
    Colour(#[from] ColourError),
    /// Its spectra cannot be read.
    #[error(transparent)]
    Spectra(#[from] SpectraError),
    /// It cannot be modelled.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// A pupil that no eye has.
    #[error(transparent)]
    Pupil(#[from] PupilError),
    /// A view that takes too much memory.
    #[error(transparent)]
    CloseUp(#[from] CloseUpError),
    /// A picture that cannot be written.
    #[error(transparent)]
    Picture(#[from] ::png::EncodingError),
    /// The model knows no balance behind a pupil.
    #[error(transparent)]
    Tables(#[from] TableError),
}
