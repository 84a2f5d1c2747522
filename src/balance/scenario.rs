//! The eyes that trials are made for, and what is tried on each.

use super::end_point::EndPoint;
use super::eye_kind::EyeKind;
use super::patient::{Accommodation, Patient};
use super::rules::{Procedure, Rules};
use crate::quantity::Length;

/// How an eye is asked in a trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tried {
    /// The rules.
    pub rules: Rules,
    /// How the patient answers.
    pub patient: Patient,
    /// Whether these rules are what is proposed for the eye.
    pub usual: bool,
}

/// An eye that a trial is made for: its kind and its pupil, or the aperture that stands for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scenario {
    /// What is known of its focus.
    pub kind: EyeKind,
    /// Its pupil: 1.6 to 6 mm.
    pub pupil: Length,
}

impl Scenario {
    /// All of them. A presbyopic eye stands for a pseudophakic one too: behind the same pupil they are the same to the model.
    pub const ALL: [Self; 7] = [
        Self::new(EyeKind::SmallAperture, 1.6),
        Self::new(EyeKind::SmallAperture, 2.0),
        Self::new(EyeKind::Presbyopic, 3.0),
        Self::new(EyeKind::Presbyopic, 4.0),
        Self::new(EyeKind::Accommodating, 4.0),
        Self::new(EyeKind::Accommodating, 5.0),
        Self::new(EyeKind::Accommodating, 6.0),
    ];

    /// The rules with a way of asking and the kind's usual end point; none where it is refused in this eye.
    #[must_use]
    pub fn rules(&self, procedure: Procedure) -> Option<Rules> {
        Rules::new(procedure, self.kind.usual_end_point(), self.kind.accommodates()).ok()
    }

    /// What a trial tries on it: each procedure with the usual end point, and in an eye that accommodates each end point,
    /// also with fog that does not last.
    #[must_use]
    pub fn tried(&self) -> Vec<Tried> {
        let usual = self.kind.usual_rules();
        let tried = |patient| move |rules| Tried { rules, patient, usual: rules == usual };
        if !self.kind.accommodates() {
            let rules = Procedure::ALL.into_iter().filter_map(|procedure| self.rules(procedure));
            return rules.map(tried(Patient::typical())).collect();
        }
        let patients = [Accommodation::typical(), Accommodation::restless()]
            .map(|accommodation| Patient::typical().with_accommodation(accommodation));
        let all =
            |patient| EndPoint::ALL.map(|end_point| Rules::from_plus(end_point, true)).map(tried(patient));
        patients.into_iter().flat_map(all).collect()
    }

    const fn new(kind: EyeKind, mm: f64) -> Self {
        Self { kind, pupil: Length::mm(mm) }
    }
}
