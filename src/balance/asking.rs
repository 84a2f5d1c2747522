//! Who asks a simulated patient: a rule of the trade, or the estimate.

use std::cell::RefCell;
use std::collections::HashMap;

use super::answer::Answer;
use super::clicks::Clicks;
use super::estimate::{Belief, ENOUGH, Estimate, Likelihood, MOST_QUESTIONS, Next, Prior};
use super::patient::{Drawn, Luck, Sight};
use super::rules::Rules;
use super::run::{End, Put, Run};
use crate::light::Side;

/// Where an asking left a patient.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The lens that is left in: the manifest's where none was decided on.
    pub left_in: Clicks,
    /// How a run by rules ended; none by estimate, which always comes to a lens.
    pub end: Option<End>,
    /// How many questions it took.
    pub questions: usize,
    /// What the estimate comes to, where it asked.
    pub estimate: Option<Estimate>,
}

/// Who asks.
#[derive(Debug, Clone)]
pub enum Asking<'a> {
    /// A run by these rules.
    Rules(Rules),
    /// The lens whose answer tells most, each time, and the nearest click to the estimate in the end.
    ByEstimate(ByEstimate<'a>),
}

impl Asking<'_> {
    /// Asks a patient to the end.
    pub fn ask(&self, sight: &impl Sight, patient: &mut Drawn<Luck>) -> Asked {
        match self {
            Self::Rules(rules) => {
                let ran = Run::new(*rules).with(|put| patient.answer(sight, put));
                let (left_in, questions) = (ran.left_in(), ran.asked.len());
                Asked { left_in, end: Some(ran.end), questions, estimate: None }
            }
            Self::ByEstimate(estimate) => estimate.ask(sight, patient),
        }
    }
}

/// Asks the lens whose answer tells most. What to ask follows from the answers alone, so whatever was worked out for one patient
/// is kept for the next.
#[derive(Debug, Clone)]
pub struct ByEstimate<'a> {
    likelihood: &'a Likelihood,
    prior: Prior,
    known: RefCell<HashMap<Path, Known>>,
}

/// Lenses with the side of red and what was answered, and at the end where red lies next.
type Path = Vec<(Clicks, Side, Answer)>;

/// What is known after some answers.
#[derive(Debug, Clone, Copy)]
enum Known {
    /// The next question.
    Ask(Put),
    /// Enough is known.
    Enough(Estimate),
}

impl<'a> ByEstimate<'a> {
    /// For one eye and what is known of it beforehand.
    #[must_use]
    pub fn new(likelihood: &'a Likelihood, prior: Prior) -> Self {
        Self { likelihood, prior, known: RefCell::default() }
    }

    fn ask(&self, sight: &impl Sight, patient: &mut Drawn<Luck>) -> Asked {
        // Which side red lies on is drawn for the run; from there it changes in an order that a patient cannot foresee.
        let first = if patient.chances.uniform() < 0.5 { Side::Left } else { Side::Right };
        let mut answers: Vec<(Put, Answer)> = Vec::new();
        loop {
            match self.known(&answers, first) {
                Known::Ask(put) => {
                    let answer = patient.answer(sight, put);
                    answers.push((put, answer));
                }
                Known::Enough(estimate) => {
                    let left_in = Clicks::nearest(estimate.balance);
                    return Asked { left_in, end: None, questions: answers.len(), estimate: Some(estimate) };
                }
            }
        }
    }

    fn known(&self, answers: &[(Put, Answer)], first: Side) -> Known {
        let red = if SWAPPED[answers.len() % SWAPPED.len()] { first.other() } else { first };
        let mut key: Path = answers
            .iter()
            .map(|(put, answer)| (put.clicks, put.red.unwrap_or(Side::Left), *answer))
            .collect();
        key.push((Clicks::NONE, red, Answer::Unsure));
        if let Some(known) = self.known.borrow().get(&key) {
            return *known;
        }
        let known = self.worked_out(answers, red);
        self.known.borrow_mut().insert(key, known);
        known
    }

    fn worked_out(&self, answers: &[(Put, Answer)], red: Side) -> Known {
        let belief = Belief::after_all(self.likelihood, self.prior, answers);
        let last = answers.last();
        let before = last.map_or(Clicks::NONE, |(put, _)| put.clicks);
        let larger = last.is_some_and(|(_, answer)| *answer == Answer::Unsure);
        let Next { put, worth } = belief.next(before, Some(red), larger);
        if answers.len() >= MOST_QUESTIONS || worth < ENOUGH {
            Known::Enough(belief.estimate())
        } else {
            Known::Ask(put)
        }
    }
}

/// On which questions red lies on the other side than on the first: as often as not, and in no plain alternation.
const SWAPPED: [bool; MOST_QUESTIONS + 1] = [false, true, true, false, true, false, false, true];
