//! Who asks a simulated patient: a rule of the trade, the estimate, or who looks for the midpoint on white.

use std::cell::RefCell;
use std::collections::HashMap;

use super::adaptive;
use super::answer::{Answer, Legible};
use super::clicks::Clicks;
use super::end_point::EndPoint;
use super::estimate::{Belief, Estimate, Likelihood, Prior};
use super::midpoint::{Limit, Limits, limit};
use super::patient::{Drawn, Luck, Sight};
use super::rules::Rules;
use super::run::{DecidedBy, End, Put, Run, Step};
use crate::light::Side;

/// Where an asking left a patient.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The lens that is left in: the manifest's where none was decided on.
    pub left_in: Clicks,
    /// How it ended.
    pub end: End,
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
    /// The adaptive way.
    Adaptive(ByEstimate<'a>),
    /// The midpoint on white, with what its answers come to where that is wanted.
    Midpoint(Option<ByLimits<'a>>),
    /// The adaptive way and then the midpoint on white; the click nearest to what both come to is left in.
    Both(ByEstimate<'a>),
}

impl Asking<'_> {
    /// Asks a patient to the end.
    pub fn ask(&self, sight: &impl Sight, patient: &mut Drawn<Luck>) -> Asked {
        match self {
            Self::Rules(rules) => {
                let ran = Run::new(*rules).with(|put| patient.answer(sight, put));
                let (left_in, questions) = (ran.left_in(), ran.asked.len());
                Asked { left_in, end: ran.end, questions, estimate: None }
            }
            Self::Adaptive(estimate) => estimate.ask(sight, patient).0,
            Self::Midpoint(estimate) => {
                let (limits, read) = by_limits(sight, patient);
                let end = limits.end();
                let estimate = estimate.as_ref().map(|estimate| estimate.after(&read));
                Asked { left_in: end.left_in(), end, questions: read.len(), estimate }
            }
            Self::Both(estimate) => estimate.ask_both(sight, patient),
        }
    }
}

/// A lens in the line that is asked or in a larger one, and whether it was read.
type Read = ((Clicks, bool), Legible);

/// Looks for the limits on white: what they come to, and what was answered.
fn by_limits(sight: &impl Sight, patient: &mut Drawn<Luck>) -> (Limits, Vec<Read>) {
    let (mut read, mut answers): (Vec<Read>, Vec<Legible>) = (Vec::new(), Vec::new());
    loop {
        match limit(&answers) {
            Limit::Ask(clicks, _) => {
                let larger = answers.first() == Some(&Legible::Lost);
                let answer = patient.reads(sight, clicks, larger);
                answers.push(answer);
                read.push(((clicks, larger), answer));
            }
            Limit::End(limits) => return (limits, read),
        }
    }
}

fn after_limits<'a>(belief: Belief<'a>, answers: &[Read]) -> Belief<'a> {
    answers.iter().fold(belief, |belief, (put, answer)| belief.after_limit(*put, *answer))
}

/// What answers on white come to. It follows from them alone, so it is kept for the next patient who gives the same.
#[derive(Debug, Clone)]
pub struct ByLimits<'a> {
    before: Belief<'a>,
    known: RefCell<HashMap<Vec<Legible>, Estimate>>,
}

impl<'a> ByLimits<'a> {
    /// For one eye and what is known of it beforehand.
    #[must_use]
    pub fn new(likelihood: &'a Likelihood, prior: Prior) -> Self {
        Self { before: Belief::before(likelihood, prior), known: RefCell::default() }
    }

    fn after(&self, read: &[Read]) -> Estimate {
        let answers = read.iter().map(|(_, answer)| *answer).collect();
        let mut known = self.known.borrow_mut();
        *known.entry(answers).or_insert_with(|| after_limits(self.before.clone(), read).estimate())
    }
}

