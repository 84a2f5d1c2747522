//! Clarity: how well the letters of a line survive on the way to the retina.
//!
//! Two questions are to be told apart: how much of a letter's detail reaches the retina (the transfer), and how much of that
//! matters for reading it (the band and the eye's own sensitivity). Clarity is the first, averaged by the second.

use std::fmt;

use serde::Serialize;

use crate::acuity::Acuity;
use crate::quantity::{Angle, Luminance, SpatialFrequency};

/// The frequency that letters are mainly read from, in cycles a letter, and the full width in octaves of the band
/// around it at half its height. The frequency is this project's own choice between the 1.5 and the 3 of [Parish &
/// Sperling and Solomon & Pelli](crate::bibliography::LETTER_BAND); the width is that of the former.
const CYCLES_A_LETTER: f64 = 2.5;
const BAND_OCTAVES: f64 = 2.0;

/// How many strokes high a letter is. Each stroke subtends the line's MAR.
const STROKES_A_LETTER: f64 = 5.0;

/// How many octaves of the band are summed to either side of its middle, and in how many steps an octave. At the ends
/// 0.2 % of the band's height is left.
const OCTAVES_ASIDE: i32 = 3;
const STEPS_AN_OCTAVE: i32 = 5;

/// The least clarity of letters that count as readable. Calibrated, so no evidence: set so that a 20/32 letter in white
/// stops being readable at the blur at which [Smith's rule](crate::bibliography::SMITH_1991) has it, with pupils of 3
/// to 5 mm (a test keeps it so). Behind small pupils it is too generous: at 1.6 mm letters of 20/8 still count as
/// readable.
const READABLE: f64 = 0.1;

/// Neural contrast sensitivity, by [Mantiuk et al. 2011](crate::bibliography::MANTIUK_2011): luminance in cd/m², then the
/// parameters of their formula.
const NEURAL: [(f64, [f64; 4]); 6] = [
    (0.002, [0.991_265, 3.740_38, 0.507_22, 4.460_44]),
    (0.02, [0.800_889, 3.541_04, 0.682_505, 4.949_58]),
    (0.2, [0.476_505, 4.374_53, 0.750_315, 5.286_78]),
    (2.0, [0.405_782, 4.406_02, 0.935_314, 5.614_25]),
    (20.0, [0.334_278, 3.795_42, 1.073_27, 6.463_5]),
    (150.0, [0.394_533, 2.775_5, 1.165_77, 7.456_65]),
];

/// How well letters survive on the retina, 0 to 1: c = Σ B(f)·N(f)·T(f) / Σ B(f)·N(f).
///
/// T is the signed optical transfer function (OTF) of the field's own light up to its first zero and 0 beyond, since letters in blur are read
/// from the frequencies before it ([Akutsu, Bedell & Patel 2000](crate::bibliography::AKUTSU_2000)). B is the band of
/// frequencies that letters are read from, a Gaussian in octaves around 2.5 cycles a letter, 2 octaves wide at half its
/// height. N is the contrast sensitivity of the eye without its optics at the field's luminance. The sums run over the
/// logarithm of the frequency. It is not divided by what diffraction leaves of the best focus.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize)]
pub struct Clarity(f64);

impl Clarity {
    /// As a number, 0 to 1.
    #[must_use]
    pub const fn value(self) -> f64 {
        self.0
    }

    /// For tests of what follows from it.
    #[cfg(test)]
    pub(super) const fn of_share(share: f64) -> Self {
        Self(share)
    }

    /// Whether letters of the line can be read at all.
    ///
    /// From 0.1 on. The limit is calibrated behind 3 to 5 mm and too generous behind small pupils; see the module.
    #[must_use]
    pub fn readable(self) -> bool {
        self.0 >= READABLE
    }

    /// As a multiple of the least that can be read, so from 1 on it [can](Self::readable).
    #[must_use]
    pub fn legibility(self) -> f64 {
        self.0 / READABLE
    }

    /// The clarity between this one and another, by linear interpolation: this one at a share of 0, the other at 1.
    ///
    /// ```
    /// # use evenfield::{eye::LetterBand, quantity::Luminance};
    /// // Worked by hand: a quarter of the way from 0.2 to 0.6.
    /// const BINARY_DUST: f64 = 1e-12;
    /// let band = LetterBand::new("20/32".parse()?, Luminance::cd_m2(50.0));
    /// let [dim, clear] = band.clarities(|_| [0.2, 0.6]);
    /// assert!((dim.towards(clear, 0.25).value() - 0.3).abs() < BINARY_DUST);
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn towards(self, other: Self, share: f64) -> Self {
        Self(self.0 + share * (other.0 - self.0))
    }
}

impl fmt::Display for Clarity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.readable() { write!(f, "{:.3}", self.0) } else { f.write_str("not readable") }
    }
}

/// The frequencies that letters of a line are read from, with their weights.
#[derive(Debug, Clone, PartialEq)]
pub struct LetterBand {
    middle: SpatialFrequency,
    neural: [f64; 4],
    nodes: Vec<(SpatialFrequency, f64)>,
}

