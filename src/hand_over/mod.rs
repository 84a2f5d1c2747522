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

#[cfg(test)]
pub(crate) mod tests;
