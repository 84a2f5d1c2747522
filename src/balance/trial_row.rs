//! Every way of asking on every eye: the rows of a trial.

use serde::Serialize;

use super::asking::{Asking, ByEstimate, ByLimits};
use super::clarity_table::{ClarityTable, TARGET_AND_LARGER, TableError};
use super::estimate::{Likelihood, Prior};
use super::eye_kind::EyeKind;
use super::patient::{Accommodation, Patient};
use super::rules::Way;
use super::scenario::{Scenario, Tried};
use super::trial::{MANIFEST_SDS_D, Pupils, Statistics, Trial};
use crate::acuity::Acuity;
use crate::beside;
use crate::eye::{Curve, Eye, Pupil, Sides};
use crate::quantity::{Dioptres, Length, Luminance};

/// The steps of a trial's tables: no clarity bends so much that an answer would.
const STEP: Dioptres = Dioptres::new(0.05);

/// What a way of asking makes of an eye.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct TrialRow {
    /// The kind of eye.
    pub kind: EyeKind,
    /// Its pupil in millimetres; a third of the patients have one a tenth narrower and a third one a tenth wider, unless it is
    /// an aperture.
    pub pupil_mm: f64,
    /// Whether fog relaxes it until the answer; so in an eye that does not accommodate.
    pub fog_lasts: bool,
    /// How it was asked.
    pub way: Way,
    /// Whether the midpoint on white was looked for as well.
    pub then_midpoint: bool,
    /// Whether that is what is proposed for it.
    pub usual: bool,
    /// What it came to with manifests of each spread, in the order of [`MANIFEST_SDS_D`].
    pub by_manifest: [Statistics; MANIFEST_SDS_D.len()],
}

/// How patients may differ from those that the estimate believes in. That some manifests are far off it does reckon with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, strum::IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Surprise {
    /// None: they are as the estimate believes.
    None,
    /// Judgement wavers twice as much.
    TwiceTheNoise,
    /// The sides count as the same over twice the width.
    TwiceTheSame,
    /// The screen's fields lie a fifth nearer to each other in dioptres.
    NearerFields,
    /// The red field is 5 % brighter, which a patient may take for clearer: by half a noticeable step, assumed.
    UnequalFields,
    /// One manifest in twenty is off by a dioptre (SD), which the estimate reckons with.
    FarManifests,
}

/// How the estimate fares where patients are not as it believes.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SurpriseRow {
    /// The kind of eye.
    pub kind: EyeKind,
    /// Its pupil in millimetres.
    pub pupil_mm: f64,
    /// What the estimate does not know.
    pub surprise: Surprise,
    /// What the rules for asking by hand come to, then the adaptive way, with manifests of SD 0.25 D.
    pub statistics: [Statistics; 2],
}

/// By how much five hundredths of light are taken for clearer, in noticeable steps. Assumed.
const UNEQUAL: f64 = 0.5;

/// The dispersion that brings the fields a fifth nearer.
const NEARER: f64 = 0.8;

impl Surprise {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::None,
        Self::TwiceTheNoise,
        Self::TwiceTheSame,
        Self::NearerFields,
        Self::UnequalFields,
        Self::FarManifests,
    ];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    const fn patient(self, typical: Patient) -> Patient {
        match self {
            Self::TwiceTheNoise => Patient { noise_sd: 2.0 * typical.noise_sd, ..typical },
            Self::TwiceTheSame => Patient { same_within: 2.0 * typical.same_within, ..typical },
            Self::None | Self::NearerFields | Self::UnequalFields | Self::FarManifests => typical,
        }
    }
}

/// An eye of a trial before a screen: what is seen behind its pupils, and what the estimate believes of it.
struct Tables {
    pupils: Vec<Pupils>,
    likelihood: Likelihood,
    prior: Prior,
}

impl Tables {
    fn new(
        scenario: &Scenario,
        (sides, luminance): (&Sides, Luminance),
        typical: &Patient,
    ) -> Result<Self, TableError> {
        let pupils = scenario.pupils();
        let pupils = pupils.into_iter().map(|pupil| seen(sides, luminance, pupil, 1.0));
        let nominal = seen(sides, luminance, scenario.pupil, 1.0)?;
        let [balance, white] = [nominal.line.balance(), nominal.line.white()];
        Ok(Self {
            pupils: pupils.collect::<Result<_, _>>()?,
            likelihood: Likelihood::new(&nominal, balance, typical),
            prior: Prior::about(balance - white),
        })
    }
}

/// What is seen behind a pupil, by an eye of some times the ordinary dispersion.
fn seen(sides: &Sides, luminance: Luminance, pupil: Length, dispersion: f64) -> Result<Pupils, TableError> {
    let eye = Eye { dispersion, ..Eye::with_pupil(Pupil::new(pupil)?) };
    let table = |tenths| {
        let curve = Curve::new(&eye, sides, Acuity::standard(tenths), luminance);
        ClarityTable::in_steps(&curve, STEP).ok_or(TableError::NoBalance(pupil.to_mm()))
    };
    let [line, larger] = TARGET_AND_LARGER;
    Ok(Pupils { line: table(line)?, larger: Some(table(larger)?) })
}

