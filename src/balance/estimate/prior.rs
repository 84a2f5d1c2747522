//! What is taken of an eye before it is asked.

use super::grid;
use crate::balance::normal::share_below;
use crate::quantity::Dioptres;

/// By how much a manifest is wrong, as an SD in dioptres. Assumed: twice what
/// [repeated refractions](crate::bibliography::ROSENFIELD_CHIU_1995) spread by, and a little more, since a manifest that was
/// found by an instrument may be far off behind a small aperture.
pub const USUAL_SD: Dioptres = Dioptres::new(0.35);

/// Of so many manifests one is farther off: an instrument that was misled, a slip of the pen, the wrong lens. Assumed.
pub const FAR_OFF_ONE_IN: u32 = 20;

/// By how much those are off, as an SD. Assumed.
pub const FAR_OFF_SD: Dioptres = Dioptres::new(1.0);

/// What a prior may be.
const MEAN_D: std::ops::RangeInclusive<f64> = -1.0..=1.0;
const SDS_D: std::ops::RangeInclusive<f64> = 0.05..=1.0;

/// Where balance is thought to lie before the first question: a normal chance, and in one of [`FAR_OFF_ONE_IN`] eyes a wider one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    mean: Dioptres,
    sd: Dioptres,
}

impl Prior {
    /// About a lens within a dioptre of the one that clicks count from, with an SD of 0.05 to 1 D; none for other numbers.
    #[must_use]
    pub fn new(mean: Dioptres, sd: Dioptres) -> Option<Self> {
        let holds = MEAN_D.contains(&mean.to_d()) && SDS_D.contains(&sd.to_d());
        holds.then_some(Self { mean, sd })
    }

    /// About the manifest, with the usual SD of 0.35 D: assumed.
    #[must_use]
    pub const fn usual() -> Self {
        Self { mean: Dioptres::new(0.0), sd: USUAL_SD }
    }

    /// About a lens, with the same SD; one more than a dioptre from where clicks count is taken for one that is.
    #[must_use]
    pub const fn about(mean: Dioptres) -> Self {
        let mean = mean.to_d().clamp(*MEAN_D.start(), *MEAN_D.end());
        Self { mean: Dioptres::new(mean), ..Self::usual() }
    }

    const fn mean_d(self) -> f64 {
        self.mean.to_d()
    }

    /// Its normal chances, each with its share and its SD in dioptres.
    fn parts(self) -> [(f64, f64); 2] {
        let far = 1.0 / f64::from(FAR_OFF_ONE_IN);
        [(1.0 - far, self.sd.to_d()), (far, FAR_OFF_SD.to_d())]
    }

    /// What each place of a day's balance says of the eye's, from the first place to the last, where days are off by this SD in
    /// dioptres.
    pub(super) fn eyes(self, offset_sd_d: f64) -> Vec<EyeOfDay> {
        let days_d2 = offset_sd_d * offset_sd_d;
        let eye = |place: i32| {
            let off = grid::to_d(place) - self.mean_d();
            EyeOfDay::new(self.parts().map(|(share, sd)| {
                let eyes_d2 = sd * sd;
                let both_d2 = eyes_d2 + days_d2;
                Part {
                    chance: share * (-off * off / (2.0 * both_d2)).exp() / both_d2.sqrt(),
                    mean_d: self.mean_d() + eyes_d2 / both_d2 * off,
                    variance_d2: eyes_d2 * days_d2 / both_d2,
                }
            }))
        };
        grid::places().map(eye).collect()
    }
}

/// Where an eye's balance lies if the day's lies at some place: a normal chance for each of the prior's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct EyeOfDay {
    /// How likely that place is before the first answer, up to a factor that all places share.
    pub(super) chance: f64,
    /// The mean in dioptres.
    pub(super) mean_d: f64,
    /// The mean of the squares, in square dioptres.
    pub(super) square_d2: f64,
    parts: [Part; 2],
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Part {
    chance: f64,
    mean_d: f64,
    variance_d2: f64,
}

impl EyeOfDay {
    fn new(parts: [Part; 2]) -> Self {
        let chance: f64 = parts.iter().map(|part| part.chance).sum();
        let parts = parts.map(|part| Part { chance: part.chance / chance.max(f64::MIN_POSITIVE), ..part });
        let mean = |of: &dyn Fn(&Part) -> f64| parts.iter().map(|part| part.chance * of(part)).sum();
        Self {
            chance,
            mean_d: mean(&|part| part.mean_d),
            square_d2: mean(&|part| part.variance_d2 + part.mean_d * part.mean_d),
            parts,
        }
    }

    /// The share of such eyes whose balance lies below this, in dioptres.
    pub(super) fn share_below(&self, at_d: f64) -> f64 {
        // A grid knows no place more closely than half a step.
        let sd = |part: &Part| part.variance_d2.sqrt().max(grid::STEP_D / 2.0);
        let below = |part: &Part| part.chance * share_below((at_d - part.mean_d) / sd(part));
        self.parts.iter().map(below).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_prior_that_no_grid_holds_is_none() {
        let prior = |mean, sd| Prior::new(Dioptres::new(mean), Dioptres::new(sd));
        assert_eq!(prior(0.0, 0.35), Some(Prior::usual()));
        for (mean, sd) in
            [(1.1, 0.35), (-1.1, 0.35), (0.0, 0.0), (0.0, 1.1), (f64::NAN, 0.3), (0.0, f64::NAN)]
        {
            assert_eq!(prior(mean, sd), None, "{mean} {sd}");
        }
    }
}
