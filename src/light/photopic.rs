//! How bright an eye finds each wavelength.
//!
//! Three tables of one length, as their sources print them, every 5 nm. A photometer measures by the oldest; eyes differ from it by
//! 10 % and more between red and green, which is why the report says how two other observers see the fields.

use crate::quantity::Wavelength;

/// The wavelengths of the tables in nanometres: first, step, last.
const FIRST_NM: f64 = 380.0;
const STEP_NM: f64 = 5.0;
const LAST_NM: f64 = 780.0;

/// V(λ) of [CIE 1924](crate::bibliography::CIE_1924), every 5 nm from 380 to 780 nm.
const PHOTOPIC_1924: [f64; 81] = [
    3.9e-5,
    6.4e-5,
    0.000_12,
    0.000_217,
    0.000_396,
    0.000_64,
    0.001_21,
    0.002_18,
    0.004,
    0.007_3,
    0.011_6,
    0.016_84,
    0.023,
    0.029_8,
    0.038,
    0.048,
    0.06,
    0.073_9,
    0.090_98,
    0.112_6,
    0.139_02,
    0.169_3,
    0.208_02,
    0.258_6,
    0.323,
    0.407_3,
    0.503,
    0.608_2,
    0.71,
    0.793_2,
    0.862,
    0.914_85,
    0.954,
    0.980_3,
    0.994_95,
    1.0,
    0.995,
    0.978_6,
    0.952,
    0.915_4,
    0.87,
    0.816_3,
    0.757,
    0.694_9,
    0.631,
    0.566_8,
    0.503,
    0.441_2,
    0.381,
    0.321,
    0.265,
    0.217,
    0.175,
    0.138_2,
    0.107,
    0.081_6,
    0.061,
    0.044_58,
    0.032,
    0.023_2,
    0.017,
    0.011_92,
    0.008_21,
    0.005_723,
    0.004_102,
    0.002_929,
    0.002_091,
    0.001_484,
    0.001_047,
    0.000_74,
    0.000_52,
    0.000_361_1,
    0.000_249_2,
    0.000_171_9,
    0.000_12,
    8.48e-5,
    6e-5,
    4.24e-5,
    3e-5,
    2.12e-5,
    1.499e-5,
];

/// The luminous efficiency of [CIE 2008](crate::bibliography::CIE_2008) for 2°, every 5 nm; it begins at 390 nm.
const PHOTOPIC_2008: [f64; 81] = [
    0.0,
    0.0,
    0.000_414_616,
    0.001_059_65,
    0.002_452_19,
    0.004_971_72,
    0.009_079_86,
    0.014_293_8,
    0.020_273_7,
    0.026_121_1,
    0.033_190_4,
    0.041_579_4,
    0.050_336_6,
    0.057_433_9,
    0.064_723_5,
    0.072_383_4,
    0.085_148_2,
    0.106_014,
    0.129_896,
    0.153_507,
    0.178_805,
    0.206_483,
    0.237_916,
    0.285_068,
    0.348_354,
    0.427_76,
    0.520_497,
    0.620_626,
    0.718_089,
    0.794_645,
    0.857_58,
    0.907_135,
    0.954_468,
    0.981_411,
    0.989_023,
    0.999_461,
    0.996_774,
    0.990_255,
    0.973_261,
    0.942_457,
    0.896_361,
    0.858_72,
    0.811_587,
    0.754_479,
    0.691_855,
    0.627_007,
    0.558_375,
    0.489_595,
    0.422_99,
    0.360_924,
    0.298_086,
    0.241_69,
    0.194_312,
    0.154_74,
    0.119_312,
    0.089_795_9,
    0.066_710_4,
    0.048_997,
    0.035_599_8,
    0.025_542_2,
    0.018_079_4,
    0.012_615_7,
    0.008_661_28,
    0.006_027_68,
    0.004_195_94,
    0.002_910_86,
    0.001_995_56,
    0.001_367_02,
    0.000_944_727,
    0.000_653_705,
    0.000_455_597,
    0.000_317_974,
    0.000_221_745,
    0.000_156_557,
    0.000_110_393,
    7.82744e-5,
    5.57886e-5,
    3.98188e-5,
    2.86018e-5,
    2.05126e-5,
    1.48724e-5,
];