impl TrialRow {
    /// How many runs a trial has in all, with this many a row and manifest.
    #[must_use]
    pub fn runs(runs: u32) -> usize {
        let rows: usize = Scenario::ALL.iter().map(|scenario| scenario.tried().len()).sum();
        rows * MANIFEST_SDS_D.len() * usize::try_from(runs).unwrap_or(usize::MAX)
    }

    /// Every way of asking on every eye, this many runs each and with manifests of each spread, before a screen and on fields of
    /// a luminance; eyes beside each other. What is called after each run shows how far it is.
    ///
    /// # Errors
    /// Where an eye has no balance.
    pub fn all(
        screen: (&Sides, Luminance),
        (runs, seed): (u32, u64),
        each: impl Fn() + Sync,
    ) -> Result<Vec<Self>, TableError> {
        beside::gathered(&Scenario::ALL, |scenario| Self::of(scenario, screen, (runs, seed), &each))
    }

    /// Every way of asking on one eye.
    fn of(
        scenario: &Scenario,
        screen: (&Sides, Luminance),
        (runs, seed): (u32, u64),
        each: impl Fn(),
    ) -> Result<Vec<Self>, TableError> {
        let all = scenario.tried();
        // The estimate believes in an eye that fog relaxes.
        let believed = all.first().map_or_else(Patient::typical, |tried| tried.patient);
        let tables = Tables::new(scenario, screen, &believed)?;
        let estimate = ByEstimate::new(&tables.likelihood, tables.prior, scenario.kind.usual_end_point());
        let by_estimate = [Asking::Adaptive(estimate.clone()), Asking::Both(estimate)];
        let row = |Tried { way, then_midpoint, patient, usual }| {
            let without = match way {
                Way::Rules(rules) => Some(Asking::Rules(rules)),
                Way::Midpoint => {
                    Some(Asking::Midpoint(Some(ByLimits::new(&tables.likelihood, tables.prior))))
                }
                Way::Adaptive(_) => None,
            };
            let asking = without.as_ref().unwrap_or(&by_estimate[usize::from(then_midpoint)]);
            let by_manifest = MANIFEST_SDS_D.map(|sd| {
                let trial = Trial {
                    asking,
                    patient,
                    pupils: &tables.pupils,
                    manifest_sd: Dioptres::new(sd),
                    some_far_off: false,
                    lean: 0.0,
                    seed,
                };
                trial.statistics(runs, |_| each())
            });
            Self {
                kind: scenario.kind,
                pupil_mm: scenario.pupil.to_mm(),
                fog_lasts: patient.accommodation.is_none_or(|one: Accommodation| one.relaxed_from_plus),
                way,
                then_midpoint,
                usual,
                by_manifest,
            }
        };
        Ok(all.into_iter().map(row).collect())
    }
}

impl SurpriseRow {
    /// The eyes that are tried: behind a small aperture, and behind 3 mm without accommodation.
    pub const EYES: [usize; 2] = [0, 2];

    /// How many runs they have in all, with this many a row.
    #[must_use]
    pub fn runs(runs: u32) -> usize {
        Self::EYES.len() * Surprise::ALL.len() * 2 * usize::try_from(runs).unwrap_or(usize::MAX)
    }

    /// Every surprise on these eyes, with manifests of SD 0.25 D; eyes beside each other.
    ///
    /// # Errors
    /// Where an eye has no balance.
    pub fn all(
        screen: (&Sides, Luminance),
        (runs, seed): (u32, u64),
        each: impl Fn() + Sync,
    ) -> Result<Vec<Self>, TableError> {
        let scenarios = Self::EYES.map(|eye| Scenario::ALL[eye]);
        beside::gathered(&scenarios, |scenario| Self::of(scenario, screen, (runs, seed), &each))
    }

