//! What the model knows of an eye before a chart: how likely each answer is, and where white is clearest.
//!
//! It follows from what a record holds and from nothing else, so that a record says the same wherever it is read: the model's
//! usual lights stand for the screen, the eye's dispersion is scaled so that they lie as far apart as in the room, and the
//! pupil is the one assumed for the kind of eye.
//!
//! What an eye, a line and a room have in common takes long and is kept for the next examination.

use std::sync::{Arc, Mutex, PoisonError};

use super::clarity_table::ClarityTable;
use super::estimate::{Likelihood, Prior};
use super::patient::{Accommodation, Patient};
use super::start::Start;
use super::trial::Pupils;
use crate::acuity::Acuity;
use crate::eye::{Curve, Eye, Pupil, Sides};
use crate::light::{Bands, Channel, Spectrum, srgb_weight};
use crate::quantity::{Dioptres, Length, Luminance, Wavelength};

/// The lights that stand for a screen's red, green and blue: peak and full width at half maximum in nanometres. From memory:
/// those of an ordinary monitor, which a room without spectra is taken to have. A record holds only how far red and green lie
/// apart.
const BANDS_NM: [(f64, f64); 3] = [(625.0, 60.0), (540.0, 80.0), (450.0, 20.0)];

/// Intervals and luminances of which the model is asked, in dioptres and cd/m²: wider than any screen's. A record may hold
/// others. This project's own decision.
const INTERVALS_D: std::ops::RangeInclusive<f64> = 0.05..=1.5;
const LUMINANCES: std::ops::RangeInclusive<f64> = 0.1..=10_000.0;

/// Clarities are worked out at lens errors so far apart, half as many as for trials. It moves no estimate by 0.01 D (a test holds
/// it), and the optics take most of the time.
pub(super) const STEP: Dioptres = Dioptres::new(0.04);

/// So many eyes, lines and rooms are kept at once, the last that were wanted: each takes some fifteen megabytes, twice that where
/// the eye accommodates. This project's own decision.
const MOST_KEPT: usize = 12;

/// All of an eye, its lines and its room that chances of answers depend on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Viewer {
    pupil: Length,
    accommodates: bool,
    interval: Dioptres,
    luminance: Luminance,
    /// The line that is asked, and the larger one for who cannot tell.
    lines: [Acuity; 2],
}

/// What is worked out once.
#[derive(Debug)]
pub(super) struct Known {
    pub(super) likelihood: Likelihood,
    /// What is seen through each lens.
    pub(super) tables: Pupils,
    /// From the lens by which white is clearest, where a manifest is refined, to balance.
    pub(super) balance_from_white: Dioptres,
}

impl Known {
    /// What is taken of an eye before it is asked: its manifest was refined on white.
    pub(super) fn prior(&self, start: &Start) -> Prior {
        Prior::about(start.manifest_here() - start.first_lens() + self.balance_from_white)
    }
}

/// What was worked out, the last that was wanted at the end.
static KNOWN: Mutex<Vec<(Viewer, Option<Arc<Known>>)>> = Mutex::new(Vec::new());

impl Viewer {
    /// None where the model is not asked.
    pub(super) fn of(start: &Start) -> Option<Self> {
        let (interval, luminance) = (start.place.interval, start.place.luminance);
        let holds = INTERVALS_D.contains(&interval.to_d()) && LUMINANCES.contains(&luminance.to_cd_m2());
        holds.then(|| Self {
            pupil: start.kind.assumed_pupil(),
            accommodates: start.kind.accommodates(),
            interval,
            luminance,
            lines: [0, 1].map(|larger| start.target(larger)),
        })
    }

    /// What is known of it, from before or worked out now.
    pub(super) fn known(self) -> Option<Arc<Known>> {
        // Whoever failed meanwhile left whole entries.
        let mut all = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
        let place = all.iter().position(|(viewer, _)| *viewer == self);
        let (_, known) =
            place.map_or_else(|| (self, self.worked_out(STEP).map(Arc::new)), |place| all.remove(place));
        if all.len() >= MOST_KEPT {
            all.remove(0);
        }
        all.push((self, known.clone()));
        known
    }

    pub(super) fn worked_out(self, step: Dioptres) -> Option<Known> {
        let spectra =
            BANDS_NM.map(|(peak, width)| Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)));
        let usual = Eye::with_pupil(Pupil::new(self.pupil).ok()?);
        let apart = usual.chromatic.foci(&spectra[0], &spectra[1]).interval;
        let eye = Eye { dispersion: self.interval.to_d() / apart.to_d(), ..usual };
        let [red, green, blue] = spectra.each_ref().map(Bands::of);
        let sides = Sides { red, green, blue, white: Channel::ALL.map(srgb_weight) };
        let [line, larger] = self.lines.map(|line| Curve::new(&eye, &sides, line, self.luminance));
        let tables = Pupils {
            line: ClarityTable::in_steps(&line, step)?,
            larger: ClarityTable::in_steps(&larger, step),
        };
        let balance = tables.line.balance();
        let white = line.prediction().white.map_or(balance, |white| Dioptres::new(white.at_d));
        Some(Known {
            likelihood: Likelihood::new(&tables, balance, &self.typical()),
            tables,
            balance_from_white: balance - white,
        })
    }

    /// A patient with such an eye, as they come.
    pub(super) fn typical(self) -> Patient {
        if self.accommodates { Patient::accommodating(Accommodation::typical()) } else { Patient::typical() }
    }
}

#[cfg(test)]
mod tests;
