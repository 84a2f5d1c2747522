use super::{Answer, Caution, ColourVision, Course, EndPoint, Kind, Procedure};
use crate::bibliography::{COMMON_PRACTICE, DESIGN, KORNER_1990, TRIAL, YANOFF_DUKER_2009};

/// Poorer than 20/30 or 6/9, a MAR of 1.5 arcminutes, half a dioptre is too little to be seen.
const POOR_MAR: f64 = 1.5;

/// From this far off both sides may be too blurred to compare, in dioptres.
const BLURRED_D: f64 = 1.0;

/// A balance this far from the manifest makes one of them doubtful, in dioptres.
const FAR_FROM_MANIFEST_D: f64 = 0.5;

/// A change of so many letters, two lines, is more than the few clicks of a balance are likely to give.
const UNLIKELY_LETTERS: i32 = 10;

/// So many lenses with one and the same clear answer should have met a change.
const NEVER_FLIPPED: usize = 5;

impl Course {
    /// What to keep in mind about this eye so far: first what was so from the start.
    #[must_use]
    pub fn cautions(&self) -> Vec<Caution> {
        let start = self.of_start().into_iter().flatten();
        start.chain(self.start.place.cautions.iter().cloned()).chain(self.of_run()).collect()
    }

    fn of_start(&self) -> [Option<Caution>; 5] {
        let start = &self.start;
        let poor = start.acuity.line.to_mar() > POOR_MAR + 1e-9;
        [
            caution(
                poor,
                "Acuity is poorer than 20/30 (6/9): so much blur hides the difference between the sides.",
                YANOFF_DUKER_2009,
            ),
            caution(
                start.colour_vision == ColourVision::Protan,
                format!(
                    "To a protanope red is {:.2} times as bright as green here: compare sharpness only, by side, and doubt a balance in the green.",
                    start.place.protanope_red_over_green
                ),
                KORNER_1990,
            ),
            caution(
                start.brunescent,
                "A brown cataract dims the fields unequally: compare sharpness only, and weigh the result less.",
                KORNER_1990,
            ),
            caution(
                start.kind == Kind::SmallAperture && start.procedure == Procedure::Customary,
                "Behind a small aperture the customary stepping ends too minus, since the same reaches far: the bracket is surer.",
                TRIAL,
            ),
            caution(
                start.kind.accommodates() && start.end_point == EndPoint::EqualElseFirstGreen,
                "Teachers differ: first green may leave an accommodating eye with too much minus; last red is the other rule.",
                COMMON_PRACTICE,
            ),
        ]
    }

    /// What to keep in mind at this moment: at the first question what was so from the start, later what the answers show.
    #[must_use]
    pub fn cautions_now(&self) -> Vec<Caution> {
        if self.asked.is_empty() { self.cautions() } else { self.of_run().collect() }
    }

    fn of_run(&self) -> impl Iterator<Item = Caution> {
        let far = self.asked.iter().any(|(question, _)| question.change.to_d().abs() > BLURRED_D + 1e-9);
        let clear = |answer: Answer| {
            self.asked.len() >= NEVER_FLIPPED && self.asked.iter().all(|(_, one)| *one == answer)
        };
        let moved = self.standing().map(|standing| (standing.here - self.start.manifest_here()).to_d());
        [
            caution(
                self.kept_to_side(),
                "An answer stayed on its side when the sides were swapped: it counts as the same. Is one side of the screen brighter, or mirrored unevenly?",
                DESIGN,
            ),
            caution(
                far,
                "More than 1 D from the manifest both sides may be too blurred to compare: look at the refraction first.",
                COMMON_PRACTICE,
            ),
            caution(
                clear(Answer::Red) || clear(Answer::Green),
                "The answers have not changed yet. Is the question understood, is one field brighter, does the eye accommodate?",
                COMMON_PRACTICE,
            ),
            caution(
                self.gain().is_some_and(|letters| letters.abs() > UNLIKELY_LETTERS),
                "Acuity on white changed by more than two lines: was it typed as it was read?",
                DESIGN,
            ),
            caution(
                moved.is_some_and(|moved| moved.abs() > FAR_FROM_MANIFEST_D + 1e-9),
                "More than half a dioptre from the manifest: doubt the refraction or the test, and repeat one of them.",
                COMMON_PRACTICE,
            ),
        ]
        .into_iter()
        .flatten()
    }
}

fn caution(holds: bool, what: impl Into<String>, basis: &str) -> Option<Caution> {
    holds.then(|| Caution { what: what.into(), basis: basis.into() })
}
