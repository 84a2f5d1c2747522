use super::*;
use crate::acuity::Acuity;
use crate::eye::{ChromaticEye, Pupil};
use crate::light::{Bands, Spectrum};
use crate::quantity::{Length, Luminance, Wavelength};

/// Red, green and blue bands of screens by peak and width: the demo room, and the generic kinds.
const SCREENS: [[[f64; 2]; 2]; 4] = [
    [[615.0, 45.0], [538.0, 60.0]],
    [[625.0, 60.0], [540.0, 80.0]],
    [[630.0, 25.0], [530.0, 30.0]],
    [[620.0, 45.0], [530.0, 45.0]],
];

fn sides([red, green]: [[f64; 2]; 2]) -> Sides {
    let band =
        |[peak, width]: [f64; 2]| Bands::of(&Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)));
    let blue = band([450.0, 20.0]);
    Sides { red: band(red), green: band(green), blue, white: [0.2126, 0.7152, 0.0722] }
}

fn eye(mm: f64) -> Eye {
    Eye::with_pupil(Pupil::new(Length::mm(mm)).unwrap())
}

fn band(tenths: i8) -> LetterBand {
    LetterBand::new(Acuity::standard(tenths), Luminance::cd_m2(50.0))
}

/// Plus lens error makes red clearer, minus makes green clearer, and between them lies one balance near the middle of the
/// two foci: no single wrong sign passes this table. Common practice, no source: red calls for minus.
#[test]
fn red_is_clearer_with_too_much_plus_on_every_screen() {
    for (screen, chromatic, tenths, mm) in SCREENS.into_iter().flat_map(|screen| {
        ChromaticEye::ALL.into_iter().flat_map(move |chromatic| {
            [1, 4].into_iter().flat_map(move |tenths| {
                [1.6, 2.0, 3.0, 5.0, 7.0].map(move |mm| (screen, chromatic, tenths, mm))
            })
        })
    }) {
        let named = format!("{screen:?} {chromatic:?} {tenths} {mm} mm");
        let (eye, sides, band) = (Eye { chromatic, ..eye(mm) }, sides(screen), band(tenths));
        let curve = Curve { eye: &eye, sides: &sides, band: &band };
        let middle = eye.middle_of(&sides.red, &sides.green).to_d();
        let ratio = |at: f64| curve.log_ratio(Dioptres::new(at));
        let near = [-0.15, 0.15].map(|aside| ratio(middle + aside).unwrap());
        assert!(near[0] < 0.0 && near[1] > 0.0, "{named}: {near:?}");
        for aside in [0.4, 0.65, 0.9] {
            assert!(ratio(middle - aside).is_none_or(|ratio| ratio < 0.0), "{named} −{aside}");
            assert!(ratio(middle + aside).is_none_or(|ratio| ratio > 0.0), "{named} +{aside}");
        }
    }
}

#[test]
fn behind_a_millimetre_diffraction_moves_balance_far_to_plus() {
    // Red's cut-off is the lower one, and a click hardly counts: balance itself lies beyond half a dioptre, but each
    // side against its own best balances in the middle.
    let (eye, sides, band) = (eye(1.0), sides(SCREENS[0]), band(2));
    let found = Curve { eye: &eye, sides: &sides, band: &band }.prediction();
    assert!(found.balance_d.unwrap() > found.middle_d + 0.5 && found.diffraction_moves_balance);
    assert!((found.balance_by_own_best_d.unwrap() - found.middle_d).abs() < 0.15);
    assert!(found.noticed_steps_per_click.unwrap() < 0.5);
}

#[test]
fn balance_and_best_white_lie_where_an_earlier_trial_had_them() {
    // A trial of this project's own before this code was written, in a separate program (two-dimensional transforms, letter
    // band 20/32, another contrast sensitivity; which libraries it used is not recorded): balance +0.09, 0.00, 0.00; best
    // white −0.14, −0.09, −0.11 D at 1.6, 3 and 5 mm. It shares the formula for focus, so it is a second sum and no
    // measurement on eyes.
    const TRIAL: f64 = 0.03;
    for (mm, balance, white, per_click) in
        [(1.6, 0.09, -0.14, 0.066), (3.0, 0.0, -0.09, 0.36), (5.0, 0.0, -0.11, 1.03)]
    {
        let (eye, sides, band) = (eye(mm), sides(SCREENS[0]), band(2));
        let found = Curve { eye: &eye, sides: &sides, band: &band }.prediction();
        assert!((found.balance_d.unwrap() - balance).abs() < TRIAL, "{mm} mm: {found:?}");
        assert!((found.white.unwrap().at_d - white).abs() < TRIAL, "{mm} mm: {found:?}");
        // The trial has white within 5 % of its best over about 0.4 D at 1.6 mm.
        let [from, to] = found.white.unwrap().range_d;
        assert!(mm > 2.0 || (0.35..0.6).contains(&(to - from)), "{from} {to}");
        // The contrast sensitivity weighs finer detail less here, so a click counts for less, by a third at the most.
        let share = found.log_ratio_per_click.unwrap() / per_click;
        assert!((0.65..1.05).contains(&share), "{mm} mm: {found:?}");
    }
}

