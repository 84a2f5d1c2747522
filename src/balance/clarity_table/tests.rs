use super::*;
use crate::acuity::Acuity;
use crate::eye::{Eye, Pupil, Sides};
use crate::light::{Bands, Spectrum};
use crate::quantity::{Length, Luminance, Wavelength};

/// Red and green bands of screens by peak and width: the demo room, a narrow and a broad one.
pub(in crate::balance) const SCREENS: [[[f64; 2]; 2]; 3] =
    [[[615.0, 45.0], [538.0, 60.0]], [[630.0, 25.0], [530.0, 30.0]], [[610.0, 70.0], [545.0, 85.0]]];

/// Steps that keep tests quick.
const COARSE: Dioptres = Dioptres::new(0.05);

/// What a test does with an eye behind a pupil, on a screen, with a line of letters.
pub(in crate::balance) fn with_curve<T>(
    [red, green]: [[f64; 2]; 2],
    eye: &Eye,
    tenths: i8,
    then: impl FnOnce(&Curve<'_>) -> T,
) -> T {
    let band =
        |[peak, width]: [f64; 2]| Bands::of(&Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)));
    let blue = band([450.0, 20.0]);
    let sides = Sides { red: band(red), green: band(green), blue, white: [0.2126, 0.7152, 0.0722] };
    then(&Curve::new(eye, &sides, Acuity::standard(tenths), Luminance::cd_m2(50.0)))
}

pub(in crate::balance) fn eye(mm: f64) -> Eye {
    Eye::with_pupil(Pupil::new(Length::mm(mm)).unwrap())
}

/// 20/32 letters behind a pupil.
pub(in crate::balance) fn table(screen: [[f64; 2]; 2], mm: f64) -> ClarityTable {
    with_curve(screen, &eye(mm), 2, |curve| ClarityTable::in_steps(curve, COARSE)).unwrap()
}

#[test]
fn between_its_points_it_follows_the_curve() {
    // Where the doc says so: under 0.006 at the usual steps, up to a pupil of 6 mm.
    const ERROR: f64 = 0.006;
    with_curve(SCREENS[0], &eye(6.0), 2, |curve| {
        let table = ClarityTable::of(curve).unwrap();
        // From the far end to the other, halfway between points as the worst place.
        for lens_error in (-70..70).map(|step| f64::from(step) * 0.02 + 0.01) {
            let at = Dioptres::new(lens_error);
            for (ours, whole) in table.at(at).into_iter().zip(curve.clarity(at)) {
                let close = (ours.value() - whole.value()).abs() < ERROR;
                assert!(close || !whole.readable(), "{lens_error}: {ours} {whole}");
            }
        }
        assert!(table.seen(table.balance()).evidence.abs() < 0.2);
    });
}

#[test]
fn beyond_its_reach_it_stays_as_it_is_there() {
    const HAIR: f64 = 1e-9;
    with_curve(SCREENS[0], &eye(1.6), 2, |curve| {
        let table = ClarityTable::in_steps(curve, COARSE).unwrap();
        for (far, end) in [(-9.0, -3.5), (9.0, 3.5)] {
            let there = curve.clarity(Dioptres::new(end));
            for (ours, whole) in table.at(Dioptres::new(far)).into_iter().zip(there) {
                assert!((ours.value() - whole.value()).abs() < HAIR, "{far}: {ours} {whole}");
            }
        }
    });
}