    /// Every surprise on one eye.
    fn of(
        scenario: &Scenario,
        screen: (&Sides, Luminance),
        (runs, seed): (u32, u64),
        each: impl Fn(),
    ) -> Result<Vec<Self>, TableError> {
        let tables = Tables::new(scenario, screen, &Patient::typical())?;
        let pupils = scenario.pupils().into_iter();
        let nearer: Vec<Pupils> =
            pupils.map(|pupil| seen(screen.0, screen.1, pupil, NEARER)).collect::<Result<_, _>>()?;
        let end_point = scenario.kind.usual_end_point();
        let askings = [
            Asking::Rules(scenario.kind.by_hand()),
            Asking::Adaptive(ByEstimate::new(&tables.likelihood, tables.prior, end_point)),
        ];
        let row = |surprise: Surprise| {
            let statistics = askings.each_ref().map(|asking| {
                let trial = Trial {
                    asking,
                    patient: surprise.patient(Patient::typical()),
                    pupils: if surprise == Surprise::NearerFields { &nearer } else { &tables.pupils },
                    manifest_sd: Dioptres::new(MANIFEST_SDS_D[1]),
                    some_far_off: surprise == Surprise::FarManifests,
                    lean: if surprise == Surprise::UnequalFields { UNEQUAL } else { 0.0 },
                    seed,
                };
                trial.statistics(runs, |_| each())
            });
            Self { kind: scenario.kind, pupil_mm: scenario.pupil.to_mm(), surprise, statistics }
        };
        Ok(Surprise::ALL.map(row).into())
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;
    use crate::light::{Bands, Spectrum};
    use crate::quantity::Wavelength;

    #[test]
    fn a_patient_who_surprises_differs_in_that_alone() {
        // By hand: twice the typical one's.
        let typical = Patient::typical();
        let is = |surprise: Surprise, patient: Patient| {
            assert_eq!(surprise.patient(typical), patient, "{surprise:?}");
        };
        is(Surprise::None, typical);
        is(Surprise::TwiceTheNoise, Patient { noise_sd: 2.0, ..typical });
        is(Surprise::TwiceTheSame, Patient { same_within: 2.0, ..typical });
        is(Surprise::FarManifests, typical);
    }

    /// A screen with bands as a common one has them, and fields of 50 cd/m².
    fn screen() -> (Sides, Luminance) {
        let band = |peak: f64, width: f64| {
            Bands::of(&Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)))
        };
        let (red, green, blue) = (band(615.0, 45.0), band(538.0, 60.0), band(450.0, 20.0));
        (Sides { red, green, blue, white: [0.2126, 0.7152, 0.0722] }, Luminance::cd_m2(50.0))
    }

    #[test]
    fn a_trial_of_an_eye_has_a_row_for_all_that_is_tried_on_it() {
        let (sides, luminance) = screen();
        let (aperture, done) = (Scenario::ALL[1], Cell::new(0));
        let each = || done.set(done.get() + 1);
        let rows = TrialRow::of(&aperture, (&sides, luminance), (4, 7), each).unwrap();
        // Five ways and the adaptive one with the midpoint; four runs with manifests of each of three spreads.
        assert_eq!((rows.len(), done.get()), (6, 6 * 3 * 4));
        for (row, tried) in rows.iter().zip(aperture.tried()) {
            assert_eq!(
                (row.way, row.then_midpoint, row.usual),
                (tried.way, tried.then_midpoint, tried.usual)
            );
            assert_eq!((row.kind, row.fog_lasts), (EyeKind::SmallAperture, true));
            assert!((row.pupil_mm - 2.0).abs() < 1e-9 && row.by_manifest.iter().all(|one| one.runs == 4));
        }
    }

    #[test]
    fn what_an_eye_surprises_by_shows_in_what_its_trial_comes_to() {
        let (sides, luminance) = screen();
        let done = Cell::new(0);
        let each = || done.set(done.get() + 1);
        let rows = SurpriseRow::of(&Scenario::ALL[0], (&sides, luminance), (60, 7), each).unwrap();
        assert_eq!((rows.len(), done.get()), (6, 6 * 2 * 60));
        let of = |surprise: Surprise| {
            rows.iter().find(|row| row.surprise == surprise).unwrap().statistics.each_ref()
        };
        let [none, nearer, unequal, far] =
            [Surprise::None, Surprise::NearerFields, Surprise::UnequalFields, Surprise::FarManifests].map(of);
        // Where white is clearest against balance is a matter of the dispersion alone, and smaller where that is.
        let white_d =
            |[by_hand, _]: [&Statistics; 2]| (by_hand.manifest[0].mean_d - by_hand.manifest[1].mean_d).abs();
        for same in [unequal, far, of(Surprise::TwiceTheNoise), of(Surprise::TwiceTheSame)] {
            assert!((white_d(same) - white_d(none)).abs() < 1e-9);
        }
        assert!(white_d(nearer) < 0.95 * white_d(none), "{} {}", white_d(nearer), white_d(none));
        // Who takes red for clearer is led to minus by it.
        for (one, other) in unequal.into_iter().zip(none) {
            assert!(
                one.balance.mean_d < other.balance.mean_d - 0.01,
                "{} {}",
                one.balance.mean_d,
                other.balance.mean_d
            );
        }
        // A few manifests that are far off spread them all wider.
        let spread = |[by_hand, _]: [&Statistics; 2]| by_hand.manifest[0].sd_d;
        assert!(spread(far) > 1.05 * spread(none), "{} {}", spread(far), spread(none));
        assert!(spread(unequal) < 1.05 * spread(none), "{} {}", spread(unequal), spread(none));
    }

    #[test]
    fn surprises_are_named_as_they_are_written() {
        for surprise in Surprise::ALL {
            assert_eq!(serde_json::to_value(surprise).unwrap(), surprise.name());
        }
        assert_eq!(Surprise::FarManifests.name(), "far-manifests");
    }

    #[test]
    fn progress_counts_every_run_of_every_row() {
        // Four eyes that do not accommodate, six rows each; three that do, four rows for each of two patients; three spreads.
        assert_eq!(TrialRow::runs(100), (4 * 6 + 3 * 4 * 2) * 3 * 100);
    }

    #[test]
    fn progress_counts_every_run() {
        // Two eyes, six surprises, two ways of asking, a hundred runs each.
        assert_eq!(SurpriseRow::runs(100), 2 * 6 * 2 * 100);
    }
}
