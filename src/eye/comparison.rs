//! How an eye compares the two sides, in steps that it notices.

use super::Clarity;
use crate::quantity::Dioptres;

/// The least difference of the sides' clarity that the model takes for a difference, as a decimal logarithm, and the least
/// difference of focus, in dioptres, however steeply clarity falls with it.
///
/// Two figures were used to set the two, so agreement with them is no evidence: behind 3 mm and with 20/32 letters a step
/// is 0.06 D, since eyes notice 0.05 to 0.07 D [where there is blur already](crate::bibliography::BLUR_STEP_1989); and
/// behind 6 mm it is 0.85 of that, since just noticeable defocus [was measured](crate::bibliography::ATCHISON_2005) to fall
/// from 0.33 to 0.28 D. Behind small pupils the first alone counts, which is an extrapolation.
pub const NOTICED: f64 = 0.04;
pub(super) const FOCUS_FLOOR: Dioptres = Dioptres::new(0.048);

/// What an eye sees of both sides, before it is judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// By how many [noticeable](NOTICED) steps red is clearer; minus where green is.
    pub evidence: f64,
    /// The clarity of the clearer side as a multiple of what reading takes: from 1 on letters can be read.
    pub legibility: f64,
}

impl Seen {
    /// The evidence where a typical patient can read either side.
    #[must_use]
    pub fn legible(self) -> Option<f64> {
        (self.legibility >= 1.0).then_some(self.evidence)
    }
}

/// How an eye compares red and green: each against the best that this eye ever sees of it.
///
/// Diffraction takes more from red than from green, the more the smaller the pupil. If eyes compared what is left, the mean
/// end of a balance would move to plus as the pupil narrows; [measured](crate::bibliography::ROSENFIELD_1995) from 1 to 7 mm it
/// does not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    best: [f64; 2],
    seen_from: f64,
}

impl Comparison {
    /// By the highest clarity of red and of green, and the clarity from which on anything of the letters is seen.
    pub(super) const fn new(best: [f64; 2], seen_from: f64) -> Self {
        Self { best, seen_from }
    }

    /// The decimal logarithm by which red's clarity exceeds green's, each as a share of its own best; plus: red is clearer.
    ///
    /// A side of which nothing is seen counts as if it just were, and a side that cannot be read never as the clearer one.
    #[must_use]
    pub fn log_ratio(&self, clarity: [Clarity; 3]) -> f64 {
        let [red, green, _] = clarity;
        let level = |side: Clarity, best: f64| side.value().max(self.seen_from).log10() - best.log10();
        let ratio = level(red, self.best[0]) - level(green, self.best[1]);
        match (red.readable(), green.readable()) {
            (true, false) => ratio.max(0.0),
            (false, true) => ratio.min(0.0),
            (true, true) | (false, false) => ratio,
        }
    }

    /// What is seen of both sides at a lens error.
    ///
    /// A step is the logarithm of their ratio over [`NOTICED`], or over what a focus off by 0.048 D makes of it, as roots of
    /// squares add.
    #[must_use]
    pub fn seen(&self, lens_error: Dioptres, clarity: impl Fn(Dioptres) -> [Clarity; 3]) -> Seen {
        let at = |by: Dioptres| self.log_ratio(clarity(lens_error + by));
        let here = clarity(lens_error);
        let by_focus = (at(FOCUS_FLOOR) - at(-FOCUS_FLOOR)) / 2.0;
        let [red, green, _] = here;
        Seen {
            evidence: self.log_ratio(here) / NOTICED.hypot(by_focus),
            legibility: red.legibility().max(green.legibility()),
        }
    }

    /// What to add to the logarithm of red's clarity over green's to have each by its own best.
    pub(super) fn offset(&self) -> f64 {
        self.best[1].log10() - self.best[0].log10()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_side_counts_by_its_own_best_where_one_can_be_read() {
        let sides = |red: f64, green: f64| [red, green, green].map(Clarity::of_share);
        let even = Comparison::new([1.0, 1.0], 0.1);
        // log10(0.75/0.60).
        const LAST_DIGIT: f64 = 5e-5;
        assert!((even.log_ratio(sides(0.75, 0.60)) - 0.0969).abs() < LAST_DIGIT);
        // log10((0.3/0.4)/(0.3/0.6)) = log10 1.5.
        let red_worse = Comparison::new([0.4, 0.6], 0.1);
        assert!((red_worse.log_ratio(sides(0.3, 0.3)) - 0.1761).abs() < LAST_DIGIT);
        // Unseen red counts as 0.1, not as 0.001; where green is hardly read either, red is still not the clearer one.
        assert!((even.log_ratio(sides(0.001, 0.75)) + 0.8751).abs() < LAST_DIGIT);
        assert!(red_worse.log_ratio(sides(0.001, 0.101)) <= 0.0);
    }

    #[test]
    fn a_step_is_of_clarity_where_it_changes_slowly_and_of_focus_where_it_changes_fast() {
        let even = Comparison::new([1.0, 1.0], 1e-9);
        // log10(red/green) = slope · lens error, by a made-up sight whose sides change alike.
        let steps = |slope: f64, at: f64| {
            let sight = |lens_error: Dioptres| {
                let half = slope * lens_error.to_d() / 2.0;
                [half, -half, 0.0].map(|log| Clarity::of_share(0.5 * 10_f64.powf(log)))
            };
            even.seen(Dioptres::new(at), sight).evidence
        };
        // Worked by hand: 0.02/√(0.04² + (0.048 · 0.2)²) = 0.4862 steps; and 4/√(0.04² + (0.048 · 40)²) = 2.0829.
        const LAST_DIGIT: f64 = 1e-4;
        assert!((steps(0.2, 0.1) - 0.4862).abs() < LAST_DIGIT);
        assert!((steps(40.0, 0.1) - 2.0829).abs() < LAST_DIGIT);
    }

    #[test]
    fn evidence_counts_from_where_a_side_can_be_read() {
        let seen = |legibility: f64| Seen { evidence: -2.5, legibility };
        assert_eq!(seen(1.0).legible(), Some(-2.5));
        assert_eq!(seen(0.99).legible(), None);
    }
}
