//! Clarity against lens error, and what it lets expect of a balance.
//!
//! Balance is where red and green are equally clear, which is not where they are equally far out of focus: diffraction takes
//! more from red. Both are given.

use serde::Serialize;

use super::{Clarity, Eye, LetterBand, Sides};
use crate::quantity::{Dioptres, SpatialFrequency};

/// In how many steps to either side of the fields' dioptric middle balance and best white are looked for.
const STEPS_ASIDE: u8 = 20;

/// How far they are looked for to either side: this many dioptres, or this many waves of defocus at the pupil's edge
/// where that is farther, since behind a small pupil diffraction makes the depth of focus long.
const ASIDE_D: f64 = 0.75;
const ASIDE_WAVES: f64 = 1.0;

/// One click of a refractor in dioptres.
pub const CLICK_D: f64 = 0.25;

/// The least difference of the sides' clarity that the model takes for a difference, as a decimal logarithm.
///
/// Calibrated, so no evidence: set so that with a pupil of 3 mm and 20/32 letters it is a step of 0.06 D, since eyes
/// notice 0.05 to 0.07 D [where there is blur already](crate::bibliography::BLUR_STEP_1989). It is used for every pupil
/// and line, which is an extrapolation: in this model the step falls from 0.060 D at 3 mm to 0.017 D at 6 mm, while
/// just noticeable defocus [was measured](crate::bibliography::ATCHISON_2005) to fall from 0.33 to 0.28 D only.
pub const NOTICED: f64 = 0.065;

/// Up to how many cycles a degree the visual Strehl ratio is summed.
const STREHL_CYCLES: u8 = 120;

/// The range of best white ends where clarity falls to this share of its highest value.
const NEAR_BEST: f64 = 0.95;

/// How far balance may move, in dioptres, when each side is divided by its own best clarity. A larger move is put down to
/// diffraction.
const DIFFRACTION_D: f64 = 0.05;

/// Red, green and white at one lens error.
///
/// The three values of an array are those of red, green and white, in this order.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CurvePoint {
    /// Power in place minus the power that focuses 570 nm for the test distance; plus: too much plus.
    pub lens_error_d: f64,
    /// The clarity of red, green and white.
    pub clarity: [Clarity; 3],
    /// Their modulation transfer (MTF) at 30/MAR cycles a degree, whatever its sign.
    pub modulation: [f64; 3],
}

/// Clarity against lens error for one eye, one line and one screen.
#[derive(Debug, Clone, Copy)]
pub struct Curve<'a> {
    /// The eye.
    pub eye: &'a Eye,
    /// The lights of the fields.
    pub sides: &'a Sides,
    /// The frequencies that the line's letters are read from.
    pub band: &'a LetterBand,
}

/// What the model expects of a red-green balance.
///
/// Lens errors in dioptres, plus for too much plus. A number that is `None` does not exist for this eye, line and screen: a
/// balance needs both sides to be readable where they are equally clear.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Prediction {
    /// The lens error at which the fields' mean foci lie equally far from the retina.
    pub middle_d: f64,
    /// The lens error at which both sides are equally clear; none if they never are while both can be read.
    pub balance_d: Option<f64>,
    /// The same with each side's clarity divided by its own best.
    pub balance_by_own_best_d: Option<f64>,
    /// Whether these two differ by more than 0.05 D, which is put down to diffraction.
    pub diffraction_moves_balance: bool,
    /// By how much one click of 0.25 D at balance raises the decimal logarithm of red's clarity over green's.
    pub log_ratio_per_click: Option<f64>,
    /// The same as a multiple of [`NOTICED`], the model's own least difference.
    ///
    /// It is no count of steps that an eye notices, and should not be reported as one: `NOTICED` was set behind 3 mm
    /// and is extrapolated. Without aberrations this number grows 3.5 times from 3 to 6 mm of pupil, where eyes' own
    /// sensitivity grows 1.2 times. It says which of two pupils or screens makes a click count for more, and where a
    /// click is lost in the model's noise.
    pub noticed_steps_per_click: Option<f64>,
    /// Where white is clearest.
    pub white: Option<BestWhite>,
}

/// Where plain letters are clearest.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BestWhite {
    /// The middle of the range.
    pub at_d: f64,
    /// Within this range clarity is within 5 % of its best.
    pub range_d: [f64; 2],
    /// A second peak of more than half the first.
    pub second_peak_d: Option<f64>,
}

