//! What each answer to the first question leads to.

use super::answer::Answer;
use super::clicks::Clicks;
use super::rules::Rules;
use super::run::{Run, Step, Why};
use super::words::larger_line;

/// What an answer to the first question leads to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lead {
    /// The answer.
    pub answer: Answer,
    /// What comes next.
    pub step: Step,
    /// By how many clicks the next lens differs from the first, plus upward; nought where the run ends.
    pub moved: Clicks,
}

impl Rules {
    /// What each answer to the first question leads to, as a run itself has it.
    #[must_use]
    pub fn leads(self) -> Vec<Lead> {
        let run = Run::new(self);
        let Step::Ask { clicks: first, .. } = run.step() else { return Vec::new() };
        let lead = |answer: Answer| {
            let step = run.answered(answer).step();
            let moved = if let Step::Ask { clicks, .. } = step { clicks - first } else { Clicks::NONE };
            Lead { answer, step, moved }
        };
        Answer::ALL.map(lead).into()
    }
}

impl Lead {
    /// The change of lens and why, in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        match self.step {
            Step::Ask { why, .. } => why.words(self.moved),
            Step::End(_) => "The run ends.".into(),
        }
    }

    /// What to do next, without why, where it is more than to change the lens; none otherwise.
    #[must_use]
    pub fn to_do(&self) -> Option<String> {
        let larger = matches!(self.step, Step::Ask { why: Why::CouldNotTell, .. });
        larger.then(|| larger_line(self.moved))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::{EndPoint, EyeKind, Stepping};

    fn moved(procedure: Stepping, accommodates: bool) -> Vec<i32> {
        let rules = Rules::new(procedure, EndPoint::EqualElseLastRed, accommodates).unwrap();
        rules.leads().iter().map(|lead| lead.moved.count()).collect()
    }

    /// By hand from the procedures as DEVELOPERS.md and the README state them; red, green, same, unsure.
    #[test]
    fn first_steps_are_those_of_the_procedures() {
        assert_eq!(moved(Stepping::Customary, false), [-1, 1, -1, 0]);
        assert_eq!(moved(Stepping::FromPlus, false), [-1, 1, 1, 0]);
        assert_eq!(moved(Stepping::Bracket, false), [-2, 2, 2, 0]);
        // In the fog: red begins the way down, all else asks for more or, unsure, for less of it.
        assert_eq!(moved(Stepping::FromPlus, true), [-1, 1, 1, -1]);
    }

    #[test]
    fn every_kind_of_eye_has_its_leads() {
        for kind in EyeKind::ALL {
            assert_eq!(kind.by_hand().leads().len(), 4, "{kind:?}");
        }
    }

    #[test]
    fn a_lead_says_how_the_lens_is_changed_and_what_else_is_done() {
        let rules = Rules::new(Stepping::Bracket, EndPoint::EqualElseLastRed, false).unwrap();
        for lead in rules.leads() {
            // By the table above: two clicks to minus after red, to plus after green or the same, and the same lens for who is unsure.
            let (words, to_do) = match lead.answer {
                Answer::Red => ("0.50 D more minus", None),
                Answer::Green | Answer::Same => ("0.50 D more plus", None),
                Answer::Unsure => ("larger line; keep the lens", Some("Show a larger line; keep the lens.")),
            };
            assert!(lead.words().contains(words), "{}", lead.words());
            assert_eq!(lead.to_do().as_deref(), to_do);
        }
    }
}
