//! Where balance lies in an eye that was asked, and how sure that is, whatever procedure asked.
//!
//! It follows from what a record holds and from nothing else, so that a record says the same wherever it is read: the model's
//! usual lights stand for the screen, the eye's dispersion is scaled so that they lie as far apart as in the room, and the
//! pupil is the one assumed for the kind of eye.
//!
//! What an eye, a line and a room have in common takes long and is kept for the next examination.

use std::sync::{Arc, Mutex, PoisonError};

use serde::Serialize;

use super::clarity_table::ClarityTable;
use super::clicks::Clicks;
use super::course::Course;
use super::estimate::{Belief, Estimate, Likelihood, Prior, USUAL_SD};
use super::patient::{Accommodation, Patient};
use super::question::Question;
use super::run::Put;
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
const STEP: Dioptres = Dioptres::new(0.04);

/// So many eyes, lines and rooms are kept at once, the last that were wanted: each takes some fifteen megabytes, twice that where
/// the eye accommodates. This project's own decision.
const MOST_KEPT: usize = 12;

/// A lens that is within a click of balance with less than this chance is not sure, and an SD over this share of a manifest's
/// own is hardly narrower. This project's own decisions.
const SURE_FROM: f64 = 2.0 / 3.0;
const NARROWER_FROM: f64 = 0.8;

/// Where balance lies in an eye that was asked, in dioptres of sphere at the distance of the chart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Whereabouts {
    /// The mean of all places.
    #[serde(rename = "balance_d")]
    pub balance: Dioptres,
    /// The lower end of the interval that holds it in 95 of 100 eyes.
    #[serde(rename = "low_d")]
    pub low: Dioptres,
    /// The upper end.
    #[serde(rename = "high_d")]
    pub high: Dioptres,
    /// How likely the lens that the questions left in is within a click of 0.25 D of it, 0 to 1; none where they left none in.
    pub within_a_click: Option<f64>,
    /// The SD.
    #[serde(skip)]
    pub sd: Dioptres,
}

impl Whereabouts {
    /// Whether it says little more than the manifest did: by its SD, or since the lens that was left in may well be elsewhere.
    #[must_use]
    pub fn says_little(&self) -> bool {
        self.sd.to_d() > NARROWER_FROM * USUAL_SD.to_d()
            || self.within_a_click.is_some_and(|chance| chance < SURE_FROM)
    }
}

impl Course {
    /// Where balance lies by all answers of this eye; before the first one, where its manifest puts it.
    ///
    /// None where the model knows no balance for its line on these fields.
    #[must_use]
    pub fn whereabouts(&self) -> Option<Whereabouts> {
        let known = Viewer::of(&self.start)?.known()?;
        let first = self.start.first_lens();
        let prior = Prior::about(self.start.manifest_here() - first + known.balance_from_white);
        let answers: Vec<_> =
            self.asked.iter().map(|(question, answer)| (self.put(question), *answer)).collect();
        let belief = Belief::after_all(&known.likelihood, prior, &answers);
        let Estimate { balance, low, high, sd } = belief.estimate();
        Some(Whereabouts {
            balance: first + balance,
            low: first + low,
            high: first + high,
            within_a_click: self.left_in().map(|lens| belief.within_a_click_of(lens - first)),
            sd,
        })
    }

    /// How a question was put.
    fn put(&self, question: &Question) -> Put {
        Put {
            clicks: Clicks::nearest(question.sphere - self.start.first_lens()),
            from_plus: question.blur_first.is_some() || question.moved < Clicks::NONE,
            larger: question.line != self.start.target(0),
            red: Some(question.red),
        }
    }
}

/// All of an eye, its lines and its room that chances of answers depend on.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Viewer {
    pupil: Length,
    accommodates: bool,
    interval: Dioptres,
    luminance: Luminance,
    /// The line that is asked, and the larger one for who cannot tell.
    lines: [Acuity; 2],
}

/// What is worked out once.
#[derive(Debug)]
struct Known {
    likelihood: Likelihood,
    /// From the lens by which white is clearest, where a manifest is refined, to balance.
    balance_from_white: Dioptres,
}

/// What was worked out, the last that was wanted at the end.
static KNOWN: Mutex<Vec<(Viewer, Option<Arc<Known>>)>> = Mutex::new(Vec::new());

impl Viewer {
    /// None where the model is not asked.
    fn of(start: &Start) -> Option<Self> {
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
    fn known(self) -> Option<Arc<Known>> {
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

    fn worked_out(self, step: Dioptres) -> Option<Known> {
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
            balance_from_white: balance - white,
        })
    }

    /// A patient with such an eye, as they come.
    fn typical(self) -> Patient {
        if self.accommodates { Patient::accommodating(Accommodation::typical()) } else { Patient::typical() }
    }
}

#[cfg(test)]
mod tests;
