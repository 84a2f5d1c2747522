//! Clarity: how well the letters of a line survive on the way to the retina.
//!
//! Two questions are to be told apart: how much of a letter's detail reaches the retina (the transfer), and how much of that
//! matters for reading it (the band and the eye's own sensitivity). Clarity is the first, averaged by the second.

use std::fmt;

use serde::Serialize;

use super::{Pupil, Sensitivity};
use crate::acuity::Acuity;
use crate::quantity::{Angle, Luminance, SpatialFrequency};

/// The frequency that letters are mainly read from, in cycles a letter, and the full width in octaves of the band
/// around it at half its height: [Parish & Sperling](crate::bibliography::LETTER_BAND) have 1.5, and what is published
/// of larger and smaller letters comes to about 1.6 at the size of a test line. With 2.5, which others have, the model's
/// acuities are a little further from [measured ones](super::PUBLISHED).
const CYCLES_A_LETTER: f64 = 1.6;
const BAND_OCTAVES: f64 = 2.0;

/// How many strokes high a letter is. Each stroke subtends the line's MAR.
const STROKES_A_LETTER: f64 = 5.0;

/// How many octaves of the band are summed to either side of its middle, and in how many steps an octave. At the ends
/// 0.2 % of the band's height is left.
const OCTAVES_ASIDE: i32 = 3;
const STEPS_AN_OCTAVE: i32 = 5;

/// How many times the contrast that is just seen must reach the nerves, on average over the band, for letters to be read.
/// Calibrated, so no evidence: set so that a 20/32 letter in white stops being readable at the blur at which
/// [Smith's rule](crate::bibliography::SMITH_1991) has it, with pupils of 3 to 5 mm (a test keeps it so).
const READ_FROM: f64 = 2.5;

/// How well letters survive on the retina, 0 to 1: c = Σ B(f)·N(f)·T(f) / Σ B(f)·N(f).
///
/// T is the signed optical transfer function (OTF) of the field's own light up to its first zero and 0 beyond, since letters in blur are read
/// from the frequencies before it ([Akutsu, Bedell & Patel 2000](crate::bibliography::AKUTSU_2000)). B is the band of
/// frequencies that letters are read from, a Gaussian in octaves around 1.6 cycles a letter, 2 octaves wide at half its
/// height. N is the [contrast sensitivity](super::Sensitivity) of the eye without its optics, for a target of the letter's
/// size at the light that this field and pupil give the retina. The sums run over the logarithm of the frequency. It is not
/// divided by what diffraction leaves of the best focus.
///
/// Beside it stands the same sum over Σ B(f): by how many times what is left exceeds the contrast that is just seen.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Clarity {
    share: f64,
    over_threshold: f64,
}

impl Clarity {
    /// As a number, 0 to 1.
    #[must_use]
    pub const fn value(self) -> f64 {
        self.share
    }

    /// By how many times the contrast that is left exceeds what reading takes: letters are read from 1 on.
    ///
    /// Reading takes 2.5 times the contrast that is just seen, on average over the band; that number is calibrated, see the module.
    ///
    /// ```
    /// # use evenfield::eye::{LetterBand, Pupil};
    /// # use evenfield::quantity::{Length, Luminance};
    /// // Half the contrast, half the legibility.
    /// const BINARY_DUST: f64 = 1e-12;
    /// let band = LetterBand::new("20/32".parse()?, Luminance::cd_m2(50.0), Pupil::new(Length::mm(3.0))?);
    /// let [whole, half] = band.clarities(|_| [1.0, 0.5]);
    /// assert!((half.legibility() * 2.0 - whole.legibility()).abs() < BINARY_DUST);
    /// assert!(half.readable());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn legibility(self) -> f64 {
        self.over_threshold / READ_FROM
    }

    /// For tests of what follows from it: legible from a share of 0.1 on.
    #[cfg(test)]
    pub(super) const fn of_share(share: f64) -> Self {
        Self { share, over_threshold: share * READ_FROM / 0.1 }
    }

    /// Whether letters of the line can be read at all: a [legibility](Self::legibility) of 1 or more.
    #[must_use]
    pub fn readable(self) -> bool {
        self.legibility() >= 1.0
    }

    /// The clarity between this one and another, by linear interpolation: this one at a share of 0, the other at 1.
    ///
    /// ```
    /// # use evenfield::eye::{LetterBand, Pupil};
    /// # use evenfield::quantity::{Length, Luminance};
    /// // Worked by hand: a quarter of the way from 0.2 to 0.6.
    /// const BINARY_DUST: f64 = 1e-12;
    /// let band = LetterBand::new("20/32".parse()?, Luminance::cd_m2(50.0), Pupil::new(Length::mm(3.0))?);
    /// let [dim, clear] = band.clarities(|_| [0.2, 0.6]);
    /// assert!((dim.towards(clear, 0.25).value() - 0.3).abs() < BINARY_DUST);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn towards(self, other: Self, share: f64) -> Self {
        let between = |one: f64, other: f64| one + share * (other - one);
        Self {
            share: between(self.share, other.share),
            over_threshold: between(self.over_threshold, other.over_threshold),
        }
    }
}

