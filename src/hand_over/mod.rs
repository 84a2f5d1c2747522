//! An examination as other programs take it: a line to paste, a table with a row an eye, FHIR.
//!
//! A balance is one step of a refraction, and a practice keeps its own files. What leaves here says what was found, how sure that is
//! and what was chosen; it prescribes nothing by itself, and names no patient.

mod attached;
mod eye;
pub mod fhir;
mod line;
mod rows;

pub use attached::{RECORD_NAME, record_of};
pub use eye::HandedEye;
pub use line::lines_to_paste;
pub use rows::rows;

use crate::acuity::Notation;
use crate::balance::CylinderForm;

/// How what is handed over is written: as the examiner does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Writing {
    /// Acuities; none as they were typed.
    pub notation: Option<Notation>,
    /// Cylinders.
    pub cylinders: CylinderForm,
}

impl Default for Writing {
    /// Acuities and cylinders as they were typed.
    fn default() -> Self {
        Self { notation: None, cylinders: CylinderForm::AsTyped }
    }
}
