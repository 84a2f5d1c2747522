//! A question to the patient.

use super::clicks::Clicks;
use super::midpoint::Seeks;
use super::run::Why;
use crate::acuity::{Acuity, Notation};
use crate::light::Side;
use crate::quantity::Dioptres;

/// A question to the patient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// Its place in the course, from 1.
    pub number: usize,
    /// The series that it belongs to: 1, or 2 where the questions are asked a second time.
    pub series: u8,
    /// The sphere in place, at the distance of the chart.
    pub sphere: Dioptres,
    /// By how much it differs from the manifest at this distance.
    pub change: Dioptres,
    /// By how many clicks it differs from the lens before, plus upward.
    pub moved: Clicks,
    /// The line of letters.
    pub line: Acuity,
    /// How that is written: as the acuity before.
    pub notation: Notation,
    /// Where red lies.
    pub red: Side,
    /// Why this lens.
    pub why: Why,
    /// By how much to blur with plus for a moment first, where the eye could accommodate.
    pub blur_first: Option<Dioptres>,
}

/// A question whether a line on white can be read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitQuestion {
    /// Its place in the course, from 1; those about red and green come before it.
    pub number: usize,
    /// The sphere in place, at the distance of the chart.
    pub sphere: Dioptres,
    /// By how much it differs from the manifest at this distance.
    pub change: Dioptres,
    /// By how many clicks it differs from the lens before, plus upward.
    pub moved: Clicks,
    /// The line of letters.
    pub line: Acuity,
    /// How that is written: as the acuity before.
    pub notation: Notation,
    /// Why this lens.
    pub seeks: Seeks,
}
