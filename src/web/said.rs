//! The sentences that pages show as Rust has them.
//!
//! Words come from the balance itself, so that a page cannot say another rule than the one that is followed.

use serde::Serialize;

use crate::balance::{ColourVision, words};

/// What both pages say in the balance's own words.
#[derive(Debug, Clone, Copy, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Said {
    /// What the patient is asked.
    question: &'static str,
    /// What a patient with a colour vision defect is asked.
    by_side: &'static str,
    /// What the patient is told before the first question.
    no_difference: &'static str,
    /// What the examiner sees before every question.
    before_asking: &'static str,
    seizures: &'static str,
    supervision: &'static str,
    not_approved: &'static str,
}

impl Said {
    pub(super) const fn new() -> Self {
        Self {
            question: words::question(ColourVision::Usual),
            by_side: words::question(ColourVision::Protan),
            no_difference: words::NO_DIFFERENCE,
            before_asking: words::BEFORE_ASKING,
            seizures: words::SEIZURES,
            supervision: words::SUPERVISION,
            not_approved: words::NOT_APPROVED,
        }
    }
}
