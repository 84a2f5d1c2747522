//! Clarity against lens error: red, green and white of one line before one eye, and how the two sides compare.

use serde::Serialize;

use super::comparison::{Comparison, Seen};
use super::{Clarity, Eye, LensErrors, LetterBand, Sides};
use crate::acuity::Acuity;
use crate::quantity::{Dioptres, Luminance, SpatialFrequency};

/// In how many steps to either side of the fields' dioptric middle their best, balance and best white are looked for.
const STEPS_ASIDE: usize = 20;

/// How far they are looked for to either side: this many dioptres, or this many waves of defocus at the pupil's edge
/// where that is farther, since behind a small pupil diffraction makes the depth of focus long.
const ASIDE_D: f64 = 0.75;
const ASIDE_WAVES: f64 = 1.0;

/// Up to how many cycles a degree the visual Strehl ratio is summed.
const STREHL_CYCLES: u8 = 120;

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
    /// By how many noticeable steps red is clearer than green, minus where green is; none where neither can be read.
    pub red_over_green_steps: Option<f64>,
}

/// Clarity against lens error for one eye, one line and one screen.
#[derive(Debug, Clone)]
pub struct Curve<'a> {
    eye: Eye,
    sides: &'a Sides,
    band: LetterBand,
    comparison: Comparison,
}

impl<'a> Curve<'a> {
    /// The curve of an eye before a screen's fields of some luminance, for letters of a line; where each side is clearest is
    /// looked for first.
    #[must_use]
    pub fn new(eye: &Eye, sides: &'a Sides, line: Acuity, luminance: Luminance) -> Self {
        let mut curve = Self::not_compared(eye, sides, line, luminance);
        let scan = curve.scan();
        let best = [0, 1].map(|field| peak(scan.iter().map(|at| at.clarity[field].value())));
        curve.comparison = Comparison::new(best, curve.band.seen_from());
        curve
    }

    /// The same where only clarities are wanted: its sides are compared undivided.
    pub(super) fn not_compared(eye: &Eye, sides: &'a Sides, line: Acuity, luminance: Luminance) -> Self {
        let band = LetterBand::new(line, luminance, eye.pupil);
        let comparison = Comparison::new([1.0; 2], band.seen_from());
        Self { eye: *eye, sides, band, comparison }
    }

