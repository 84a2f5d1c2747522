//! What a curve lets expect of a balance.
//!
//! Balance is where red and green are equally clear, each against its own best. Undivided it would lie elsewhere behind small
//! pupils, since diffraction takes more from red; eyes do not seem to compare so (see [`Comparison`](super::Comparison)). Both are given.

use serde::Serialize;

use super::Clarity;
use super::curve::{Curve, Scanned};
use super::lens_errors::LensErrors;
use crate::quantity::Dioptres;

/// One click of a refractor in dioptres.
pub const CLICK_D: f64 = 0.25;

/// The range of best white ends where clarity falls to this share of its highest value.
const NEAR_BEST: f64 = 0.95;

/// Into how many parts a bracket about a balance is divided, and how small one may be taken as straight, in dioptres.
const PARTS: usize = 8;
const STRAIGHT_D: f64 = 0.012;

/// What the model expects of a red-green balance.
///
/// Lens errors in dioptres, plus for too much plus. A number that is `None` does not exist for this eye, line and screen: a
/// balance needs both sides to be readable where they are equally clear.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Prediction {
    /// The lens error at which the fields' mean foci lie equally far from the retina.
    pub middle_d: f64,
    /// The lens error at which both sides are equally clear, each against its own best; none if they never are while both
    /// can be read.
    pub balance_d: Option<f64>,
    /// The same with clarities as they are, not divided by each side's best.
    pub balance_undivided_d: Option<f64>,
    /// By how much one click of 0.25 D at balance raises the decimal logarithm of red's clarity over green's.
    pub log_ratio_per_click: Option<f64>,
    /// By how many of the model's noticeable steps it moves red against green; see [`NOTICED`](super::NOTICED) for what these
    /// are set by, and where they are extrapolated.
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

impl Curve<'_> {
    /// The balance nearest to a guess, within half a dioptre.
    ///
    /// None where the sides do not cross there while both can be read. Cheaper than a [prediction](Self::prediction) where about
    /// the place is known, as for another formula or another screen.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// # use evenfield::eye::{Curve, Eye, Pupil, Sides};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Luminance, Wavelength};
    /// # let [red, green, blue] = [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// # let sides = Sides { red, green, blue, white: [0.21, 0.72, 0.07] };
    /// # let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// # let curve = Curve::new(&eye, &sides, Acuity::standard(2), Luminance::cd_m2(50.0));
    /// // Both sides of one light are equally clear everywhere and never cross.
    /// let alike = Sides { green: sides.red.clone(), ..sides.clone() };
    /// assert_eq!(Curve::new(&eye, &alike, Acuity::standard(2), Luminance::cd_m2(50.0)).balance_near(Dioptres::new(0.0)), None);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn balance_near(&self, guess: Dioptres) -> Option<Dioptres> {
        let guess = guess.to_d();
        (1..=5_u8).map(|tenths| f64::from(tenths) / 10.0).find_map(|aside| {
            let pair = [guess - aside, guess + aside].map(|at| self.scanned(at));
            let offset = self.comparison().offset();
            let bracket = *zeros(&pair, offset).first()?;
            Some(Dioptres::new(self.refined(bracket, offset)))
        })
    }

    /// What the model expects of a balance with this eye, line and screen.
    ///
    /// Looked for within 0.75 D of the fields' dioptric middle, or within one wave of defocus at the pupil's edge where that is
    /// farther (behind 2.5 mm and less).
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// # use evenfield::eye::{Curve, Eye, Pupil, Sides};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Luminance, Wavelength};
    /// # let [red, green, blue] = [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// # let sides = Sides { red, green, blue, white: [0.21, 0.72, 0.07] };
    /// # let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// # let curve = Curve::new(&eye, &sides, Acuity::standard(2), Luminance::cd_m2(50.0));
    /// // The textbook's filters: their middle lies at 0.01256 D, by hand as in `Eye::middle_of`.
    /// const LAST_DIGIT_D: f64 = 1e-5;
    /// assert!((curve.prediction().middle_d - 0.01256).abs() < LAST_DIGIT_D);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn prediction(&self) -> Prediction {
        let middle = self.middle().to_d();
        let scan = self.scan();
        let balance = self.zero(&scan, middle, self.comparison().offset());
        let per_click = |measure: &dyn Fn(Dioptres) -> Option<f64>| {
            let [minus, plus] = [-0.5, 0.5].map(|half| balance.map(|at| Dioptres::new(at + half * CLICK_D)));
            Some(measure(plus?)? - measure(minus?)?)
        };
        Prediction {
            middle_d: middle,
            balance_d: balance,
            balance_undivided_d: self.zero(&scan, middle, 0.0),
            log_ratio_per_click: per_click(&|at| Some(self.comparison().log_ratio(self.clarity(at)))),
            noticed_steps_per_click: per_click(&|at| self.steps(at)),
            white: best_white(&scan),
        }
    }

    /// Where log10(red/green) plus an offset is nought, nearest to the middle, among lens errors with both sides readable.
    fn zero(&self, scan: &[Scanned], middle: f64, offset: f64) -> Option<f64> {
        zeros(scan, offset)
            .into_iter()
            .map(|bracket| self.refined(bracket, offset))
            .min_by(|one, other| (one - middle).abs().total_cmp(&(other - middle).abs()))
    }

    /// The place in a bracket where log10(red/green) plus an offset is nought.
    ///
    /// A row of lens errors costs hardly more than one, so the bracket is narrowed eightfold at a time, and from 0.012 D on the ratio
    /// is taken as straight: it errs by an eighth of that width squared times its bend over its slope, under 1e-4 D where the bend
    /// is less than five slopes a dioptre.
    fn refined(&self, [mut low, mut high]: [f64; 2], offset: f64) -> f64 {
        loop {
            let step = (high - low) / PARTS as f64;
            let row = LensErrors { from: Dioptres::new(low), step: Dioptres::new(step), count: PARTS + 1 };
            let values: Vec<f64> =
                self.clarities(row).into_iter().map(|clarity| log_ratio(clarity) + offset).collect();
            let crosses = |pair: &[f64]| (pair[0] > 0.0) != (pair[1] > 0.0);
            // Its ends are of different signs; binary dust may leave them none.
            let Some(part) = values.windows(2).position(crosses) else { return (low + high) / 2.0 };
            let [before, after] = [values[part], values[part + 1]];
            let from = low + step * part as f64;
            if step < STRAIGHT_D {
                return from + step * before / (before - after);
            }
            [low, high] = [from, from + step];
        }
    }
}

fn log_ratio([red, green, _]: [Clarity; 3]) -> f64 {
    let log = |side: Clarity| side.value().max(f64::MIN_POSITIVE).log10();
    log(red) - log(green)
}

/// The pairs of neighbouring lens errors between which log10(red/green) plus an offset changes its sign, where both
/// sides are readable.
fn zeros(scan: &[Scanned], offset: f64) -> Vec<[f64; 2]> {
    let value = |at: &Scanned| {
        let [red, green, _] = at.clarity;
        (red.readable() && green.readable()).then(|| log_ratio(at.clarity) + offset)
    };
    let crossing = |pair: &[Scanned]| {
        let [one, other] = [value(&pair[0])?, value(&pair[1])?];
        ((one > 0.0) != (other > 0.0)).then_some([pair[0].lens_error, pair[1].lens_error])
    };
    scan.windows(2).filter_map(crossing).collect()
}

/// The middle of the range within 5 % of white's highest clarity; none where white is nowhere readable.
pub(super) fn best_white(scan: &[Scanned]) -> Option<BestWhite> {
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
