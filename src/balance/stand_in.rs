//! A simulated patient who stands in for a real one, so that a whole examination can be practised.
//!
//! How it judges and by how much its manifest is off are drawn by chance, as for a [trial](super::Trial). It answers each question by
//! the question's number alone, so that a step taken back and asked again gets the same answer.

use std::sync::Arc;

use super::answer::{Answer, Legible};
use super::clicks::Clicks;
use super::course::Course;
use super::patient::{Drawn, Luck};
use super::trial::MANIFEST_SDS_D;
use super::variety;
use super::viewer::{Known, Viewer};
use super::whereabouts::Whereabouts;
use crate::eye::CLICK_D;
use crate::quantity::Dioptres;

/// By how much manifests are off where white is clearest, as an SD in dioptres. Assumed: the middle one of the trials.
const MANIFEST_SD_D: f64 = MANIFEST_SDS_D[1];

/// What such a patient says next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reply {
    /// On which side the letters are clearer.
    Clearer(Answer),
    /// Whether the line on white can be read.
    Line(Legible),
}

/// Simulated patients, one after the other, each by its number.
///
/// The same seed gives the same patients to everyone in a class.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StandIn {
    seed: u64,
    number: u64,
}

/// How the examination of a simulated patient's eye went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PractisedEye {
    /// The sphere at the chart's distance with which both sides are equally clear to it.
    pub balance: Dioptres,
    /// By how much the lens that was left in is off that; none where none was.
    pub off: Option<Dioptres>,
    /// Whether the 95 % interval of the estimate holds it; none where there is no estimate.
    pub held: Option<bool>,
}

impl PractisedEye {
    /// In sentences.
    #[must_use]
    pub fn words(&self) -> String {
        let Self { balance, off, held } = self;
        let lens = off.map_or_else(
            || "no lens was left in".into(),
            |off| format!("the lens left in, {}, is {}", *balance + off, beside(off)),
        );
        let interval = match held {
            Some(true) => " The interval holds it.",
            Some(false) => " The interval does not hold it, as happens to one eye in twenty.",
            None => "",
        };
        format!("Balance lay at {balance} at the chart’s distance: {lens}.{interval}")
    }

    /// What several came to, in a sentence; nothing for none.
    #[must_use]
    pub fn together(eyes: &[Self]) -> String {
        let within = eyes.iter().filter(|eye| eye.off.is_some_and(is_within_a_click)).count();
        let told: Vec<bool> = eyes.iter().filter_map(|eye| eye.held).collect();
        let held = told.iter().filter(|held| **held).count();
        let all = match eyes.len() {
            0 => return String::new(),
            1 => "1 eye".into(),
            count => format!("{count} eyes"),
        };
        format!(
            "Of {all} so far {within} ended within a click of balance; the interval held it in {held} of {}.",
            told.len()
        )
    }
}

impl StandIn {
    /// The first patient of a seed.
    #[must_use]
    pub const fn first(seed: u64) -> Self {
        Self { seed, number: 1 }
    }

    /// The next one.
    #[must_use]
    pub const fn next(self) -> Self {
        Self { number: self.number + 1, ..self }
    }

    /// Which one it is, from 1.
    #[must_use]
    pub const fn number(self) -> u64 {
        self.number
    }

    /// What is said to the question that comes next for this eye; none where no question about letters does, and where the model
    /// knows no balance for its line on these fields.
    #[must_use]
    pub fn reply(self, course: &Course) -> Option<Reply> {
        let (known, mut drawn) = self.drawn(course)?;
        let stage = course.stage()?;
        // What chance gave to the questions before is passed over.
        let before = stage.number()?.checked_sub(2);
        before.and_then(|before| drawn.chances.nth(before));
        if let Some(question) = stage.question() {
            return Some(Reply::Clearer(drawn.answer(&known.tables, course.put(&question))));
        }
        let question = stage.limit()?;
        let clicks = Clicks::nearest(question.sphere - course.start.first_lens());
        let larger = question.line != course.start.target(0);
        Some(Reply::Line(drawn.reads(&known.tables, clicks, larger)))
    }

    /// The sphere at the chart's distance with which both sides are equally clear to this eye; none where the model knows none.
    #[must_use]
    pub fn balance(self, course: &Course) -> Option<Dioptres> {
        let (known, drawn) = self.drawn(course)?;
        Some(course.start.first_lens() + known.tables.line.balance() - drawn.start)
    }

    /// How an examination of this eye went; none where the model knows no balance.
    #[must_use]
    pub fn result(self, course: &Course) -> Option<PractisedEye> {
        let balance = self.balance(course)?;
        let holds = |found: Whereabouts| (found.low..=found.high).contains(&balance);
        Some(PractisedEye {
            balance,
            off: course.left_in().map(|lens| lens - balance),
            held: course.whereabouts().map(holds),
        })
    }

    fn drawn(self, course: &Course) -> Option<(Arc<Known>, Drawn<Luck>)> {
        let viewer = Viewer::of(&course.start)?;
        let known = viewer.known()?;
        let typical = viewer.typical();
        // Two eyes a patient.
        let mut luck = typical.luck(self.seed, 2 * self.number + course.start.eye as u64);
        let patient = variety::drawn(&typical, &mut luck);
        let manifest = course.start.first_lens() - course.start.manifest_here();
        let off = Dioptres::new(luck.normal(MANIFEST_SD_D));
        let start = known.tables.line.white() + manifest + off;
        Some((known, Drawn::new(luck.of(patient), start)))
    }
}

fn is_within_a_click(off: Dioptres) -> bool {
    off.to_d().abs() <= CLICK_D
}

/// How far a lens lies from balance, and whether that is within a click.
fn beside(off: Dioptres) -> String {
    if off.to_d().abs() < 0.005 {
        return "at balance".into();
    }
    let (far, within) = (off.to_d().abs(), if is_within_a_click(off) { "within" } else { "more than" });
    let side = if off.to_d() < 0.0 { "minus" } else { "plus" };
    format!("{far:.2} D too {side}, {within} a click")
}

#[cfg(test)]
mod tests;
