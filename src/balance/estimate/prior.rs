//! What is taken of an eye before it is asked.

use crate::quantity::Dioptres;

/// By how much a manifest is wrong, as an SD in dioptres. Assumed: twice what
/// [repeated refractions](crate::bibliography::ROSENFIELD_CHIU_1995) spread by, and a little more, since a manifest that was
/// found by an instrument may be far off behind a small aperture.
pub const USUAL_SD: Dioptres = Dioptres::new(0.35);

/// What a prior may be.
const MEAN_D: std::ops::RangeInclusive<f64> = -1.0..=1.0;
const SDS_D: std::ops::RangeInclusive<f64> = 0.05..=1.0;

/// Where balance is thought to lie before the first question: a normal chance.
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

    pub(super) const fn mean_d(self) -> f64 {
        self.mean.to_d()
    }

    pub(super) const fn sd_d(self) -> f64 {
        self.sd.to_d()
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
