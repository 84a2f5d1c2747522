//! What to keep in mind about an eye, from the start and from its answers.
//!
//! A caution never changes what is asked or which lens stands: it tells the examiner how much weight a result has, with what says
//! so. Those of the start are known before the first question; those of the run follow from its answers.

use super::answer::Answer;
use super::course::Course;
use super::end_point::EndPoint;
use super::eye_kind::EyeKind;
use super::manifest::Manifest;
use super::metered::Metered;
use super::question::Question;
use super::rules::Procedure;
use super::start::{Caution, ColourVision, Start, VERTEX_FROM};
use super::trial;
use super::white::DOUBTFUL_LETTERS;
use crate::bibliography::{COMMON_PRACTICE, DESIGN, KORNER_1990, ROSSER_2004, TRIAL, YANOFF_DUKER_2009};
use crate::eye::CLICK_D;
use crate::light::Side;
use crate::quantity::Dioptres;

/// Poorer than 20/30 or 6/9, a MAR of 1.5 arcminutes, half a dioptre is too little to be seen.
const POOR_MAR: f64 = 1.5;

/// From this far off both sides may be too blurred to compare, in dioptres, where a step is one click. This project's own
/// decision.
const BLURRED_D: f64 = 1.0;

/// A balance this far from the manifest makes one of them doubtful, in dioptres. This project's own decision.
const FAR_FROM_MANIFEST_D: f64 = 0.5;

/// A change of more letters than two lines have is more than the few clicks of a balance are likely to give. This
/// project's own decision.
const UNLIKELY_LETTERS: i32 = 10;

/// This many lenses with one and the same clear answer should have met a change. This project's own decision.
const NEVER_FLIPPED: usize = 5;

/// From this many clear answers on it tells something that all point to one side: of answers that are given by chance one run in
/// sixteen does. This project's own decision.
const ONE_SIDED: usize = 5;

/// Up to this many letters lost on white overturn nothing.
const CHANCE_LETTERS: i32 = DOUBTFUL_LETTERS - 1;

impl Course {
    /// What to keep in mind about this eye so far: first what was so from the start.
    #[must_use]
    pub fn cautions(&self) -> Vec<Caution> {
        let start = self.of_start().into_iter().flatten();
        start
            .chain(self.start.place.cautions.iter().cloned())
            .chain(self.start.place.metered.as_ref().and_then(to_meter))
            .chain(self.of_run())
            .chain(self.of_limits())
            .collect()
    }

    fn of_start(&self) -> [Option<Caution>; 6] {
        let start = &self.start;
        let poor = start.acuity.line.to_mar() > POOR_MAR + 1e-9;
        [
            caution(
                poor,
                format!(
                    "With acuity poorer than 20/30 (6/9) blur hides the difference between the sides.{}",
                    by_steps(start)
                ),
                YANOFF_DUKER_2009,
            ),
            caution(
                start.colour_vision == ColourVision::Protan,
                format!(
                    "To a protanope red is {:.2} times as bright as green here. Answers lean to green, so the balance may end with too much plus. Ask by side, about crisp edges only.",
                    start.place.protanope_red_over_green
                ),
                KORNER_1990,
            ),
            caution(
                start.brunescent,
                "A brown cataract takes more from green than from red. Answers lean to red, so the balance may end with too much minus. Ask about crisp edges only, and give the result less weight.",
                KORNER_1990,
            ),
            caution(
                start.kind == EyeKind::SmallAperture && start.procedure == Procedure::Customary,
                small_aperture(),
                TRIAL,
            ),
            caution(
                start.kind.accommodates() && start.end_point == EndPoint::EqualElseFirstGreen,
                "Teachers differ: first green, customary where an eye accommodates, leaves it more minus than balance; last red is the other choice.",
                COMMON_PRACTICE,
            ),
            caution(
                start.kind.accommodates() && start.procedure == Procedure::Adaptive,
                "The adaptive way takes this eye to relax until each answer. Where it focuses again sooner, in simulated patients, the lens ends too minus and the interval is too narrow: from-plus is proposed.",
                TRIAL,
            ),
        ]
    }

