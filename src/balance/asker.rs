//! Who asks an eye: a run by rules, or the estimate.

use super::adaptive::{red, step};
use super::answer::Answer;
use super::estimate::Belief;
use super::rules::{RulesError, Way};
use super::run::{Put, Run, Step, Why};
use super::start::Start;
use super::viewer::Viewer;
use crate::light::Side;

/// Who asks, and how far.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Asker {
    /// Rules of the trade.
    Rules(Run),
    /// The estimate.
    Adaptive(Adaptive),
}

impl Asker {
    /// Before the first question; nobody where red and green are not asked about.
    pub(super) fn new(start: &Start) -> Result<Option<Self>, RulesError> {
        Ok(match start.way()? {
            Way::Rules(rules) => Some(Self::Rules(Run::new(rules))),
            Way::Adaptive(_) => Some(Self::Adaptive(Adaptive::new(start).ok_or(RulesError::NoModel)?)),
            Way::Midpoint => None,
        })
    }

    /// What to do next.
    pub(super) const fn step(&self) -> Step {
        match self {
            Self::Rules(run) => run.step(),
            Self::Adaptive(adaptive) => adaptive.step(),
        }
    }

    /// Where red lies in the next question, where it lay here at first.
    pub(super) const fn red(&self, first: Side) -> Side {
        match self {
            Self::Rules(run) => match run.step() {
                Step::Ask { why: Why::SidesSwapped, .. } => first.other(),
                Step::Ask { .. } | Step::End(_) => first,
            },
            Self::Adaptive(adaptive) => adaptive.red(first),
        }
    }

    /// Takes the answer to its question.
    pub(super) fn answered(&mut self, put: Put, answer: Answer) {
        match self {
            Self::Rules(run) => *run = run.answered(answer),
            Self::Adaptive(adaptive) => adaptive.answered(put, answer),
        }
    }

    /// Asks all over again.
    pub(super) fn begin_again(&mut self) {
        match self {
            Self::Rules(run) => *run = Run::new(run.rules()),
            Self::Adaptive(adaptive) => adaptive.begin_again(),
        }
    }

    /// Whether a deciding answer once stayed on its side, and was taken for the same.
    pub(super) const fn kept_to_side(&self) -> bool {
        match self {
            Self::Rules(run) => run.kept_to_side(),
            Self::Adaptive(_) => false,
        }
    }
}

/// An eye that is asked by the estimate.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Adaptive {
    viewer: Viewer,
    start: Box<Start>,
    answers: Vec<(Put, Answer)>,
    step: Step,
}

impl Adaptive {
    /// Before the first question; none where the model knows no balance for this eye.
    pub(super) fn new(start: &Start) -> Option<Self> {
        let viewer = Viewer::of(start)?;
        let step = next(viewer, start, &[])?;
        Some(Self { viewer, start: Box::new(start.clone()), answers: Vec::new(), step })
    }

    pub(super) const fn step(&self) -> Step {
        self.step
    }

    /// Where red lies in the next question.
    pub(super) const fn red(&self, first: Side) -> Side {
        red(first, self.answers.len())
    }

    pub(super) fn answered(&mut self, put: Put, answer: Answer) {
        self.answers.push((put, answer));
        self.go_on();
    }

    pub(super) fn begin_again(&mut self) {
        self.answers.clear();
        self.go_on();
    }

    fn go_on(&mut self) {
        // What was known of the eye before the first question is known still.
        self.step = next(self.viewer, &self.start, &self.answers).unwrap_or(self.step);
    }
}

/// What comes after these answers of an eye.
fn next(viewer: Viewer, start: &Start, answers: &[(Put, Answer)]) -> Option<Step> {
    let known = viewer.known()?;
    let belief = Belief::after_all(&known.likelihood, known.prior(start), answers);
    Some(step(&belief, answers, (start.red, start.end_point)))
}

#[cfg(test)]
mod tests;