impl Serialize for Clarity {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        self.share.serialize(to)
    }
}

impl fmt::Display for Clarity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.readable() { write!(f, "{:.3}", self.share) } else { f.write_str("not readable") }
    }
}

/// The frequencies that letters of a line are read from, with their weights, in a field of some luminance behind a pupil.
#[derive(Debug, Clone, PartialEq)]
pub struct LetterBand {
    line: Acuity,
    luminance: Luminance,
    of_strokes: SpatialFrequency,
    sensitivity: Sensitivity,
    nodes: Vec<(SpatialFrequency, f64)>,
    /// The mean sensitivity over the band.
    mean: f64,
}

impl LetterBand {
    /// The band of a line's letters on a field of some luminance, seen through a pupil.
    #[must_use]
    pub fn new(line: Acuity, luminance: Luminance, pupil: Pupil) -> Self {
        let letter = Angle::arcmin(line.to_mar() * STROKES_A_LETTER);
        let middle = SpatialFrequency::cycles_in(CYCLES_A_LETTER, letter);
        let sensitivity = Sensitivity::new(letter, luminance, pupil);
        let node = |step: i32| {
            let octaves = f64::from(step) / f64::from(STEPS_AN_OCTAVE);
            let frequency =
                SpatialFrequency::cycles_per_degree(middle.to_cycles_per_degree() * octaves.exp2());
            // 2^−4x² with x in widths at half the height.
            let band = (-4.0 * (octaves / BAND_OCTAVES).powi(2)).exp2();
            (frequency, band, band * sensitivity.at(frequency))
        };
        let last = OCTAVES_ASIDE * STEPS_AN_OCTAVE;
        let nodes: Vec<_> = (-last..=last).map(node).collect();
        let band: f64 = nodes.iter().map(|(_, band, _)| band).sum();
        let weight: f64 = nodes.iter().map(|(_, _, weight)| weight).sum();
        let nodes = nodes.into_iter().map(|(frequency, _, weight)| (frequency, weight)).collect();
        Self {
            line,
            luminance,
            of_strokes: SpatialFrequency::cycles_in(STROKES_A_LETTER / 2.0, letter),
            sensitivity,
            nodes,
            mean: weight / band,
        }
    }

    /// The line.
    #[must_use]
    pub(super) const fn line(&self) -> Acuity {
        self.line
    }

    /// The field's luminance.
    #[must_use]
    pub(super) const fn luminance(&self) -> Luminance {
        self.luminance
    }

