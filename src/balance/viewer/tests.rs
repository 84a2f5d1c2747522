use super::*;
use crate::balance::estimate::{Belief, Estimate};
use crate::balance::{Answer, Clicks, EyeKind, Put, Scenario, examination::example};
use crate::light::Side;
use crate::room::ScreenKind;

#[test]
fn coarser_clarities_move_no_estimate_by_a_hundredth() {
    const WITHIN_D: f64 = 0.01;
    for kind in [EyeKind::SmallAperture, EyeKind::Presbyopic, EyeKind::Accommodating] {
        let viewer = Viewer::of(&Start { kind, ..example() }).unwrap();
        let put = |clicks: i32| Put {
            clicks: Clicks::new(clicks),
            from_plus: true,
            larger: false,
            red: Some(Side::Left),
        };
        let answers = [(put(1), Answer::Red), (put(-1), Answer::Same), (put(-2), Answer::Unsure)];
        let [coarse, fine] = [STEP, ClarityTable::STEP].map(|step| {
            let known = viewer.worked_out(step).unwrap();
            let prior = Prior::about(known.balance_from_white);
            Belief::after_all(&known.likelihood, prior, &answers).estimate()
        });
        let ends = |one: Estimate| [one.balance, one.low, one.high, one.sd];
        for (one, other) in ends(coarse).into_iter().zip(ends(fine)) {
            assert!((one - other).to_d().abs() < WITHIN_D, "{kind:?}: {coarse:?} {fine:?}");
        }
    }
}

#[test]
fn eyes_of_one_kind_are_those_of_trials() {
    for scenario in Scenario::ALL {
        let of_kind = |one: &&Scenario| one.kind == scenario.kind;
        let pupil = scenario.kind.assumed_pupil();
        assert!(Scenario::ALL.iter().filter(of_kind).any(|one| one.pupil == pupil), "{scenario:?}");
    }
    assert_eq!(EyeKind::Pseudophakic.assumed_pupil(), EyeKind::Presbyopic.assumed_pupil());
}

#[test]
fn the_usual_lights_are_those_of_a_room_without_spectra() {
    let spectra = ScreenKind::ALL[0].spectra();
    for ((peak, width), light) in BANDS_NM.into_iter().zip([spectra.red, spectra.green, spectra.blue]) {
        assert_eq!(Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)), light);
    }
}
