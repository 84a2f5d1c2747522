//! The rules as tables that a script interprets.
//!
//! States, answers and where they lead, as numbers; the words of ends and reasons stand beside them once. The script walks the
//! table and decides nothing.

use serde::Serialize;

use crate::balance::{Clicks, End, Procedure, Rules, Step, Transitions, Why};

/// A rule as a table: for each state what to do, and which state each answer leads to.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Rule {
    /// How it goes, in words.
    procedure: String,
    /// Which lens it leaves in, in words.
    end_point: String,
    steps: Vec<Stepped>,
    /// The states after red, green, same and unsure, state by state.
    next: Vec<usize>,
    ends: Vec<Ended>,
}

/// What to do in a state.
#[derive(Debug, Clone, Serialize)]
#[serde(untagged)]
enum Stepped {
    /// The place of an end.
    End(i32),
    /// The place of a reason, the lens in clicks, and whether the eye must meet it coming down from plus.
    Ask(i32, Clicks, bool),
}

/// What stands for the lens in the words of an end.
pub(super) const LENS_PLACE: &str = "{lens}";

/// How a run ended: the lens that stays in, if one does, and in words, in which [`LENS_PLACE`] stands for it.
#[derive(Debug, Clone, Serialize)]
struct Ended {
    clicks: Option<Clicks>,
    words: String,
}

impl Rule {
    pub(super) fn new(rules: Rules) -> Self {
        let states = Transitions::of(rules).states;
        let mut ends: Vec<End> = Vec::new();
        let mut steps = Vec::with_capacity(states.len());
        for state in &states {
            steps.push(match state.step {
                Step::Ask { clicks, why, through_plus } => Stepped::Ask(reason(why), clicks, through_plus),
                Step::End(end) => Stepped::End(place(&mut ends, end)),
            });
        }
        let ended = |end: End| Ended {
            clicks: if let End::Lens { clicks, .. } = end { Some(clicks) } else { None },
            words: end.words(LENS_PLACE, rules.end_point()),
        };
        Self {
            procedure: Procedure::from(rules.stepping()).said().to_string(),
            end_point: rules.end_point().said().to_string(),
            steps,
            next: states.iter().flat_map(|state| state.next).collect(),
            ends: ends.into_iter().map(ended).collect(),
        }
    }
}

/// The place of a reason among all.
pub(super) fn reason(why: Why) -> i32 {
    let found = (0..).zip(Why::ALL).find(|(_, one)| **one == why);
    found.map(|(place, _)| place).expect("Why::ALL has every reason")
}

/// The place of an end among those met so far.
fn place(ends: &mut Vec<End>, end: End) -> i32 {
    if !ends.contains(&end) {
        ends.push(end);
    }
    (0..).zip(ends.iter()).find(|(_, one)| **one == end).map_or(0, |(place, _)| place)
}