/// The middle-wavelength cones for 2°, by which a protanope sees brightness, every 5 nm from 390 nm
/// ([Stockman & Sharpe](crate::bibliography::STOCKMAN_SHARPE_2000)).
const MIDDLE_CONES: [f64; 81] = [
    0.0,
    0.0,
    0.000_368_349,
    0.000_958_658,
    0.002_269_91,
    0.004_700_1,
    0.008_793_69,
    0.014_527_7,
    0.021_664_9,
    0.029_571_4,
    0.039_456_6,
    0.051_819_9,
    0.064_778_2,
    0.075_881_2,
    0.087_052_4,
    0.098_193_4,
    0.116_272,
    0.144_541,
    0.175_893,
    0.205_398,
    0.235_754,
    0.268_063,
    0.303_63,
    0.357_061,
    0.427_764,
    0.515_587,
    0.615_52,
    0.719_154,
    0.816_61,
    0.885_55,
    0.935_687,
    0.968_858,
    0.995_217,
    0.997_193,
    0.977_193,
    0.956_583,
    0.917_75,
    0.873_205,
    0.813_509,
    0.740_291,
    0.653_274,
    0.572_597,
    0.492_599,
    0.411_246,
    0.334_429,
    0.264_872,
    0.205_273,
    0.156_243,
    0.116_641,
    0.085_587_2,
    0.062_112,
    0.044_487_9,
    0.031_428_2,
    0.021_803_7,
    0.015_448,
    0.010_712,
    0.007_302_55,
    0.004_971_79,
    0.003_436_67,
    0.002_376_17,
    0.001_637_34,
    0.001_121_28,
    0.000_761_051,
    0.000_525_457,
    0.000_365_317,
    0.000_253_417,
    0.000_174_402,
    0.000_120_608,
    8.41716e-5,
    5.89349e-5,
    4.16049e-5,
    2.94354e-5,
    2.0886e-5,
    1.50458e-5,
    1.082e-5,
    7.82271e-6,
    5.69093e-6,
    4.13998e-6,
    3.02683e-6,
    2.211e-6,
    1.63433e-6,
];

/// An eye's luminous efficiency.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Observer {
    /// V(λ) of CIE 1924, by which photometers measure.
    Standard,
    /// The efficiency of CIE 2008, nearer to an average eye.
    Cie2008,
    /// An eye without long-wavelength cones.
    Protanope,
}

impl Observer {
    /// The efficiency at a wavelength, about 1 at its peak and 0 outside 380 to 780 nm; between the table's rows a
    /// cubic through the four around, which is off by at most 3e-4 for the standard observer and 1e-3 for the others.
    ///
    /// ```
    /// # use evenfield::{light::Observer, quantity::Wavelength};
    /// assert_eq!(Observer::Standard.efficiency(Wavelength::nm(555.0)), 1.0);
    /// ```
    ///
    /// A protanope, whose middle cones these are, has a third of the standard observer's efficiency in red:
    ///
    /// ```
    /// # use evenfield::{light::Observer, quantity::Wavelength};
    /// // At 615 nm CIE 1924 prints 0.4412, Stockman & Sharpe's middle cones 0.156243.
    /// const PRINTED: f64 = 5e-5;
    /// let at = |observer: Observer| observer.efficiency(Wavelength::nm(615.0));
    /// assert!((at(Observer::Standard) - 0.4412).abs() < PRINTED);
    /// assert!((at(Observer::Protanope) - 0.1562).abs() < PRINTED);
    /// ```
    #[must_use]
    pub fn efficiency(self, wavelength: Wavelength) -> f64 {
        let table = match self {
            Self::Standard => &PHOTOPIC_1924,
            Self::Cie2008 => &PHOTOPIC_2008,
            Self::Protanope => &MIDDLE_CONES,
        };
        let nm = wavelength.to_nm();
        if (FIRST_NM..=LAST_NM).contains(&nm) { between(table, (nm - FIRST_NM) / STEP_NM) } else { 0.0 }
    }
}

