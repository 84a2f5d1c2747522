//! Runs as tables of states.
//!
//! A run is followed from its start through every answer at every step, and runs that go on alike are one state. The table is
//! complete when no answer leads to a new one, which a bound on lenses and contradictions makes sure of.

use std::collections::HashMap;
use std::hash::Hash;

use serde::Serialize;

use super::answer::Answer;
use super::end_point::EndPoint;
use super::rules::{Rules, RulesError, Stepping};
use super::run::{Run, Step};

/// A run as a table, so that whatever shows it needs no procedure of its own: what to do in each state, and which state
/// each answer leads to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Transitions {
    /// The rules.
    pub rules: Rules,
    /// The states; the first is where a run starts.
    pub states: Vec<State>,
}

/// One state of a run.
///
/// A script needs no more than this: show the step, wait for an answer, go to its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct State {
    /// What to do.
    pub step: Step,
    /// The states after red, green, same and unsure, by their places in the table; itself where the run is over.
    pub next: [usize; 4],
}

/// What `--transitions` prints of a way of asking, an end point and an eye.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub enum Table {
    /// A run.
    Run(Transitions),
    /// No run, since no eye may be asked so; its one state is over.
    Refused(Refused),
}

/// A table without a run, in the form that a run's has.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refused {
    rules: Asked,
    states: [Over; 1],
}

/// What was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct Asked {
    procedure: Stepping,
    end_point: EndPoint,
    accommodates: bool,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct Over {
    step: Ended,
    next: [usize; 4],
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct Ended {
    end: &'static str,
}

impl Table {
    /// Every procedure with every end point, for eyes that do not accommodate, then for those that do.
    #[must_use]
    pub fn all() -> Vec<Self> {
        let mut tables = Vec::new();
        for accommodates in [false, true] {
            for procedure in Stepping::ALL {
                let of = |end_point| Self::of(procedure, end_point, accommodates);
                tables.extend(EndPoint::ALL.map(of));
            }
        }
        tables
    }

    fn of(procedure: Stepping, end_point: EndPoint, accommodates: bool) -> Self {
        match Rules::new(procedure, end_point, accommodates) {
            Ok(rules) => Self::Run(Transitions::of(rules)),
            Err(RulesError::BracketAccommodates | RulesError::MidpointAccommodates | RulesError::NoModel) => {
                Self::Refused(Refused {
                    rules: Asked { procedure, end_point, accommodates },
                    states: [Over { step: Ended { end: "bracket_refused" }, next: [Transitions::START; 4] }],
                })
            }
        }
    }
}

impl Transitions {
    /// Follows every answer from the start. States that no answers can tell apart are one.
    ///
    /// ```
    /// # use evenfield::balance::{EyeKind, Transitions};
    /// let table = Transitions::of(EyeKind::SmallAperture.by_hand());
    /// // Every answer leads to a state of the table.
    /// assert!(table.states.iter().flat_map(|state| state.next).all(|next| next < table.states.len()));
    /// ```
    #[must_use]
    pub fn of(rules: Rules) -> Self {
        Self { rules, states: merged(&all_states(rules)) }
    }

    /// Where a run starts.
    pub const START: usize = 0;
}

/// Every state that answers can lead to.
fn all_states(rules: Rules) -> Vec<State> {
    let start = Run::new(rules);
    let mut places = HashMap::from([(start, 0)]);
    let mut found = vec![start];
    let mut states = Vec::new();
    // States that were found and not yet followed lie behind those that were.
    while let Some(run) = found.get(states.len()).copied() {
        let next = Answer::ALL.map(|answer| {
            let after = run.answered(answer);
            *places.entry(after).or_insert_with(|| {
                found.push(after);
                found.len() - 1
            })
        });
        states.push(State { step: run.step(), next });
    }
    states
}

/// The same table with one state for all that do the same now and after any answers: classes by what they do, split by
/// the classes that answers lead to until nothing is left to split.
fn merged(states: &[State]) -> Vec<State> {
    let mut classes = numbered(states.iter().map(|state| state.step));
    loop {
        let after = |state: &State| state.next.map(|next| classes[next]);
        let finer = numbered(states.iter().zip(&classes).map(|(state, class)| (*class, after(state))));
        if finer.iter().max() == classes.iter().max() {
            break;
        }
        classes = finer;
    }
    let mut kept = Vec::new();
    for (state, class) in states.iter().zip(&classes) {
        // Classes are numbered in the order of their first state.
        if *class == kept.len() {
            kept.push(State { step: state.step, next: state.next.map(|next| classes[next]) });
        }
    }
    kept
}

/// A number for each item, the same for equal ones, counted in the order of their first.
fn numbered<T: Eq + Hash>(items: impl Iterator<Item = T>) -> Vec<usize> {
    let mut numbers = HashMap::new();
    let number = |item| {
        let fresh = numbers.len();
        *numbers.entry(item).or_insert(fresh)
    };
    items.map(number).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The largest table of those that are merged, and one with fog.
    fn tables() -> [Transitions; 2] {
        [(EndPoint::EqualElseLastRed, false), (EndPoint::EqualElseFirstGreen, true)]
            .map(|(end_point, accommodates)| Transitions::of(Rules::from_plus(end_point, accommodates)))
    }

    #[test]
    fn the_table_goes_as_the_run_goes() {
        let tables = tables();
        let answers = prop::collection::vec(0..4_usize, 0..40);
        let mut runner = proptest::test_runner::TestRunner::deterministic();
        let agree = |answers: Vec<usize>| {
            for table in &tables {
                let (mut run, mut place) = (Run::new(table.rules), Transitions::START);
                for answer in answers.iter().copied() {
                    prop_assert_eq!(table.states[place].step, run.step());
                    run = run.answered(Answer::ALL[answer]);
                    place = table.states[place].next[answer];
                }
                prop_assert_eq!(table.states[place].step, run.step());
            }
            Ok(())
        };
        runner.run(&answers, agree).unwrap();
    }

    #[test]
    fn merging_leaves_no_two_states_that_do_the_same() {
        for table in tables() {
            assert_eq!(merged(&table.states).len(), table.states.len());
            assert!(table.states.len() > 100);
        }
    }
}
