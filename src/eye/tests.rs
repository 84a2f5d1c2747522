//! The transfer of the eye against closed forms and against libraries that this project did not write.

use std::f64::consts::PI;

use super::*;
use crate::light::{Bands, Spectrum};
use crate::quantity::{Dioptres, Length, SpatialFrequency, Wavelength};

const GREEN: Wavelength = Wavelength::nm(555.0);

fn eye(mm: f64) -> Eye {
    let pupil = Pupil::new(Length::mm(mm)).unwrap();
    Eye { focus_at: GREEN, spherical_um: 0.0, ..Eye::with_pupil(pupil) }
}

/// The cut-off of 555 nm behind a pupil.
fn cut_off(mm: f64) -> f64 {
    mm * 1e-3 / GREEN.to_m() * PI / 180.0
}

fn transfer(eye: &Eye, lens_error: f64, cycles: f64) -> f64 {
    eye.transfer_at(Dioptres::new(lens_error), GREEN, SpatialFrequency::cycles_per_degree(cycles))
}

#[test]
fn in_focus_it_is_the_diffraction_transfer() {
    // prysm 0.21.1, diffraction_limited_mtf at these shares of the cut-off; (2/π)(acos ν − ν√(1−ν²)) gives the same.
    for (share, elsewhere) in [
        (0.1, 0.872_888_571_6),
        (0.25, 0.685_037_642_5),
        (0.5, 0.391_002_219_0),
        (0.75, 0.144_293_612_8),
        (0.9, 0.037_386_073_5),
    ] {
        for mm in [1.6, 3.0, 6.0] {
            let ours = transfer(&eye(mm), 0.0, share * cut_off(mm));
            assert!((ours - elsewhere).abs() < 1e-7, "{share} {mm}: {ours}");
        }
    }
    assert!(transfer(&eye(3.0), 0.0, 1.01 * cut_off(3.0)).abs() < 1e-12);
}

/// What is left of the peak of a point's image: the transfer's volume over that in focus.
fn strehl(eye: &Eye, lens_error: f64) -> f64 {
    let mm = eye.pupil.diameter().to_mm();
    let volume = |lens_error: f64| -> f64 {
        let steps = 400;
        let ring = |step: i32| {
            let share = (f64::from(step) + 0.5) / f64::from(steps);
            share * transfer(eye, lens_error, share * cut_off(mm))
        };
        (0..steps).map(ring).sum()
    };
    volume(lens_error) / volume(0.0)
}

#[test]
fn defocus_takes_from_the_peak_what_theory_says() {
    // [sin(πw)/(πw)]² with w waves at the edge: a classic closed form, from memory; nought at one wave, 0.811 at a quarter
    // (an excerpt on the quarter-wave rule has about 0.8; its title is not recorded).
    for (waves, left) in [(0.25, 0.8106), (0.5, 0.4053), (0.75, 0.0901), (1.0, 0.0), (1.5, 0.0450)] {
        let eye = eye(3.0);
        let lens_error = eye.defocus_of_waves(waves).to_d();
        assert!((strehl(&eye, lens_error) - left).abs() < 2e-4, "{waves}");
    }
    // The same closed form by hand, w = D²·ΔF/8λ: 0.20 D, half the interval of usual filters, are 0.115 waves at 1.6
    // mm, which leaves 0.957, and 0.721 waves at 4 mm, which leaves 0.115.
    assert!((strehl(&eye(1.6), 0.2) - 0.957).abs() < 2e-3);
    assert!((strehl(&eye(4.0), 0.2) - 0.115).abs() < 2e-3);
}