#[test]
fn letters_stop_being_readable_where_smiths_rule_has_it() {
    // Calibration, no evidence: READABLE was set so that this holds. Smith 1991 (excerpt), slope of 0.65′ a millimetre
    // and dioptre from memory: 20/32 (1.585′) is lost at 0.81, 0.61 and 0.49 D of blur behind 3, 4 and 5 mm. Clarity is
    // to pass its limit within a third of that.
    const WITHIN: f64 = 1.0 / 3.0;
    for mm in [3.0, 4.0, 5.0] {
        let (eye, sides, band) = (eye(mm), sides(SCREENS[0]), band(2));
        let curve = Curve { eye: &eye, sides: &sides, band: &band };
        let lost = Acuity::standard(2).to_mar() / (0.65 * mm);
        let best = curve.prediction().white.unwrap().at_d;
        for side in [-1.0, 1.0] {
            let white = |blur: f64| curve.clarity(Dioptres::new(best + side * blur))[2];
            assert!(white(lost * (1.0 - WITHIN)).readable(), "{mm} mm, {side}");
            assert!(!white(lost * (1.0 + WITHIN)).readable(), "{mm} mm, {side}");
        }
    }
}

#[test]
fn depth_of_focus_falls_with_the_pupil_as_published() {
    // Calibration, no evidence: DROP, 0.20 in the logarithm of white's clarity at 20/20, was set so that this holds,
    // and at 6 mm it holds with ordinary aberrations only. Atchison, Charman & Woods 1997, Optom Vis Sci 74:511
    // (excerpt): 0.86, 0.59 and 0.55 D in all at 2, 4 and 6 mm.
    const DROP: f64 = 0.2;
    for (mm, spherical_um, published) in [(2.0, 0.0, 0.86), (4.0, 0.0, 0.59), (6.0, 0.15, 0.55)] {
        let (eye, sides, band) = (Eye { spherical_um, ..eye(mm) }, sides(SCREENS[0]), band(0));
        let curve = Curve { eye: &eye, sides: &sides, band: &band };
        let scan = curve.scan(0.0);
        let best = scan.iter().map(|at| at.clarity[2].value()).fold(0.0, f64::max);
        let within = scan.iter().filter(|at| (best / at.clarity[2].value()).log10() < DROP).count();
        let depth = within as f64 * (scan[1].lens_error - scan[0].lens_error);
        assert!((depth / published - 1.0).abs() < 0.25, "{mm} mm: {depth:.2} D");
    }
}

#[test]
fn a_noticeable_step_is_as_large_as_published() {
    // Calibration, no evidence: NOTICED was set so that this holds behind 3 mm. At no other pupil is it held against
    // anything, and published figures go against it there: Atchison et al. 2005, Vision Res 45:1967 (excerpt), have
    // just-noticeable defocus fall from 0.33 D at 3 mm to 0.28 D at 6 mm only, where this model's step falls from 0.060
    // to 0.017 D. Optom Vis Sci 1989 66:545 (excerpt): changes of 0.05 to 0.07 D are noticed in letters already
    // blurred.
    let (eye, sides, band) = (eye(3.0), sides(SCREENS[0]), band(2));
    let steps = Curve { eye: &eye, sides: &sides, band: &band }.prediction().noticed_steps_per_click.unwrap();
    assert!((0.05..0.07).contains(&(CLICK_D / steps)), "{steps}");
}

#[test]
fn sides_are_compared_where_one_can_be_read() {
    let point = |red: f64, green: f64| {
        let clarity = [red, green, green].map(Clarity::of_share);
        CurvePoint { lens_error_d: 0.0, clarity, modulation: [0.0; 3] }.log_ratio()
    };
    // log10(0.75/0.60).
    assert!((point(0.75, 0.60).unwrap() - 0.0969).abs() < 5e-5);
    assert!(point(0.001, 0.75).unwrap() < 0.0);
    assert_eq!(point(0.001, 0.002), None);
}