    /// The same, what its own answers show first.
    #[must_use]
    pub fn cautions_by_weight(&self) -> Vec<Caution> {
        let all = self.cautions();
        let own: Vec<Caution> = self.of_run().chain(self.of_limits()).collect();
        let others = all.into_iter().filter(|caution| !own.contains(caution));
        own.iter().cloned().chain(others).collect()
    }

    /// What to keep in mind at this moment: at the first question what was so from the start, later what the answers show.
    #[must_use]
    pub fn cautions_now(&self) -> Vec<Caution> {
        if self.asked.is_empty() && self.limits.is_empty() {
            self.cautions()
        } else {
            self.of_run().chain(self.of_limits()).collect()
        }
    }

    fn of_limits(&self) -> impl Iterator<Item = Caution> {
        let apart = self.disagreement_in_words();
        let differ = self.midpoint().is_some_and(|found| !found.agree);
        let all = [
            caution(apart.is_some(), apart.unwrap_or_default(), DESIGN),
            caution(
                differ,
                format!(
                    "A limit on white lay elsewhere the second time, by more than {:.2} D: give the midpoint less weight, or repeat it.",
                    self.start.step().to_d()
                ),
                DESIGN,
            ),
        ];
        all.into_iter().flatten()
    }

    fn of_run(&self) -> impl Iterator<Item = Caution> {
        let steps = self.start.step().to_d() / CLICK_D;
        let far =
            self.asked.iter().any(|(question, _)| question.change.to_d().abs() > BLURRED_D * steps + 1e-9);
        let told = || self.asked.iter().map(|(_, answer)| *answer).filter(|answer| *answer != Answer::Unsure);
        let never_flipped = told().count() >= NEVER_FLIPPED && Answer::never_changed(told());
        let moved = self.standing().map(|standing| (standing.here - self.start.manifest_here()).to_d());
        [
            caution(
                self.kept_to_side(),
                "An answer stayed on its side when the sides were swapped, so it counted as “same”. Is one side of the screen brighter, or the mirror uneven?",
                DESIGN,
            ),
            caution(
                far,
                format!("A lens was tried more than {:.0} D from the manifest. Both sides may be too blurred there to compare: check the refraction first.", BLURRED_D * steps),
                COMMON_PRACTICE,
            ),
            caution(
                never_flipped,
                format!(
                    "“{}” was the only clear answer, {} times.{} Is the question understood? Is one field brighter? Does the eye accommodate?",
                    told().next().unwrap_or(Answer::Red),
                    told().count(),
                    self.sides_that_stayed().unwrap_or_default()
                ),
                COMMON_PRACTICE,
            ),
            caution(
                self.start.vertex.is_none() && self.left_in().is_some_and(|lens| self.is_strong(lens)),
                "The lens that was left in has a meridian of 4 D or more, and how far it stood from the eye is not known: measure and note it.",
                COMMON_PRACTICE,
            ),
            caution(
                self.gain().is_some_and(|letters| letters.abs() > UNLIKELY_LETTERS),
                "Acuity on white changed by more than two lines: was it typed as it was read?",
                DESIGN,
            ),
            caution(
                self.left_in().is_some() && self.gain().is_some_and(|letters| (-CHANCE_LETTERS..0).contains(&letters)),
                "White was read a letter or two worse. That is within what a repeat changes by chance, so it overturns nothing.",
                ROSSER_2004,
            ),
            caution(
                moved.is_some_and(|moved| moved.abs() > FAR_FROM_MANIFEST_D + 1e-9),
                format!("The result is more than {FAR_FROM_MANIFEST_D:.2} D from the manifest. Doubt the refraction or the test, and repeat one of them."),
                COMMON_PRACTICE,
            ),
        ]
        .into_iter()
        .chain(self.of_contradictions())
        .flatten()
    }

    /// That red lay on one side at every question, so that who always names a side would have answered the same.
    fn sides_that_stayed(&self) -> Option<String> {
        let red = self.asked.first()?.0.red;
        self.asked.iter().all(|(question, _)| question.red == red).then(|| {
            format!(
                " Red lay on the {} each time, so a side may have been named: swap the sides.",
                red.name()
            )
        })
    }