#[test]
fn far_out_of_focus_it_is_that_of_a_disc() {
    // Geometry: a disc of D·ΔF radians, whose transfer 2J₁(x)/x has its first zero at 1.2197 over its width (1.22 in
    // Jackson & Bailey 2004, excerpt; the further digits are from memory).
    let (mm, lens_error) = (6.0, 2.0);
    let disc_deg = f64::to_degrees(mm * 1e-3 * lens_error);
    let first = 1.2197 / disc_deg;
    let eye = eye(mm);
    assert!(transfer(&eye, lens_error, 0.97 * first) > 0.0 && transfer(&eye, lens_error, 1.03 * first) < 0.0);
    // J₁(1) = 1/2 − 1/16 + 1/384 − … = 0.440051 by its series: at x = 1 the transfer is 0.8801.
    let cycles = 1.0 / (PI * disc_deg);
    assert!((transfer(&eye, lens_error, cycles) - 0.8801).abs() < 0.01);
}

#[test]
fn too_much_plus_and_too_much_minus_blur_one_colour_alike() {
    for cycles in [5.0, 20.0, 60.0] {
        let [plus, minus] = [0.5, -0.5].map(|lens_error| transfer(&eye(4.0), lens_error, cycles));
        assert!((plus - minus).abs() < 1e-9);
    }
}

/// Frequencies of the table below in cycles a degree.
const CYCLES: [f64; 5] = [5.0, 10.0, 15.0, 20.0, 30.0];

/// A grid of 200 samples across the pupil is off by up to 1.7e-3 at 6 mm; with 400 samples by less than half of that.
const SAMPLED_PUPIL: f64 = 2e-3;

#[test]
fn lights_of_many_wavelengths_are_transferred_as_by_two_dimensional_transforms() {
    // numpy 2.4.6 with the V(λ) of colour-science 0.4.7: the pupil on 200 of 512 samples with a grey edge, its image by a
    // fast transform, that image's transform, every nanometre from 400 to 700, 570 nm in focus where not said otherwise.
    let band =
        |peak: f64, width: f64| Bands::of(&Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)));
    let [red, green] = [band(615.0, 45.0), band(538.0, 60.0)];
    let plain = |mm: f64| Eye { focus_at: Wavelength::nm(570.0), ..eye(mm) };
    let other =
        Eye { chromatic: ChromaticEye::AtchisonSmith2005, focus_at: Wavelength::nm(560.0), ..plain(4.0) };
    for (eye, lens_error, light, elsewhere) in [
        (plain(3.0), 0.25, &red, [0.916_45, 0.821_73, 0.725_58, 0.634_19, 0.475_74]),
        (plain(3.0), 0.25, &green, [0.807_22, 0.512_45, 0.274_53, 0.132_37, 0.030_34]),
        (plain(5.0), -0.4, &green, [0.800_73, 0.480_22, 0.252_04, 0.142_92, 0.078_36]),
        (plain(1.6), 0.5, &red, [0.841_08, 0.672_64, 0.522_05, 0.396_42, 0.203_38]),
        (other, 0.3, &green, [0.723_99, 0.322_94, 0.092_27, 0.016_26, 0.003_40]),
        (
            Eye { spherical_um: 0.15, ..plain(6.0) },
            0.2,
            &red,
            [0.770_16, 0.517_29, 0.364_09, 0.253_86, 0.111_26],
        ),
        (
            Eye { spherical_um: 0.15, ..plain(6.0) },
            -0.3,
            &green,
            [0.795_28, 0.461_55, 0.212_74, 0.102_92, 0.081_98],
        ),
        (
            Eye { stiles_crawford: true, ..plain(6.0) },
            0.3,
            &green,
            [0.511_76, 0.064_75, -0.000_22, 0.002_15, 0.001_15],
        ),
        (
            Eye { dispersion: 1.3, ..plain(3.0) },
            0.25,
            &green,
            [0.775_81, 0.449_13, 0.218_82, 0.102_03, 0.031_91],
        ),
    ] {
        for (cycles, elsewhere) in CYCLES.into_iter().zip(elsewhere) {
            let frequency = SpatialFrequency::cycles_per_degree(cycles);
            let ours = eye.transfer(Dioptres::new(lens_error), light, frequency);
            assert!(
                (ours - elsewhere).abs() < SAMPLED_PUPIL,
                "{eye:?} {lens_error} {cycles}: {ours} {elsewhere}"
            );
        }
    }
}

