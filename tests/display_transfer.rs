//! Published display spectra through the eye, against an independent computation.
//!
//! The reference: numpy 2.4.6 with the V(λ) and the two displays of colour-science 0.4.7. For every nanometre from 380 to
//! 780 the pupil stands on 200 of 512 samples with a grey edge, its defocus by Thibos et al. 1992 with 570 nm in focus; a
//! fast transform makes the image of a point, another its transfer, and transfers are summed by luminance.

use std::path::Path;

use evenfield::eye::{Eye, Pupil};
use evenfield::light::{Bands, Spectrum};
use evenfield::quantity::{Dioptres, Length, SpatialFrequency};

/// What a pupil on 200 samples is off by: with 400 samples it is off by half as much.
const SAMPLED_PUPIL: f64 = 1e-3;

const CYCLES: [f64; 5] = [5.0, 10.0, 15.0, 20.0, 30.0];

#[test]
fn published_displays_are_transferred_as_elsewhere() {
    for (name, mm, lens_error, elsewhere) in [
        ("lcd_red", 1.6, 0.5, [0.841_02, 0.673_37, 0.523_19, 0.396_85, 0.199_90]),
        ("lcd_red", 3.0, -0.25, [0.791_13, 0.476_77, 0.224_53, 0.077_60, -0.011_87]),
        ("lcd_green", 1.6, 0.5, [0.803_00, 0.568_55, 0.384_18, 0.264_01, 0.149_09]),
        ("lcd_green", 3.0, -0.25, [0.915_95, 0.812_53, 0.707_69, 0.611_45, 0.455_42]),
        ("crt_red", 1.6, 0.5, [0.835_38, 0.658_39, 0.503_74, 0.378_36, 0.191_94]),
        ("crt_red", 3.0, -0.25, [0.804_71, 0.513_93, 0.278_89, 0.138_03, 0.039_96]),
        ("crt_green", 1.6, 0.5, [0.796_14, 0.552_49, 0.365_03, 0.246_13, 0.135_85]),
        ("crt_green", 3.0, -0.25, [0.910_04, 0.794_60, 0.678_69, 0.575_43, 0.417_24]),
    ] {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/data/{name}.csv"));
        let light = Bands::of(&Spectrum::from_csv(&std::fs::read_to_string(file).unwrap()).unwrap());
        let eye = Eye::with_pupil(Pupil::new(Length::mm(mm)).unwrap());
        for (cycles, elsewhere) in CYCLES.into_iter().zip(elsewhere) {
            let frequency = SpatialFrequency::cycles_per_degree(cycles);
            let ours = eye.transfer(Dioptres::new(lens_error), &light, frequency);
            assert!((ours - elsewhere).abs() < SAMPLED_PUPIL, "{name} {mm} {cycles}: {ours} {elsewhere}");
        }
    }
}
