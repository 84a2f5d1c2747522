//! How each kind of eye is first asked, for the help of a page.
//!
//! The page does not know which eye sits before it; it shows the first steps for every kind, and its examiner picks.

use serde::Serialize;

use crate::balance::{Answer, EyeKind, Lead, Procedure, Rules, Run, Step};

/// With which lens an eye is asked first, and what each answer asks for next.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct FirstStep {
    /// The kinds of eye that are asked alike.
    eyes: String,
    /// The name of their procedure.
    procedure: &'static str,
    /// The first lens.
    first: String,
    /// The next lens after each answer, in the order of [`Answer::ALL`].
    next: Vec<String>,
}

impl FirstStep {
    /// All kinds of eye with their usual rules, those with the same rules together.
    pub(super) fn all() -> Vec<Self> {
        let row = |(rules, kinds): (Rules, Vec<EyeKind>)| Self::new(rules, &kinds);
        EyeKind::asked_alike().into_iter().map(row).collect()
    }

    fn new(rules: Rules, kinds: &[EyeKind]) -> Self {
        let eyes: Vec<&str> = kinds.iter().map(|kind| kind.words()).collect();
        let first = match Run::new(rules).step() {
            Step::Ask { clicks, why, .. } => why.words(clicks),
            Step::End(_) => String::new(),
        };
        let next = rules.leads().iter().map(Lead::words).collect();
        Self { eyes: eyes.join("; "), procedure: Procedure::from(rules.stepping()).name(), first, next }
    }
}

/// The answers, as the columns of [`FirstStep::next`] are headed.
pub(super) fn answers() -> [String; 4] {
    Answer::ALL.map(|answer| answer.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::Clicks;

    /// The strip of the room's page gives the direction only, which must be the same for all eyes.
    #[test]
    fn red_leads_to_minus_and_green_to_plus_in_every_eye() {
        for kind in EyeKind::ALL {
            let leads = kind.by_hand().leads();
            assert!(
                leads.iter().any(|lead| lead.answer == Answer::Red && lead.moved < Clicks::NONE),
                "{kind:?}"
            );
            assert!(
                leads.iter().any(|lead| lead.answer == Answer::Green && lead.moved > Clicks::NONE),
                "{kind:?}"
            );
        }
    }

    #[test]
    fn kinds_with_the_same_rules_share_a_row() {
        let eyes: Vec<String> = FirstStep::all().into_iter().map(|row| row.eyes).collect();
        assert_eq!(eyes, ["small-aperture lens implant", "lens implant; presbyopic", "accommodating"]);
    }
}