#[test]
fn spherical_aberration_is_counted_from_four_millimetres_on() {
    let spherical = |mm: f64| Eye::with_pupil(Pupil::new(Length::mm(mm)).unwrap()).spherical_um;
    assert!(spherical(3.99).abs() < 1e-12);
    assert!((spherical(4.0) - 0.1).abs() < 1e-12);
}

#[test]
fn a_point_is_as_wide_as_the_slope_at_the_pupils_edge_has_it() {
    // 0.1 µm over 6 mm are 6·√5·0.1 = 1.341641 µm of wave at the edge by the fourth power, whose slope there is 4/R times as much: to
    // either side 4 · 1.341641e-6/0.003 radians, together 3.577709e-3, which are 12.2993 minutes.
    const HALF_A_DIGIT: f64 = 5e-5;
    let eye = Eye { spherical_um: 0.1, ..eye(6.0) };
    let in_focus = Bands::of(&Spectrum::line(GREEN));
    assert!((eye.blur(Dioptres::new(0.0), &in_focus).to_arcmin() - 12.2993).abs() < HALF_A_DIGIT);
}

#[test]
fn rows_of_transfers_are_summed_finely_enough_for_their_farthest_lens_error() {
    // A thousandth of the last decimal that any page gives of a clarity.
    const SUM: f64 = 1e-6;
    let light = Bands::of(&Spectrum::line(GREEN));
    for (spherical_um, from, step) in [(0.0, 1.0, 0.5), (0.0, -1.0, -0.5), (0.3, 0.5, 0.75)] {
        let eye = Eye { spherical_um, ..eye(6.0) };
        let at = LensErrors { from: Dioptres::new(from), step: Dioptres::new(step), count: 6 };
        for cycles in [3.0, 20.0, 60.0] {
            let frequency = SpatialFrequency::cycles_per_degree(cycles);
            for (at, ours) in at.iter().zip(eye.transfers_at(at, &light, frequency)) {
                let alone = eye.transfer(at, &light, frequency);
                assert!((ours - alone).abs() < SUM, "{at:?} {cycles}: {ours} {alone}");
            }
        }
    }
}

/// Of a pupil whose edge counts less, in focus: each column of the overlap is an integral of a Gaussian, which the error function
/// has, and the columns are summed here by midpoints.
#[test]
fn light_that_counts_less_at_the_edge_is_transferred_as_by_the_error_function() {
    const SUM: f64 = 1e-6;
    const COLUMNS: u32 = 20_000;
    for (fall, share) in [(1.0, 0.1), (1.0, 0.5), (3.0, 0.3), (0.2, 0.8)] {
        let f = f64::sqrt(fall);
        let width = (1.0 - share) / f64::from(COLUMNS);
        let column = |index: u32| {
            let x = width * (f64::from(index) + 0.5);
            let half_high = (1.0 - (x + share).powi(2)).sqrt();
            // Both halves of the column, on both sides of the middle.
            4.0 * width * (-fall * (x * x + share * share)).exp() * PI.sqrt() / (2.0 * f)
                * libm::erf(f * half_high)
        };
        let light = PI * (1.0 - (-fall).exp()) / fall;
        let expected: f64 = (0..COLUMNS).map(column).sum::<f64>() / light;
        let ours = transfer::Wavefront { defocus: 0.0, fourth: 0.0, fall }.transfer(share);
        assert!((ours - expected).abs() < SUM, "{fall} {share}: {ours} {expected}");
    }
}

#[test]
fn where_light_hardly_counts_less_at_the_edge_the_sum_is_that_of_fresnels_integral() {
    // A fall of 1e-9 takes no more than that from any transfer.
    const SUM: f64 = 1e-6;
    for (defocus, fourth) in [(0.0, 1.5), (0.7, -0.8), (-1.2, 2.5)] {
        for share in [0.05, 0.2, 0.4, 0.7] {
            let [none, hardly] =
                [0.0, 1e-9].map(|fall| transfer::Wavefront { defocus, fourth, fall }.transfer(share));
            assert!((none - hardly).abs() < SUM, "{defocus} {fourth} {share}: {none} {hardly}");
        }
    }
}