impl CurvePoint {
    /// The decimal logarithm of red's clarity over green's; none where neither can be read.
    ///
    /// ```
    /// # use evenfield::{eye::{CurvePoint, LetterBand, NOTICED}, quantity::Luminance};
    /// // Worked by hand: lg(0.50/0.40) = 0.09691 is over what is noticed, lg(0.50/0.45) = 0.04576 is not.
    /// const LAST_DIGIT: f64 = 1e-5;
    /// let band = LetterBand::new("20/32".parse()?, Luminance::cd_m2(50.0));
    /// for (red, green, ratio) in [(0.50, 0.40, 0.09691), (0.45, 0.50, -0.04576)] {
    ///     let clarity = band.clarities(|_| [red, green, 0.0]);
    ///     let point = CurvePoint { lens_error_d: 0.0, clarity, modulation: [0.0; 3] };
    ///     assert!((point.log_ratio().unwrap() - ratio).abs() < LAST_DIGIT);
    /// }
    /// assert!((0.04576..0.09691).contains(&NOTICED));
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn log_ratio(&self) -> Option<f64> {
        log_ratio_if_read(self.clarity)
    }
}

impl Curve<'_> {
    /// The clarity of red, green and white and their modulation transfer (MTF) at a lens error.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// # use evenfield::eye::{Curve, Eye, LetterBand, Pupil, Sides};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Luminance, Wavelength};
    /// # let [red, green, blue] = [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// # let sides = Sides { red, green, blue, white: [0.21, 0.72, 0.07] };
    /// # let band = LetterBand::new(Acuity::standard(2), Luminance::cd_m2(50.0));
    /// # let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// # let curve = Curve { eye: &eye, sides: &sides, band: &band };
    /// // The middle frequency of a 20/32 letter is 18.93 cycles a degree. Red of 620 nm is in focus at a lens error of
    /// // 0.12460 + 0.09465 = 0.21925 D, where a pupil of 3 mm passes a share ν = 18.93 · 57.296 · 620e-9/0.003 = 0.22414 of
    /// // the cut-off. Worked by hand: (2/π)(acos ν − ν√(1 − ν²)) = 0.71703.
    /// const LAST_DIGIT: f64 = 1e-4;
    /// let [red, ..] = curve.at(Dioptres::new(0.21925)).modulation;
    /// assert!((red - 0.71703).abs() < LAST_DIGIT);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn at(&self, lens_error: Dioptres) -> CurvePoint {
        let modulation = self.transfers(lens_error, self.band.middle()).map(f64::abs);
        CurvePoint { lens_error_d: lens_error.to_d(), clarity: self.clarity(lens_error), modulation }
    }

    /// The clarity of red, green and white.
    #[must_use]
    pub fn clarity(&self, lens_error: Dioptres) -> [Clarity; 3] {
        self.band.clarities(|frequency| self.transfers(lens_error, frequency))
    }

    /// The signed optical transfers (OTF) of red, green and white.
    fn transfers(&self, lens_error: Dioptres, frequency: SpatialFrequency) -> [f64; 3] {
        let Sides { red, green, blue, white } = self.sides;
        let [red, green, blue] =
            [red, green, blue].map(|light| self.eye.transfer(lens_error, light, frequency));
        [red, green, white[0] * red + white[1] * green + white[2] * blue]
    }

    /// The visual Strehl ratio of red, green and white: the volume of the optical transfer
    /// function (OTF), weighted by contrast sensitivity, over
    /// that of the same pupil without defocus or aberration. It can be negative.
    ///
    /// The frequencies are 1 to 120 cycles a degree, each weighted by the length of its ring.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// # use evenfield::eye::{Curve, Eye, LetterBand, Pupil, Sides};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Luminance, Wavelength};
    /// # let [red, green, blue] = [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// # let sides = Sides { red, green, blue, white: [0.21, 0.72, 0.07] };
    /// # let band = LetterBand::new(Acuity::standard(2), Luminance::cd_m2(50.0));
    /// # let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// # let curve = Curve { eye: &eye, sides: &sides, band: &band };
    /// // An eye without dispersion, in focus, is the perfect one that it is measured against.
    /// let perfect = Eye { dispersion: 0.0, ..eye };
    /// let [red, green, white] = Curve { eye: &perfect, ..curve }.visual_strehl(Dioptres::new(0.0));
    /// const BINARY_DUST: f64 = 1e-12;
    /// assert!([red, green, white].iter().all(|ratio| (ratio - 1.0).abs() < BINARY_DUST));
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn visual_strehl(&self, lens_error: Dioptres) -> [f64; 3] {
        let perfect = Eye { dispersion: 0.0, spherical_um: 0.0, ..*self.eye };
        let [seen, best] =
            [(self.eye, lens_error), (&perfect, Dioptres::new(0.0))].map(|(eye, lens_error)| {
                let curve = Curve { eye, ..*self };
                let ring = |cycles: u8| {
                    let frequency = SpatialFrequency::cycles_per_degree(f64::from(cycles));
                    let weight = self.band.sensitivity(frequency) * f64::from(cycles);
                    curve.transfers(lens_error, frequency).map(|transfer| weight * transfer)
                };
                (1..=STREHL_CYCLES)
                    .map(ring)
                    .fold([0.0; 3], |sum, ring| [0, 1, 2].map(|field| sum[field] + ring[field]))
            });
        [0, 1, 2].map(|field| seen[field] / best[field])
    }

    /// The balance nearest to a guess, within half a dioptre.
    ///
    /// None where the sides do not cross there while both can be read. Cheaper than a [prediction](Self::prediction) where about
    /// the place is known, as for another formula or another screen.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// # use evenfield::eye::{Curve, Eye, LetterBand, Pupil, Sides};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Luminance, Wavelength};
    /// # let [red, green, blue] = [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// # let sides = Sides { red, green, blue, white: [0.21, 0.72, 0.07] };
    /// # let band = LetterBand::new(Acuity::standard(2), Luminance::cd_m2(50.0));
    /// # let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// # let curve = Curve { eye: &eye, sides: &sides, band: &band };
    /// // Both sides of one light are equally clear everywhere and never cross.
    /// let alike = Sides { green: sides.red.clone(), ..sides.clone() };
    /// assert_eq!(Curve { sides: &alike, ..curve }.balance_near(Dioptres::new(0.0)), None);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn balance_near(&self, guess: Dioptres) -> Option<Dioptres> {
        let guess = guess.to_d();
        (1..=5_u8).map(|tenths| f64::from(tenths) / 10.0).find_map(|aside| {
            let at =
                |lens_error: f64| Scanned { lens_error, clarity: self.clarity(Dioptres::new(lens_error)) };
            let bracket = *zeros(&[at(guess - aside), at(guess + aside)], 0.0).first()?;
            Some(Dioptres::new(self.refined(bracket, 0.0)))
        })
    }

    /// The decimal logarithm of red's clarity over green's; none where neither can be read.
    ///
    /// Plus: red is clearer. [`NOTICED`] is the least that counts.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// # use evenfield::eye::{Curve, Eye, LetterBand, Pupil, Sides};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Luminance, Wavelength};
    /// # let [red, green, blue] = [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// # let sides = Sides { red, green, blue, white: [0.21, 0.72, 0.07] };
    /// # let band = LetterBand::new(Acuity::standard(2), Luminance::cd_m2(50.0));
    /// # let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// # let curve = Curve { eye: &eye, sides: &sides, band: &band };
    /// // One light on both sides: lg 1 is nought.
    /// let alike = Sides { green: sides.red.clone(), ..sides.clone() };
    /// assert_eq!(Curve { sides: &alike, ..curve }.log_ratio(Dioptres::new(0.3)), Some(0.0));
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn log_ratio(&self, lens_error: Dioptres) -> Option<f64> {
        log_ratio_if_read(self.clarity(lens_error))
    }

    /// What the model expects of a balance with this eye, line and screen.
    ///
    /// Looked for within 0.75 D of the fields' dioptric middle, or within one wave of defocus at the pupil's edge where that is
    /// farther (behind 2.5 mm and less).
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// # use evenfield::eye::{Curve, Eye, LetterBand, Pupil, Sides};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Luminance, Wavelength};
    /// # let [red, green, blue] = [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// # let sides = Sides { red, green, blue, white: [0.21, 0.72, 0.07] };
    /// # let band = LetterBand::new(Acuity::standard(2), Luminance::cd_m2(50.0));
    /// # let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// # let curve = Curve { eye: &eye, sides: &sides, band: &band };
    /// // The textbook's filters: their middle lies at 0.01256 D, by hand as in `Eye::middle_of`.
    /// const LAST_DIGIT_D: f64 = 1e-5;
    /// assert!((curve.prediction().middle_d - 0.01256).abs() < LAST_DIGIT_D);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn prediction(&self) -> Prediction {
        let middle = self.eye.middle_of(&self.sides.red, &self.sides.green).to_d();
        let scan = self.scan(middle);
        let best = |field: usize| scan.iter().map(|point| point.clarity[field].value()).fold(0.0, f64::max);
        let own = best(1).max(f64::MIN_POSITIVE).log10() - best(0).max(f64::MIN_POSITIVE).log10();
        let balance = self.zero(&scan, middle, 0.0);
        let by_own_best = self.zero(&scan, middle, own);
        let slope = |at: f64| {
            let [minus, plus] = [-0.5, 0.5].map(|half| self.log_ratio(Dioptres::new(at + half * CLICK_D)));
            Some(plus? - minus?)
        };
        let per_click = balance.and_then(slope);
        Prediction {
            middle_d: middle,
            balance_d: balance,
            balance_by_own_best_d: by_own_best,
            diffraction_moves_balance: balance
                .zip(by_own_best)
                .is_some_and(|(one, other)| (one - other).abs() > DIFFRACTION_D),
            log_ratio_per_click: per_click,
            noticed_steps_per_click: per_click.map(|ratio| ratio / NOTICED),
            white: best_white(&scan),
        }
    }

    /// The clarities at lens errors to either side of the middle.
    fn scan(&self, middle: f64) -> Vec<Scanned> {
        let step = ASIDE_D.max(self.eye.defocus_of_waves(ASIDE_WAVES).to_d()) / f64::from(STEPS_ASIDE);
        (0..=2 * STEPS_ASIDE)
            .map(|index| middle + step * (f64::from(index) - f64::from(STEPS_ASIDE)))
            .map(|lens_error| Scanned { lens_error, clarity: self.clarity(Dioptres::new(lens_error)) })
            .collect()
    }

    /// Where log10(red/green) plus an offset is nought, nearest to the middle, among lens errors with both sides readable.
    fn zero(&self, scan: &[Scanned], middle: f64, offset: f64) -> Option<f64> {
        zeros(scan, offset)
            .into_iter()
            .map(|bracket| self.refined(bracket, offset))
            .min_by(|one, other| (one - middle).abs().total_cmp(&(other - middle).abs()))
    }

    /// Halves a bracket until it is at most a thousandth of a dioptre wide, and gives its middle.
    fn refined(&self, [mut low, mut high]: [f64; 2], offset: f64) -> f64 {
        let value = |at: f64| {
            let [red, green, _] = self.clarity(Dioptres::new(at));
            log_ratio(red.value(), green.value()) + offset
        };
        let rising = value(high) > value(low);
        while high - low > 1e-3 {
            let middle = (low + high) / 2.0;
            if (value(middle) > 0.0) == rising { high = middle } else { low = middle }
        }
        (low + high) / 2.0
    }
}