impl LetterBand {
    /// The band of a line's letters on a field of some luminance.
    #[must_use]
    pub fn new(line: Acuity, luminance: Luminance) -> Self {
        let letter = Angle::arcmin(line.to_mar() * STROKES_A_LETTER);
        let middle = SpatialFrequency::cycles_in(CYCLES_A_LETTER, letter);
        let parameters = neural_parameters(luminance);
        let node = |step: i32| {
            let octaves = f64::from(step) / f64::from(STEPS_AN_OCTAVE);
            let frequency =
                SpatialFrequency::cycles_per_degree(middle.to_cycles_per_degree() * octaves.exp2());
            // 2^−4x² with x in widths at half the height.
            let band = (-4.0 * (octaves / BAND_OCTAVES).powi(2)).exp2();
            (frequency, band * neural(frequency, parameters))
        };
        let last = OCTAVES_ASIDE * STEPS_AN_OCTAVE;
        Self { middle, neural: parameters, nodes: (-last..=last).map(node).collect() }
    }

    /// The frequency in the middle: 30/MAR cycles a degree.
    ///
    /// ```
    /// # use evenfield::{eye::LetterBand, quantity::Luminance};
    /// // Worked by hand: 2½ cycles in the five minutes of a 20/20 letter are 30 cycles a degree, in those of 20/40 15.04.
    /// const HALF_A_DIGIT: f64 = 5e-3;
    /// for (line, cycles) in [("20/20", 30.0), ("20/40", 15.04)] {
    ///     let middle = LetterBand::new(line.parse()?, Luminance::cd_m2(50.0)).middle();
    ///     assert!((middle.to_cycles_per_degree() - cycles).abs() < HALF_A_DIGIT);
    /// }
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub const fn middle(&self) -> SpatialFrequency {
        self.middle
    }

    /// The contrast sensitivity of the eye without its optics, N(f), in relative units.
    ///
    /// ```
    /// # use evenfield::{eye::LetterBand, quantity::{Luminance, SpatialFrequency}};
    /// // Worked by hand from the printed parameters for 20 cd/m², at 7 cycles a degree:
    /// // 6.4635 / √((1 + (0.334278 · 7)^3.79542) / (1 − 1/e)^1.07327) = 0.98735.
    /// const LAST_DIGIT: f64 = 1e-5;
    /// let band = LetterBand::new("20/40".parse()?, Luminance::cd_m2(20.0));
    /// let sensitivity = band.sensitivity(SpatialFrequency::cycles_per_degree(7.0));
    /// assert!((sensitivity - 0.98735).abs() < LAST_DIGIT);
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn sensitivity(&self, frequency: SpatialFrequency) -> f64 {
        neural(frequency, self.neural)
    }

    /// The clarity of several fields at once, from their transfers at each frequency.
    ///
    /// `transfers` gives the signed OTF of every field at a frequency; the frequencies rise, and it is no longer asked once
    /// all fields are past their first zero.
    ///
    /// ```
    /// # use evenfield::{eye::LetterBand, quantity::Luminance};
    /// // A mean of weights: what halves every frequency leaves a clarity of a half, and what turns contrast round leaves none.
    /// const BINARY_DUST: f64 = 1e-12;
    /// let band = LetterBand::new("20/32".parse()?, Luminance::cd_m2(50.0));
    /// let [half, none] = band.clarities(|_| [0.5, -0.5]);
    /// assert!((half.value() - 0.5).abs() < BINARY_DUST && none.value().abs() < BINARY_DUST);
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn clarities<const FIELDS: usize>(
        &self,
        transfers: impl Fn(SpatialFrequency) -> [f64; FIELDS],
    ) -> [Clarity; FIELDS] {
        let mut sums = [Sum::default(); FIELDS];
        for (frequency, weight) in &self.nodes {
            let transfers = transfers(*frequency);
            for (sum, transfer) in sums.iter_mut().zip(transfers) {
                sum.add(*weight, transfer);
            }
            if sums.iter().all(|sum| sum.stopped) {
                break;
            }
        }
        let weights = self.nodes.windows(2).map(|pair| (pair[0].1 + pair[1].1) / 2.0).sum::<f64>();
        sums.map(|sum| Clarity(sum.total / weights))
    }
}

/// A sum over frequencies up to the first zero of the transfer.
#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    total: f64,
    last: Option<[f64; 2]>,
    stopped: bool,
}

impl Sum {
    /// Adds the trapezium from the last frequency to this one. The trapezium in which the transfer crosses zero ends at the
    /// crossing, so that the sum changes smoothly when the crossing moves.
    fn add(&mut self, weight: f64, transfer: f64) {
        if self.stopped {
            return;
        }
        if let Some([last_weight, last]) = self.last {
            let (reached, here) =
                if transfer > 0.0 { (1.0, weight * transfer) } else { (last / (last - transfer), 0.0) };
            self.total += reached * (last_weight * last + here) / 2.0;
        }
        self.last = Some([weight, transfer]);
        self.stopped = transfer <= 0.0;
    }
}

/// The formula's parameters at a luminance, interpolated by the logarithm of the luminance.
fn neural_parameters(luminance: Luminance) -> [f64; 4] {
    let log = luminance.to_cd_m2().max(NEURAL[0].0).ln();
    let row = (1..NEURAL.len()).find(|row| NEURAL[*row].0.ln() >= log).unwrap_or(NEURAL.len() - 1);
    let [(from, before), (to, after)] = [NEURAL[row - 1], NEURAL[row]];
    let share = ((log - from.ln()) / (to.ln() - from.ln())).min(1.0);
    std::array::from_fn(|index| before[index] + share * (after[index] - before[index]))
}

fn neural(frequency: SpatialFrequency, [scale, slope, low, height]: [f64; 4]) -> f64 {
    let f = frequency.to_cycles_per_degree();
    let high = 1.0 + (scale * f).powf(slope);
    let rise = -(-(f / 7.0).powi(2)).exp_m1();
    height / (high / rise.powf(low)).sqrt()
}
