//! The eyes that trials are made for, and what is tried on each.

use super::end_point::EndPoint;
use super::eye_kind::EyeKind;
use super::patient::{Accommodation, Patient};
use super::rules::{Procedure, Rules, Way};
use crate::quantity::Length;

/// How an eye is asked in a trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tried {
    /// Who asks.
    pub way: Way,
    /// Whether the midpoint on white is looked for as well.
    pub then_midpoint: bool,
    /// How the patient answers.
    pub patient: Patient,
    /// Whether this is what is proposed for the eye.
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

    /// The kind's usual end point with a procedure; none where it is refused in this eye.
    #[must_use]
    pub fn way(&self, procedure: Procedure) -> Option<Way> {
        Way::new(procedure, self.kind.usual_end_point(), self.kind.accommodates()).ok()
    }

    /// What a trial tries on it: each procedure with the usual end point, in an eye that accommodates each end point, also
    /// with fog that does not last, and the adaptive way; elsewhere that with the midpoint besides.
    #[must_use]
    pub fn tried(&self) -> Vec<Tried> {
        let usual = self.kind.usual_way();
        let ways: Vec<Way> = if self.kind.accommodates() {
            let from_plus = EndPoint::ALL.map(|end_point| Way::Rules(Rules::from_plus(end_point, true)));
            from_plus.into_iter().chain(self.way(Procedure::Adaptive)).collect()
        } else {
            Procedure::ALL.into_iter().filter_map(|procedure| self.way(procedure)).collect()
        };
        let both = self.way(Procedure::Adaptive).filter(|_| !self.kind.accommodates());
        let all: Vec<(Way, bool)> =
            ways.into_iter().map(|way| (way, false)).chain(both.map(|way| (way, true))).collect();
        let tried = |patient: Patient| {
            all.clone().into_iter().map(move |(way, then_midpoint)| Tried {
                way,
                then_midpoint,
                patient,
                usual: way == usual && !then_midpoint,
            })
        };
        self.patients().into_iter().flat_map(tried).collect()
    }

    /// The typical patients: one, or in an eye that accommodates one whom fog relaxes and one whom it does not.
    fn patients(&self) -> Vec<Patient> {
        if !self.kind.accommodates() {
            return vec![Patient::typical()];
        }
        let eyes = [Accommodation::typical(), Accommodation::restless()];
        eyes.map(Patient::accommodating).to_vec()
    }

    /// Pupils that a trial's patients have, all as often: an aperture is what it is, an iris as wide, a tenth narrower or a
    /// tenth wider. Assumed.
    #[must_use]
    pub fn pupils(&self) -> Vec<Length> {
        if self.kind == EyeKind::SmallAperture {
            vec![self.pupil]
        } else {
            [0.9, 1.0, 1.1].map(|times| self.pupil * times).to_vec()
        }
    }

    const fn new(kind: EyeKind, mm: f64) -> Self {
        Self { kind, pupil: Length::mm(mm) }
    }
}
