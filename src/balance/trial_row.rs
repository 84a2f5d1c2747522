//! Every way of asking on every eye: the rows of a trial.

use serde::Serialize;

use super::clarity_table::{ClarityTable, TableError};
use super::eye_kind::EyeKind;
use super::rules::Rules;
use super::scenario::{Scenario, Tried};
use super::trial::{Statistics, Trial};
use crate::eye::Sides;
use crate::quantity::Luminance;

/// What a way of asking makes of an eye.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrialRow {
    /// The kind of eye.
    pub kind: EyeKind,
    /// Its pupil in millimetres.
    pub pupil_mm: f64,
    /// Whether fog relaxes it until the answer; so in an eye that does not accommodate.
    pub fog_lasts: bool,
    /// How it was asked.
    pub rules: Rules,
    /// Whether that is what is proposed for it.
    pub usual: bool,
    /// What it came to.
    pub statistics: Statistics,
}

impl TrialRow {
    /// How many rows a trial has.
    #[must_use]
    pub fn count() -> usize {
        Scenario::ALL.iter().map(|scenario| scenario.tried().len()).sum()
    }

    /// Every way of asking on every eye, this many runs each, before a screen and on fields of a luminance. What is called
    /// after each run shows how far it is.
    ///
    /// # Errors
    /// Where an eye has no balance.
    pub fn all(
        sides: &Sides,
        luminance: Luminance,
        (runs, seed): (u32, u64),
        mut each: impl FnMut(),
    ) -> Result<Vec<Self>, TableError> {
        let mut rows = Vec::with_capacity(Self::count());
        for scenario in Scenario::ALL {
            let [line, larger] = ClarityTable::both(sides, luminance, scenario.pupil)?;
            for Tried { rules, patient, usual } in scenario.tried() {
                let trial = Trial { rules, patient, line: &line, larger: Some(&larger), seed };
                rows.push(Self {
                    kind: scenario.kind,
                    pupil_mm: scenario.pupil.to_mm(),
                    fog_lasts: patient.accommodation.is_none_or(|one| one.relaxed_from_plus),
                    rules,
                    usual,
                    statistics: trial.statistics(runs, |_| each()),
                });
            }
        }
        Ok(rows)
    }
}
