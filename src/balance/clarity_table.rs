//! Clarities of one eye before one screen, computed once.
//!
//! A trial asks a simulated eye some hundred thousand times. A clarity takes a sum over frequencies, bands and pupil; a look into
//! the table takes next to nothing.

use crate::acuity::Acuity;
use crate::eye::{Clarity, Curve, Eye, LensErrors, Pupil, PupilError, Seen, Sides};
use crate::quantity::{Dioptres, Length, Luminance};

/// The table reaches so far to either side, in dioptres: two of lenses, one of a wrong manifest, and half of chance. An eye
/// further out sees what it sees there, which is nothing.
const REACH_D: f64 = 3.5;

/// The target of an eye that reads 20/20, and the larger line for a patient who cannot tell, in tenths of logMAR. This
/// project's own decision.
pub const TARGET_AND_LARGER: [i8; 2] = [2, 5];

/// Why an eye has no tables.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TableError {
    /// A pupil that no eye has.
    #[error(transparent)]
    Pupil(#[from] PupilError),
    /// The model knows no balance.
    #[error("behind {0} mm the sides never balance on this screen: name another room")]
    NoBalance(f64),
}

/// Clarities against lens error for one eye, one line and one screen, computed once and then looked up.
///
/// It reaches from −3.5 to +3.5 D. Between its points clarity runs straight, which at steps of 0.02 D errs by less than
/// 0.006 where letters can be read, up to a pupil of 6 mm (a test holds it). Further out clarity jumps where the transfer's
/// first zero does. A table has a balance, or it would not be here.
#[derive(Debug, Clone, PartialEq)]
pub struct ClarityTable {
    step_d: f64,
    points: Vec<[Clarity; 3]>,
    evidence: Vec<f64>,
    balance: Dioptres,
    white: Dioptres,
}

impl ClarityTable {
    /// Steps of 0.02 D, over which no clarity bends much.
    pub const STEP: Dioptres = Dioptres::new(0.02);

    /// The table of a curve in steps of 0.02 D; none where the model knows no balance.
    #[must_use]
    pub fn of(curve: &Curve<'_>) -> Option<Self> {
        Self::in_steps(curve, Self::STEP)
    }

    /// The tables of an eye behind a pupil for the letters of [`TARGET_AND_LARGER`] on fields of a luminance.
    ///
    /// # Errors
    /// A pupil that no eye has, or sides that never balance behind it.
    pub fn both(sides: &Sides, luminance: Luminance, pupil: Length) -> Result<[Self; 2], TableError> {
        let eye = Eye::with_pupil(Pupil::new(pupil)?);
        let table = |tenths| Self::of(&Curve::new(&eye, sides, Acuity::standard(tenths), luminance));
        let [line, larger] = TARGET_AND_LARGER.map(table);
        line.zip(larger).map(Into::into).ok_or(TableError::NoBalance(pupil.to_mm()))
    }

    /// The table of a curve in other steps, above nought and at most 0.5 D; none where the model knows no balance.
    #[must_use]
    pub fn in_steps(curve: &Curve<'_>, step: Dioptres) -> Option<Self> {
        let prediction = curve.prediction();
        let [balance, white] = [prediction.balance_d?, prediction.white?.at_d].map(Dioptres::new);
        let step_d = step.to_d().clamp(1e-3, 0.5);
        // At least one point at the end of the reach or beyond it, so that each place in it lies between two.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "up to seven thousand")]
        let count = (2.0 * REACH_D / step_d).ceil() as usize + 1;
        let at = LensErrors { from: Dioptres::new(-REACH_D), step: Dioptres::new(step_d), count };
        let points = curve.clarities(at);
        let mut table = Self { step_d, points, evidence: Vec::new(), balance, white };
        let seen = |at| curve.comparison().seen(at, |at| table.at(at)).evidence;
        table.evidence = at.iter().map(seen).collect();
        Some(table)
    }

    /// The lens error at which the model has both sides equally clear.
    #[must_use]
    pub const fn balance(&self) -> Dioptres {
        self.balance
    }

    /// The lens error at which white is clearest.
    #[must_use]
    pub const fn white(&self) -> Dioptres {
        self.white
    }

    /// The clarity of red, green and white at a lens error, straight between the points.
    #[must_use]
    pub fn at(&self, lens_error: Dioptres) -> [Clarity; 3] {
        let (before, share) = self.place(lens_error);
        let [one, other] = [self.points[before], self.points[before + 1]];
        [0, 1, 2].map(|field| one[field].towards(other[field], share))
    }

    /// How legible the line is on white at a lens error, as a multiple of what a typical patient needs.
    #[must_use]
    pub fn white_legibility(&self, lens_error: Dioptres) -> f64 {
        let [_, _, white] = self.at(lens_error);
        white.legibility()
    }

    /// What is seen of both sides at a lens error, straight between the points.
    #[must_use]
    pub fn seen(&self, lens_error: Dioptres) -> Seen {
        let (before, share) = self.place(lens_error);
        let [one, other] = [before, before + 1].map(|point| self.evidence[point]);
        let [red, green, _] = self.at(lens_error);
        Seen { evidence: one + share * (other - one), legibility: red.legibility().max(green.legibility()) }
    }

    /// The point at or before a lens error, and how much of the way to the next one it lies.
    fn place(&self, lens_error: Dioptres) -> (usize, f64) {
        let place = (lens_error.to_d().clamp(-REACH_D, REACH_D) + REACH_D) / self.step_d;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "rounded down from 0 to 7000 steps"
        )]
        let before = (place as usize).min(self.points.len() - 2);
        (before, place - before as f64)
    }
}

#[cfg(test)]
pub(super) mod tests;