    /// Answers that cannot all be about the focus.
    fn of_contradictions(&self) -> [Option<Caution>; 2] {
        let side = self.always_pointed_to();
        let crossed = self.crossed().filter(|_| !self.start.kind.accommodates() && side.is_none());
        [
            caution(
                side.is_some(),
                side.map_or_else(String::new, |(side, count)| {
                    format!("All {count} clear answers pointed to the {} side, wherever red lay: they may follow the side and not the focus, and then where balance is said to lie is worth nothing. Look for a lighter half, explain the question, and ask again.", side.name())
                }),
                DESIGN,
            ),
            caution(
                crossed.is_some(),
                crossed.map_or_else(String::new, |[red, green]| {
                    format!("Red was clearer with {red}, but green with {green}, which is more plus: both cannot hold. Ask with these two lenses again.")
                }),
                DESIGN,
            ),
        ]
    }
}

impl Course {
    /// That all clear answers pointed to one side while red lay on both, so that they may follow the side and not the focus, in a
    /// few words; none where they did not.
    #[must_use]
    pub fn follows_a_side(&self) -> Option<String> {
        let (side, count) = self.always_pointed_to()?;
        Some(format!("all {count} clear answers pointed to the {} side", side.name()))
    }

    /// The side to which all clear answers pointed while red lay on both, and how many they were.
    fn always_pointed_to(&self) -> Option<(Side, usize)> {
        let clear = |(question, answer): &(Question, Answer)| match answer {
            Answer::Red => Some((question.red, question.red)),
            Answer::Green => Some((question.red.other(), question.red)),
            Answer::Same | Answer::Unsure => None,
        };
        let clear: Vec<(Side, Side)> = self.asked.iter().filter_map(clear).collect();
        let (first, red) = *clear.first()?;
        let one_side = clear.iter().all(|(side, _)| *side == first);
        let swapped = clear.iter().any(|(_, one)| *one != red);
        (one_side && swapped && clear.len() >= ONE_SIDED).then_some((first, clear.len()))
    }

    /// The least lens in which red was clearer and the most plus one in which green was, where the former has less plus.
    fn crossed(&self) -> Option<[Dioptres; 2]> {
        let of = |wanted: Answer| {
            let lenses = self.asked.iter().filter(move |(_, answer)| *answer == wanted);
            lenses.map(|(question, _)| question.sphere)
        };
        let least = of(Answer::Red).min_by(|one, other| one.to_d().total_cmp(&other.to_d()))?;
        let most = of(Answer::Green).max_by(|one, other| one.to_d().total_cmp(&other.to_d()))?;
        (least.to_d() < most.to_d() - 1e-9).then_some([least, most])
    }
}

/// Both procedures behind a small aperture, both sides of each.
fn small_aperture() -> String {
    let [customary, bracket] = trial::AT_1_6_MM;
    format!(
        "Behind a small aperture teachers’ customary stepping and the bracket err differently. More than a click off at {} mm, in simulated patients: customary {} % too minus and {} % too plus, bracket {} % and {} %.",
        trial::AT_MM,
        customary[0],
        customary[1],
        bracket[0],
        bracket[1]
    )
}

impl Course {
    /// Whether a lens of this sphere needs its distance from the eye.
    fn is_strong(&self, sphere: Dioptres) -> bool {
        Manifest::try_from(self.start.manifest.with_sphere(sphere))
            .is_ok_and(|lens| lens.strongest() >= VERTEX_FROM)
    }
}

/// That a room asks for its fields to be metered again.
fn to_meter(metered: &Metered) -> Option<Caution> {
    caution(metered.is_due(), metered.due()?.join(" "), DESIGN)
}

/// How far a lens changes at a time, where that is fixed.
fn by_steps(start: &Start) -> String {
    if !start.procedure.ends_by_end_point() {
        return String::new();
    }
    let line = start.acuity.line;
    match (start.step().to_d() / CLICK_D).round() {
        2.0 => format!(" At {line} steps are twice as large."),
        times if times > 2.0 => format!(" At {line} steps are {times:.0} times as large."),
        _ => format!(" At {line} the step is {:.2} D.", start.step().to_d()),
    }
}

fn caution(holds: bool, what: impl Into<String>, basis: &str) -> Option<Caution> {
    holds.then(|| Caution { what: what.into(), basis: basis.into() })
}

#[cfg(test)]
mod tests;