    /// The same line on the same field, with another eye or before another screen.
    #[must_use]
    pub fn with<'b>(&self, eye: &Eye, sides: &'b Sides) -> Curve<'b> {
        Curve::new(eye, sides, self.band.line(), self.band.luminance())
    }

    /// The eye.
    #[must_use]
    pub const fn eye(&self) -> &Eye {
        &self.eye
    }

    /// How this eye compares the two sides.
    #[must_use]
    pub const fn comparison(&self) -> Comparison {
        self.comparison
    }

    /// The clarity of red, green and white and their modulation transfer (MTF) at a lens error.
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
    /// // The strokes of a 20/32 letter make 18.93 cycles a degree. Red of 620 nm is in focus at a lens error of
    /// // 0.12460 + 0.09465 = 0.21925 D, where a pupil of 3 mm passes a share ν = 18.93 · 57.296 · 620e-9/0.003 = 0.22414 of
    /// // the cut-off. Worked by hand: (2/π)(acos ν − ν√(1 − ν²)) = 0.71703.
    /// const LAST_DIGIT: f64 = 1e-4;
    /// let [red, ..] = curve.at(Dioptres::new(0.21925)).modulation;
    /// assert!((red - 0.71703).abs() < LAST_DIGIT);
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn at(&self, lens_error: Dioptres) -> CurvePoint {
        CurvePoint {
            lens_error_d: lens_error.to_d(),
            clarity: self.clarity(lens_error),
            modulation: self.transfers(lens_error, self.band.of_strokes()).map(f64::abs),
            red_over_green_steps: self.steps(lens_error),
        }
    }

    /// The clarity of red, green and white.
    #[must_use]
    pub fn clarity(&self, lens_error: Dioptres) -> [Clarity; 3] {
        self.band.clarities(|frequency| self.transfers(lens_error, frequency))
    }

    /// The same at each of these lens errors, at a fraction of the cost of asking for one after the other.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// # use evenfield::eye::{Curve, Eye, LensErrors, Pupil, Sides};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Luminance, Wavelength};
    /// # let [red, green, blue] = [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// # let sides = Sides { red, green, blue, white: [0.21, 0.72, 0.07] };
    /// # let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// # let curve = Curve::new(&eye, &sides, Acuity::standard(2), Luminance::cd_m2(50.0));
    /// const SUM: f64 = 1e-6;
    /// let at = LensErrors { from: Dioptres::new(-1.0), step: Dioptres::new(0.5), count: 5 };
    /// for (at, [red, ..]) in at.iter().zip(curve.clarities(at)) {
    ///     assert!((red.value() - curve.clarity(at)[0].value()).abs() < SUM);
    /// }
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn clarities(&self, at: LensErrors) -> Vec<[Clarity; 3]> {
        let Sides { red, green, blue, white } = self.sides;
        let transfers =
            |frequency| [red, green, blue].map(|light| self.eye.transfers_at(at, light, frequency));
        let transfers: Vec<[Vec<f64>; 3]> = self.band.frequencies().map(transfers).collect();
        let clarity = |index: usize| {
            self.band.clarities_by_place(|place| {
                with_white(white, transfers[place].each_ref().map(|one| one[index]))
            })
        };
        (0..at.count).map(clarity).collect()
    }

    /// The signed optical transfers (OTF) of red, green and white.
    fn transfers(&self, lens_error: Dioptres, frequency: SpatialFrequency) -> [f64; 3] {
        let Sides { red, green, blue, white } = self.sides;
        with_white(white, [red, green, blue].map(|light| self.eye.transfer(lens_error, light, frequency)))
    }

    /// The visual Strehl ratio of red, green and white: the volume of the optical transfer
    /// function (OTF), weighted by contrast sensitivity, over
    /// that of the same pupil without defocus or aberration. It can be negative.
    ///
    /// The frequencies are 1 to 120 cycles a degree, each weighted by the length of its ring.
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
    /// // An eye without dispersion, in focus, is the perfect one that it is measured against.
    /// let perfect = Eye { dispersion: 0.0, ..eye };
    /// let [red, green, white] = Curve::new(&perfect, &sides, Acuity::standard(2), Luminance::cd_m2(50.0)).visual_strehl(Dioptres::new(0.0));
    /// const BINARY_DUST: f64 = 1e-12;
    /// assert!([red, green, white].iter().all(|ratio| (ratio - 1.0).abs() < BINARY_DUST));
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn visual_strehl(&self, lens_error: Dioptres) -> [f64; 3] {
        let perfect = Eye { dispersion: 0.0, spherical_um: 0.0, ..self.eye };
        let [seen, best] =
            [(self.eye, lens_error), (perfect, Dioptres::new(0.0))].map(|(eye, lens_error)| {
                let curve = Self { eye, ..self.clone() };
                let ring = |cycles: u8| {
                    let frequency = SpatialFrequency::cycles_per_degree(f64::from(cycles));
                    let weight = self.band.sensitivity().at(frequency) * f64::from(cycles);
                    curve.transfers(lens_error, frequency).map(|transfer| weight * transfer)
                };
                (1..=STREHL_CYCLES)
                    .map(ring)
                    .fold([0.0; 3], |sum, ring| [0, 1, 2].map(|field| sum[field] + ring[field]))
            });
        [0, 1, 2].map(|field| seen[field] / best[field])
    }

    /// What is seen of both sides at a lens error.
    #[must_use]
    pub fn seen(&self, lens_error: Dioptres) -> Seen {
        self.comparison.seen(lens_error, |at| self.clarity(at))
    }

    /// By how many noticeable steps red is clearer than green, minus where green is; none where neither can be read.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// # use evenfield::eye::{Curve, Eye, Pupil, Sides};
    /// # use evenfield::light::{Bands, Spectrum};
    /// # use evenfield::quantity::{Dioptres, Length, Luminance, Wavelength};
    /// # let [red, green, blue] = [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
    /// # let sides = Sides { red, green, blue, white: [0.21, 0.72, 0.07] };
    /// # let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
    /// // One light on both sides: no step between them.
    /// let alike = Sides { green: sides.red.clone(), ..sides.clone() };
    /// assert_eq!(Curve::new(&eye, &alike, Acuity::standard(2), Luminance::cd_m2(50.0)).steps(Dioptres::new(0.3)), Some(0.0));
    /// # Ok::<(), evenfield::eye::PupilError>(())
    /// ```
    #[must_use]
    pub fn steps(&self, lens_error: Dioptres) -> Option<f64> {
        self.seen(lens_error).legible()
    }

    /// The dioptric middle of red and green, and clarities at lens errors to either side of it.
    pub(super) fn scan(&self) -> Vec<Scanned> {
        let aside = ASIDE_D.max(self.eye.defocus_of_waves(ASIDE_WAVES).to_d());
        let at = LensErrors {
            from: self.middle() - Dioptres::new(aside),
            step: Dioptres::new(aside / STEPS_ASIDE as f64),
            count: 2 * STEPS_ASIDE + 1,
        };
        let scanned = |(at, clarity): (Dioptres, _)| Scanned { lens_error: at.to_d(), clarity };
        at.iter().zip(self.clarities(at)).map(scanned).collect()
    }

    /// The lens error at which the fields' mean foci lie equally far from the retina.
    pub(super) fn middle(&self) -> Dioptres {
        self.eye.middle_of(&self.sides.red, &self.sides.green)
    }

    /// The clarities at a lens error.
    pub(super) fn scanned(&self, lens_error: f64) -> Scanned {
        Scanned { lens_error, clarity: self.clarity(Dioptres::new(lens_error)) }
    }
}

