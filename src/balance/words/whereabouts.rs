//! Where balance lies, and how sure that is.

use serde::Serialize;

use super::super::answer::Answer;
use super::super::course::Course;
use super::super::whereabouts::Whereabouts;
use crate::quantity::{Dioptres, Length};

/// What is said of where balance lies.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct EstimateSaid {
    /// Where it lies and how sure that is, or that this cannot be said.
    pub what: String,
    /// What that rests on.
    pub basis: String,
}

impl Course {
    /// Where balance lies by this eye's answers, and what that rests on; none before the first answer.
    #[must_use]
    pub fn estimate_in_words(&self) -> Option<EstimateSaid> {
        (!self.asked.is_empty() || !self.limits.is_empty()).then(|| EstimateSaid {
            what: self.whereabouts().map_or_else(
                || self.why_not_known().into(),
                |found| found.words(self.start.distance(), self.left_in()) + self.leans_on_the_manifest(),
            ),
            basis: format!(
                "A model’s estimate in sphere at {}: a pupil of {} mm is assumed, and how patients differ.",
                self.start.distance(),
                self.start.kind.assumed_pupil().to_mm()
            ),
        })
    }

    /// What is said of an eye whose questions go on and in which nothing but the manifest bounds balance to one side.
    fn leans_on_the_manifest(&self) -> &'static str {
        let one_sided = Answer::never_changed(self.asked.iter().map(|(_, answer)| *answer));
        if self.limits.is_empty() && self.end().is_none() && one_sided { ONE_SIDED } else { "" }
    }

    /// Why there is no estimate.
    fn why_not_known(&self) -> &'static str {
        if self.ended_by_the_answering() {
            DECIDED_NOTHING
        } else if self.ended_without_a_change() {
            if self.asked.iter().all(|(_, answer)| *answer == Answer::Same) { ALIKE } else { BEYOND }
        } else {
            NOT_KNOWN
        }
    }
}

const DECIDED_NOTHING: &str =
    "Where balance lies is not estimated: these answers say too little of the focus.";

const ALIKE: &str = "Where balance lies is not known: both sides were alike in every lens that was asked.";

const BEYOND: &str = "Where balance lies is not known: only one colour was ever clearer, so it may lie beyond every lens that was asked.";

const ONE_SIDED: &str = " Only one colour was clearer so far: how far balance lies beyond is a guess from how wrong manifests usually are.";

const NOT_KNOWN: &str =
    "Where balance lies cannot be estimated: the model finds none for these letters on these fields.";

impl Whereabouts {
    /// Where balance lies at the distance of the chart and how sure that is, in a sentence or two, with the lens that questions left in,
    /// which need not be the one that stands or was chosen.
    #[must_use]
    pub fn words(&self, distance: Length, left_in: Option<Dioptres>) -> String {
        let Self { balance, low, high, within_a_click, .. } = self;
        let left_in = left_in.zip(*within_a_click).map_or_else(String::new, |(lens, chance)| {
            format!("; the lens left in, {lens}, is within a click of it with {:.0} %", 100.0 * chance)
        });
        let little = if self.says_little() {
            " This says little more than the manifest did."
        } else if self.doubts_the_lens() {
            " So that lens is doubtful: ask again, or check the refraction."
        } else {
            ""
        };
        format!(
            "Estimated balance {balance} for {distance}, 95 % from {} to {high}{left_in}.{little}",
            low.number()
        )
    }
}