    /// The frequency of which a stroke of the letters is half a wave: 30/MAR cycles a degree.
    ///
    /// ```
    /// # use evenfield::eye::{LetterBand, Pupil};
    /// # use evenfield::quantity::{Length, Luminance};
    /// // Worked by hand: a stroke of 20/20 is a minute of arc, so 30 cycles a degree; one of 20/40 makes 15.04.
    /// const HALF_A_DIGIT: f64 = 5e-3;
    /// for (line, cycles) in [("20/20", 30.0), ("20/40", 15.04)] {
    ///     let band = LetterBand::new(line.parse()?, Luminance::cd_m2(50.0), Pupil::new(Length::mm(3.0))?);
    ///     assert!((band.of_strokes().to_cycles_per_degree() - cycles).abs() < HALF_A_DIGIT);
    /// }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub const fn of_strokes(&self) -> SpatialFrequency {
        self.of_strokes
    }

    /// The frequencies of the band, which rise.
    pub(super) fn frequencies(&self) -> impl Iterator<Item = SpatialFrequency> {
        self.nodes.iter().map(|(frequency, _)| *frequency)
    }

    /// The clarity from which on anything of these letters is seen, behind this pupil and on this field: that whose mean
    /// contrast is just seen, a two-and-a-halfth of what reading takes.
    pub(super) fn seen_from(&self) -> f64 {
        1.0 / self.mean
    }

    /// The contrast sensitivity of the eye without its optics, N(f), for one of these letters.
    #[must_use]
    pub const fn sensitivity(&self) -> Sensitivity {
        self.sensitivity
    }

    /// The clarity of several fields at once, from their transfers at each frequency.
    ///
    /// `transfers` gives the signed OTF of every field at a frequency; the frequencies rise, and it is no longer asked once
    /// all fields are past their first zero.
    ///
    /// ```
    /// # use evenfield::eye::{LetterBand, Pupil};
    /// # use evenfield::quantity::{Length, Luminance};
    /// // A mean of weights: what halves every frequency leaves a clarity of a half, and what turns contrast round leaves none.
    /// const BINARY_DUST: f64 = 1e-12;
    /// let band = LetterBand::new("20/32".parse()?, Luminance::cd_m2(50.0), Pupil::new(Length::mm(3.0))?);
    /// let [half, none] = band.clarities(|_| [0.5, -0.5]);
    /// assert!((half.value() - 0.5).abs() < BINARY_DUST && none.value().abs() < BINARY_DUST);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn clarities<const FIELDS: usize>(
        &self,
        transfers: impl Fn(SpatialFrequency) -> [f64; FIELDS],
    ) -> [Clarity; FIELDS] {
        self.clarities_by_place(|place| transfers(self.nodes[place].0))
    }

    /// The same from transfers by the place of a frequency among those of the band.
    pub(super) fn clarities_by_place<const FIELDS: usize>(
        &self,
        transfers: impl Fn(usize) -> [f64; FIELDS],
    ) -> [Clarity; FIELDS] {
        let mut sums = [Sum::default(); FIELDS];
        for (place, (_, weight)) in self.nodes.iter().enumerate() {
            let transfers = transfers(place);
            for (sum, transfer) in sums.iter_mut().zip(transfers) {
                sum.add(*weight, transfer);
            }
            if sums.iter().all(|sum| sum.stopped) {
                break;
            }
        }
        let weights = self.nodes.windows(2).map(|pair| (pair[0].1 + pair[1].1) / 2.0).sum::<f64>();
        sums.map(|sum| {
            let share = sum.total / weights;
            Clarity { share, over_threshold: share * self.mean }
        })
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;

    const BINARY_DUST: f64 = 1e-12;

    #[test]
    fn a_clarity_is_written_where_letters_can_be_read() {
        assert_eq!(Clarity::of_share(0.25).to_string(), "0.250");
        assert_eq!(Clarity::of_share(0.05).to_string(), "not readable");
    }

    #[test]
    fn letters_are_seen_from_a_two_and_a_halfth_of_what_reading_takes() {
        let pupil = Pupil::new(Length::mm(3.0)).unwrap();
        let band = LetterBand::new("20/32".parse().unwrap(), Luminance::cd_m2(50.0), pupil);
        let [just_seen] = band.clarities(|_| [band.seen_from()]);
        assert!((just_seen.legibility() - 1.0 / 2.5).abs() < BINARY_DUST);
    }

    #[test]
    fn a_sum_ends_where_the_transfer_crosses_nought() {
        let mut sum = Sum::default();
        sum.add(2.0, 0.6);
        sum.add(3.0, 0.2);
        // A whole trapezium: (2 · 0.6 + 3 · 0.2)/2.
        assert!((sum.total - 0.9).abs() < BINARY_DUST && !sum.stopped);
        // From 0.2 to −0.6 it crosses after a quarter: ¼ · 3 · 0.2/2.
        sum.add(5.0, -0.6);
        assert!((sum.total - 0.975).abs() < BINARY_DUST && sum.stopped);
        sum.add(5.0, 0.9);
        assert!((sum.total - 0.975).abs() < BINARY_DUST, "what comes behind counts for nothing");
    }
}