/// Asks the adaptive way. What to ask follows from the answers alone, so whatever was worked out for one patient is kept for the
/// next.
#[derive(Debug, Clone)]
pub struct ByEstimate<'a> {
    before: Belief<'a>,
    end_point: EndPoint,
    known: RefCell<HashMap<Path, Known>>,
    /// What answers about the colours and then about white come to.
    both: RefCell<HashMap<(Path, Vec<Legible>), Estimate>>,
}

/// The lenses and what was answered to each. Where red lay first does not matter: as many patients lean to the left as to the right.
type Path = Vec<(Clicks, Answer)>;

/// What is known after some answers: what to do, and at the end what the estimate comes to.
type Known = (Step, Option<Estimate>);

impl<'a> ByEstimate<'a> {
    /// For one eye and what is known of it beforehand.
    #[must_use]
    pub fn new(likelihood: &'a Likelihood, prior: Prior, end_point: EndPoint) -> Self {
        let before = Belief::before(likelihood, prior);
        Self { before, end_point, known: RefCell::default(), both: RefCell::default() }
    }

    /// The adaptive way, then the midpoint on white; the estimate takes the answers to both.
    fn ask_both(&self, sight: &impl Sight, patient: &mut Drawn<Luck>) -> Asked {
        let (colours, answers) = self.ask(sight, patient);
        let (_, read) = by_limits(sight, patient);
        let estimate = self.after_both(&answers, &read);
        let left_in = Clicks::nearest(estimate.balance);
        Asked {
            left_in,
            end: End::Lens { clicks: left_in, by: DecidedBy::Estimate, of_two: false },
            questions: colours.questions + read.len(),
            estimate: Some(estimate),
        }
    }

    fn after_both(&self, answers: &[(Put, Answer)], read: &[Read]) -> Estimate {
        let both = (path(answers), read.iter().map(|(_, answer)| *answer).collect());
        *self.both.borrow_mut().entry(both).or_insert_with(|| {
            let after = |belief: Belief<'a>, (put, answer): &(Put, Answer)| belief.after(*put, *answer);
            after_limits(answers.iter().fold(self.before.clone(), after), read).estimate()
        })
    }

    fn ask(&self, sight: &impl Sight, patient: &mut Drawn<Luck>) -> (Asked, Vec<(Put, Answer)>) {
        let first = if patient.chances.uniform() < 0.5 { Side::Left } else { Side::Right };
        let mut answers: Vec<(Put, Answer)> = Vec::new();
        let mut believed = Believed { belief: None, answers: 0 };
        loop {
            let (step, estimate) = self.known(&answers, first, &mut believed);
            match step {
                Step::Ask { clicks, through_plus, .. } => {
                    let put = adaptive::put((clicks, through_plus), &answers, first);
                    let answer = patient.answer(sight, put);
                    answers.push((put, answer));
                }
                Step::End(end) => {
                    let questions = answers.len();
                    return (Asked { left_in: end.left_in(), end, questions, estimate }, answers);
                }
            }
        }
    }

    fn known(&self, answers: &[(Put, Answer)], first: Side, believed: &mut Believed<'a>) -> Known {
        let path = path(answers);
        if let Some(known) = self.known.borrow().get(&path) {
            return *known;
        }
        let belief = believed.belief.take().unwrap_or_else(|| self.before.clone());
        let belief = answers[believed.answers..]
            .iter()
            .fold(belief, |belief, (put, answer)| belief.after(*put, *answer));
        let step = adaptive::step(&belief, answers, (first, self.end_point));
        let known = (step, matches!(step, Step::End(_)).then(|| belief.estimate()));
        self.known.borrow_mut().insert(path, known);
        *believed = Believed { belief: Some(belief), answers: answers.len() };
        known
    }
}

fn path(answers: &[(Put, Answer)]) -> Path {
    answers.iter().map(|(put, answer)| (put.clicks, *answer)).collect()
}

/// What was believed of a patient when something was worked out last, and after how many answers.
struct Believed<'a> {
    belief: Option<Belief<'a>>,
    answers: usize,
}