/// The cubic through the four rows around a place, counted in rows from the first (Lagrange's).
fn between(table: &[f64; 81], place: f64) -> f64 {
    let row = (1..table.len() - 3).rev().find(|row| *row as f64 <= place).unwrap_or(1);
    let t = place - row as f64;
    let [before, one, two, after] = [-1, 0, 1, 2].map(|step: isize| table[row.saturating_add_signed(step)]);
    -before * t * (t - 1.0) * (t - 2.0) / 6.0 + one * (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0
        - two * (t + 1.0) * t * (t - 2.0) / 2.0
        + after * (t + 1.0) * t * (t - 1.0) / 6.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cubic between rows 5 nm apart.
    const TOLERANCE: f64 = 3e-4;

    /// These two tables are less smooth.
    const ROUGHER: f64 = 1e-3;

    /// colour-science 0.4.7, "CIE 1924 Photopic Standard Observer", which is tabled every nanometre.
    const ROWS: [(u16, f64); 39] = [
        (380, 3.9e-5),
        (392, 0.000_151_492),
        (404, 0.000_572_219),
        (416, 0.002_454_8),
        (428, 0.009_767_68),
        (440, 0.023),
        (452, 0.041_768),
        (464, 0.070_911_1),
        (476, 0.117_532),
        (488, 0.191_274),
        (500, 0.323),
        (512, 0.544_512),
        (524, 0.777_837),
        (536, 0.923_735),
        (548, 0.990_313),
        (560, 0.995),
        (572, 0.938_499),
        (584, 0.827_581),
        (596, 0.682_219),
        (608, 0.528_353),
        (620, 0.381),
        (632, 0.244_89),
        (644, 0.145_126),
        (656, 0.077_120_6),
        (668, 0.036_563_8),
        (680, 0.017),
        (692, 0.007_085_42),
        (704, 0.003_134_09),
        (716, 0.001_384_5),
        (728, 0.000_599_496),
        (740, 0.000_249_2),
        (752, 0.000_104_322),
        (764, 4.54475e-5),
        (776, 1.97785e-5),
        (553, 0.999_112),
        (557, 0.999_305),
        (603, 0.592_476),
        (617, 0.417_036),
        (541, 0.960_256),
    ];

    #[test]
    fn v_lambda_is_that_of_an_independent_library() {
        for (nm, efficiency) in ROWS {
            let own = Observer::Standard.efficiency(Wavelength::nm(f64::from(nm)));
            assert!((own - efficiency).abs() < TOLERANCE, "{nm} nm: {own}, not {efficiency}");
        }
        assert!(Observer::Standard.efficiency(Wavelength::nm(379.0)) == 0.0);
    }

    #[test]
    fn the_other_observers_are_those_of_an_independent_library() {
        // colour-science 0.4.7: "CIE 2008 2 Degree Physiologically Relevant LEF", Stockman & Sharpe 2° fundamentals.
        for (observer, nm, efficiency) in [
            (Observer::Cie2008, 543, 0.973_829),
            (Observer::Cie2008, 612, 0.530_767),
            (Observer::Cie2008, 633, 0.263_195),
            (Observer::Protanope, 543, 0.999_982),
            (Observer::Protanope, 612, 0.184_448),
            (Observer::Protanope, 633, 0.050_909_8),
        ] {
            let own = observer.efficiency(Wavelength::nm(f64::from(nm)));
            assert!((own - efficiency).abs() < ROUGHER, "{observer:?} at {nm} nm: {own}, not {efficiency}");
        }
    }
}