/// A lens error with the clarity of red, green and white.
struct Scanned {
    lens_error: f64,
    clarity: [Clarity; 3],
}

fn log_ratio_if_read([red, green, _]: [Clarity; 3]) -> Option<f64> {
    (red.readable() || green.readable()).then(|| log_ratio(red.value(), green.value()))
}

fn log_ratio(red: f64, green: f64) -> f64 {
    red.max(f64::MIN_POSITIVE).log10() - green.max(f64::MIN_POSITIVE).log10()
}

/// The pairs of neighbouring lens errors between which log10(red/green) plus an offset changes its sign, where both
/// sides are readable.
fn zeros(scan: &[Scanned], offset: f64) -> Vec<[f64; 2]> {
    let value = |at: &Scanned| {
        let [red, green, _] = at.clarity;
        (red.readable() && green.readable()).then(|| log_ratio(red.value(), green.value()) + offset)
    };
    let crossing = |pair: &[Scanned]| {
        let [one, other] = [value(&pair[0])?, value(&pair[1])?];
        ((one > 0.0) != (other > 0.0)).then_some([pair[0].lens_error, pair[1].lens_error])
    };
    scan.windows(2).filter_map(crossing).collect()
}

/// The middle of the range within 5 % of white's highest clarity; none where white is nowhere readable.
fn best_white(scan: &[Scanned]) -> Option<BestWhite> {
    let white: Vec<[f64; 2]> = scan.iter().map(|at| [at.lens_error, at.clarity[2].value()]).collect();
    let peak = (0..white.len()).max_by(|one, other| white[*one][1].total_cmp(&white[*other][1]))?;
    if !scan[peak].clarity[2].readable() {
        return None;
    }
    let level = NEAR_BEST * white[peak][1];
    // Straight between two lens errors.
    let edge = |outer: [f64; 2], inner: [f64; 2]| {
        outer[0] + (inner[0] - outer[0]) * (level - outer[1]) / (inner[1] - outer[1])
    };
    let from =
        (1..=peak).rev().find(|at| white[at - 1][1] < level).map(|at| edge(white[at - 1], white[at]))?;
    let to = (peak..white.len() - 1)
        .find(|at| white[at + 1][1] < level)
        .map(|at| edge(white[at + 1], white[at]))?;
    let second = (1..white.len() - 1)
        .filter(|at| white[*at][1] > white[at - 1][1] && white[*at][1] >= white[at + 1][1])
        .filter(|at| !(from..=to).contains(&white[*at][0]) && white[*at][1] > 0.5 * white[peak][1])
        .max_by(|one, other| white[*one][1].total_cmp(&white[*other][1]));
    Some(BestWhite {
        at_d: (from + to) / 2.0,
        range_d: [from, to],
        second_peak_d: second.map(|at| white[at][0]),
    })
}

#[cfg(test)]
mod tests;
