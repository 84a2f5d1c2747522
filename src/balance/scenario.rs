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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::Stepping;

    #[test]
    fn every_way_is_tried_on_the_eyes_that_it_is_for() {
        for scenario in Scenario::ALL {
            let tried = scenario.tried();
            let by = |way: Procedure| tried.iter().filter(|one| one.way.procedure() == way).count();
            let counts = Procedure::ALL.map(by);
            // By hand, in the order customary, from plus, bracket, adaptive, midpoint. An eye that accommodates may not be asked by the
            // last and third; there are three end points, and two patients, whom fog relaxes or does not. In another eye the adaptive way
            // comes once more, with the midpoint.
            if scenario.kind.accommodates() {
                assert_eq!(counts, [0, 6, 0, 2, 0], "{scenario:?}");
            } else {
                assert_eq!(counts, [1, 1, 1, 2, 1], "{scenario:?}");
            }
            let both: Vec<Procedure> =
                tried.iter().filter(|one| one.then_midpoint).map(|one| one.way.procedure()).collect();
            let expected = if scenario.kind.accommodates() { vec![] } else { vec![Procedure::Adaptive] };
            assert_eq!(both, expected, "{scenario:?}");
        }
    }

    #[test]
    fn what_is_proposed_for_an_eye_is_marked_once_a_patient() {
        for scenario in Scenario::ALL {
            let usual: Vec<Tried> = scenario.tried().into_iter().filter(|one| one.usual).collect();
            let (patients, way) = if scenario.kind.accommodates() {
                (2, Procedure::FromPlus)
            } else {
                (1, Procedure::Adaptive)
            };
            assert_eq!(usual.len(), patients, "{scenario:?}");
            for one in usual {
                assert_eq!((one.way.procedure(), one.then_midpoint), (way, false), "{scenario:?}");
                assert_eq!(one.patient.accommodation.is_some(), scenario.kind.accommodates());
            }
        }
    }

    #[test]
    fn a_way_has_the_kinds_end_point_or_is_refused() {
        let [aperture, .., young] = Scenario::ALL;
        assert_eq!(aperture.way(Procedure::Adaptive), Some(Way::Adaptive(EndPoint::EqualElseLastRed)));
        let bracket = Rules::new(Stepping::Bracket, EndPoint::EqualElseLastRed, false).unwrap();
        assert_eq!(aperture.way(Procedure::Bracket), Some(Way::Rules(bracket)));
        assert_eq!((young.way(Procedure::Bracket), young.way(Procedure::Midpoint)), (None, None));
    }

    #[test]
    fn an_iris_is_a_tenth_wider_or_narrower_and_an_aperture_is_what_it_is() {
        let mm = |place: usize| {
            Scenario::ALL[place].pupils().into_iter().map(|one| one.to_mm()).collect::<Vec<_>>()
        };
        assert_eq!((mm(0), mm(1)), (vec![1.6], vec![2.0]));
        for (place, expected) in [(2, [2.7, 3.0, 3.3]), (5, [4.5, 5.0, 5.5])] {
            let found = mm(place);
            assert_eq!(found.len(), 3);
            assert!(found.iter().zip(expected).all(|(one, other)| (one - other).abs() < 1e-9), "{found:?}");
        }
    }
}
