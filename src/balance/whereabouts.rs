//! Where balance lies in an eye that was asked, and how sure that is, whatever procedure asked.

use serde::Serialize;

use super::clicks::Clicks;
use super::course::Course;
use super::estimate::{Belief, Estimate, USUAL_SD};
use super::viewer::Viewer;
use crate::quantity::Dioptres;

/// A lens that is within a click of balance with less than this chance is doubtful, and an SD over this share of a manifest's own
/// is hardly narrower. This project's own decisions.
const SURE_FROM: f64 = 2.0 / 3.0;
const NARROWER_FROM: f64 = 0.8;

/// Where balance lies in an eye that was asked, in dioptres of sphere at the distance of the chart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Whereabouts {
    /// The mean of all places.
    #[serde(rename = "balance_d")]
    pub balance: Dioptres,
    /// The lower end of the interval that holds it in 95 of 100 eyes.
    #[serde(rename = "low_d")]
    pub low: Dioptres,
    /// The upper end.
    #[serde(rename = "high_d")]
    pub high: Dioptres,
    /// How likely the lens that the questions left in is within a click of 0.25 D of it, 0 to 1; none where they left none in.
    pub within_a_click: Option<f64>,
    /// The SD.
    #[serde(skip)]
    pub sd: Dioptres,
}

impl Whereabouts {
    /// Whether it says little more than the manifest did, by its SD.
    #[must_use]
    pub fn says_little(&self) -> bool {
        self.sd.to_d() > NARROWER_FROM * USUAL_SD.to_d()
    }

    /// Whether the lens that was left in may well lie farther than a click from balance.
    #[must_use]
    pub fn doubts_the_lens(&self) -> bool {
        self.within_a_click.is_some_and(|chance| chance < SURE_FROM)
    }
}

impl Course {
    /// Where balance lies by all answers of this eye; before the first one, where its manifest puts it.
    ///
    /// None where the model knows no balance for its line on these fields, and where the questions ended while one colour was
    /// clearer in every lens: balance then lies beyond them all, and how wrong manifests usually are does not say how far. None
    /// either where they ended because answers followed the side, contradicted each other or could not be given: the model would take
    /// them for the focus, and its interval would be as narrow as any.
    #[must_use]
    pub fn whereabouts(&self) -> Option<Whereabouts> {
        if self.ended_without_a_change() || self.ended_by_the_answering() {
            return None;
        }
        let known = Viewer::of(&self.start)?.known()?;
        let first = self.start.first_lens();
        let prior = known.prior(&self.start);
        let answers: Vec<_> =
            self.asked.iter().map(|(question, answer)| (self.put(question), *answer)).collect();
        let belief = Belief::after_all(&known.likelihood, prior, &answers);
        let belief = self.limits.iter().fold(belief, |belief, (question, answer)| {
            let lens = Clicks::nearest(question.sphere - first);
            belief.after_limit((lens, question.line != self.start.target(0)), *answer)
        });
        let Estimate { balance, low, high, sd } = belief.estimate();
        Some(Whereabouts {
            balance: first + balance,
            low: first + low,
            high: first + high,
            within_a_click: self.left_in().map(|lens| belief.within_a_click_of(lens - first)),
            sd,
        })
    }
}

#[cfg(test)]
mod tests;