/// A lens error with the clarity of red, green and white.
pub(super) struct Scanned {
    pub(super) lens_error: f64,
    pub(super) clarity: [Clarity; 3],
}

/// The transfers of red, green and white, from those of red, green and blue and what each adds to white.
fn with_white(white: &[f64; 3], [red, green, blue]: [f64; 3]) -> [f64; 3] {
    [red, green, white[0] * red + white[1] * green + white[2] * blue]
}

/// The top of a parabola through the highest of equally spaced values and its neighbours.
fn peak(values: impl Iterator<Item = f64>) -> f64 {
    let values: Vec<f64> = values.collect();
    let highest = (0..values.len()).max_by(|one, other| values[*one].total_cmp(&values[*other])).unwrap_or(0);
    match values.get(highest.saturating_sub(1)..=highest + 1) {
        Some(&[before, at, after]) if 2.0 * at > before + after => {
            at + (after - before).powi(2) / (8.0 * (2.0 * at - before - after))
        }
        _ => values.get(highest).copied().unwrap_or(0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::Pupil;
    use crate::light::{Bands, Spectrum};
    use crate::quantity::{Length, Wavelength};

    const BINARY_DUST: f64 = 1e-12;

    fn sides() -> Sides {
        let [red, green, blue] =
            [620.0, 535.0, 460.0].map(|nm| Bands::of(&Spectrum::line(Wavelength::nm(nm))));
        Sides { red, green, blue, white: [0.21, 0.72, 0.07] }
    }

    fn curve(sides: &Sides) -> Curve<'_> {
        let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0)).unwrap());
        Curve::new(&eye, sides, Acuity::standard(2), Luminance::cd_m2(50.0))
    }

    #[test]
    fn a_peak_is_that_of_the_parabola_through_three_values() {
        // 3 − 2·(x − ¼)² at −2, −1, 0, 1 and 2.
        let bow = |x: f64| 3.0 - 2.0 * (x - 0.25).powi(2);
        assert!((peak([-2.0, -1.0, 0.0, 1.0, 2.0].map(bow).into_iter()) - 3.0).abs() < BINARY_DUST);
        // Level, and highest at either end: the highest value itself.
        for values in [[0.5, 0.5, 0.5], [0.8, 0.5, 0.4], [0.1, 0.5, 0.7]] {
            assert!((peak(values.into_iter()) - values.into_iter().fold(0.0, f64::max)).abs() < BINARY_DUST);
        }
        assert!(peak(std::iter::empty()).abs() < BINARY_DUST);
    }

    #[test]
    fn what_is_scanned_lies_evenly_about_the_middle() {
        let sides = sides();
        let curve = curve(&sides);
        let scan = curve.scan();
        let (first, last) = (scan[0].lens_error, scan[scan.len() - 1].lens_error);
        // 0.75 D to either side, which is more than a wave of 0.507 D.
        let middle = curve.middle().to_d();
        assert!(
            (first - (middle - 0.75)).abs() < BINARY_DUST && (last - (middle + 0.75)).abs() < BINARY_DUST
        );
    }

    #[test]
    fn steps_are_noticed_towards_the_side_that_is_clearer() {
        let sides = sides();
        let curve = curve(&sides);
        // A quarter of a dioptre of plus brings red into focus and takes green out of it; minus the other way.
        assert!(curve.steps(Dioptres::new(0.2)).unwrap() > 1.0);
        assert!(curve.steps(Dioptres::new(-0.2)).unwrap() < -1.0);
    }

    /// VSOTF as it is defined: ∬ N·OTF over ∬ N·OTF of the perfect eye, ring by ring.
    #[test]
    fn the_visual_strehl_ratio_is_one_of_volumes() {
        let sides = sides();
        let curve = curve(&sides);
        let eye = Eye { spherical_um: 0.3, dispersion: 1.4, ..*curve.eye() };
        let perfect = Eye { spherical_um: 0.0, dispersion: 0.0, ..eye };
        let volume = |eye: &Eye, lens_error: f64, light: &Bands| {
            let mut volume = 0.0;
            for cycles in 1..=120 {
                let frequency = SpatialFrequency::cycles_per_degree(f64::from(cycles));
                let seen = curve.band.sensitivity().at(frequency);
                volume += seen
                    * eye.transfer(Dioptres::new(lens_error), light, frequency)
                    * std::f64::consts::TAU
                    * f64::from(cycles);
            }
            volume
        };
        let aberrant = Curve { eye, ..curve.clone() };
        let [red, green, white] = aberrant.visual_strehl(Dioptres::new(0.3));
        let Sides { red: of_red, green: of_green, blue: of_blue, white: shares } = &sides;
        let lights = [of_red, of_green, of_blue];
        let [seen, best] = [(&eye, 0.3), (&perfect, 0.0)]
            .map(|(eye, lens_error)| lights.map(|light| volume(eye, lens_error, light)));
        assert!(
            (red - seen[0] / best[0]).abs() < BINARY_DUST && (green - seen[1] / best[1]).abs() < BINARY_DUST
        );
        let of_white =
            |volumes: [f64; 3]| -> f64 { volumes.iter().zip(shares).map(|(one, share)| one * share).sum() };
        assert!((white - of_white(seen) / of_white(best)).abs() < BINARY_DUST);
        // Neither perfect nor nothing, so that each part counts.
        assert!(
            [red, green, white].iter().all(|ratio| (0.01..0.99).contains(&ratio.abs())),
            "{red} {green} {white}"
        );
    }
}
