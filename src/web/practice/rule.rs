//! The ways of asking as tables that a script interprets.
//!
//! States, answers and where they lead, as numbers; the words of ends and reasons stand beside them once. The script walks the
//! table and decides nothing.

use std::collections::{BTreeMap, HashMap};

use serde::Serialize;

use super::error::PracticeError;
use super::level::Level;
use super::patient::ClassPatient;
use super::sight::Sight;
use crate::balance::estimate::{Likelihood, Prior};
use crate::balance::{
    Answer, ClarityTable, Clicks, End, EndPoint, Legible, Limit, Patient, Put, Rules, Seeks, Step,
    Transitions, Tree, Way, Why, limit,
};
use crate::light::Side;
use crate::room::Room;
use crate::view::Model;

/// A way of asking as a table: for each state what to do, and which state each answer leads to.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Rule {
    /// How it goes, in words.
    procedure: String,
    /// Which lens it leaves in, in words.
    end_point: String,
    /// The answers that may be given, by their places among all.
    answers: Vec<usize>,
    /// Whether letters on white are read, and no colours compared.
    on_white: bool,
    steps: Vec<Stepped>,
    /// The states after each of its answers, state by state.
    next: Vec<usize>,
    ends: Vec<Ended>,
    #[serde(skip)]
    found: Vec<End>,
}

/// What to do in a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(untagged)]
pub(super) enum Stepped {
    /// The place of an end.
    End(usize),
    /// The place of a reason, the lens in clicks, and what else belongs to the question, as a sum of marks.
    Ask(usize, Clicks, u8),
}

/// What belongs to a question beside its lens: each by a number that is added where it is so.
#[derive(Debug, Clone, Copy, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Marks {
    /// The eye must meet the lens coming down from plus.
    pub(super) fog: u8,
    /// In larger letters.
    pub(super) larger: u8,
    /// With sides swapped.
    pub(super) swap: u8,
    /// With red on the left, or on the right.
    pub(super) red_left: u8,
    pub(super) red_right: u8,
}

pub(super) const MARKS: Marks = Marks { fog: 1, larger: 2, swap: 4, red_left: 8, red_right: 16 };

/// What stands for the lens in the words of an end.
pub(super) const LENS_PLACE: &str = "{lens}";

/// How a run ended: the lens that stays in, if one does, and in words, in which [`LENS_PLACE`] stands for it.
#[derive(Debug, Clone, Serialize)]
struct Ended {
    clicks: Option<Clicks>,
    words: String,
}

/// No way of asking comes to so many questions.
const TOO_MANY: usize = 99;

/// A run through a table: the lens of each question with the place of its answer, and how it ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Walked {
    /// What was asked and answered.
    pub asked: Vec<(Clicks, usize)>,
    /// How it ended.
    pub end: End,
}

/// Every answer that a patient gives, in the order of the table: those about both sides, then those about letters on white.
pub(super) fn places_of_answers() -> [Vec<usize>; 2] {
    let on_colours = Answer::ALL.len();
    [(0..on_colours).collect(), (on_colours..on_colours + Legible::ALL.len()).collect()]
}

/// The states of a table while they are found.
#[derive(Default)]
struct States {
    steps: Vec<Stepped>,
    next: Vec<usize>,
    ends: Vec<End>,
}

impl States {
    fn end(&mut self, end: End) -> Stepped {
        let place = self.ends.iter().position(|one| *one == end).unwrap_or_else(|| {
            self.ends.push(end);
            self.ends.len() - 1
        });
        Stepped::End(place)
    }

    fn rule(self, way: Way, end_point: EndPoint) -> Rule {
        let on_white = way == Way::Midpoint;
        let [on_colours, white] = places_of_answers();
        let ended = |end: &End| Ended {
            clicks: if let End::Lens { clicks, .. } = end { Some(*clicks) } else { None },
            words: end.words(LENS_PLACE, end_point),
        };
        Rule {
            procedure: way.procedure().said().to_string(),
            end_point: if way.procedure().ends_by_end_point() {
                end_point.said().to_string()
            } else {
                String::new()
            },
            answers: if on_white { white } else { on_colours },
            on_white,
            steps: self.steps,
            next: self.next,
            ends: self.ends.iter().map(ended).collect(),
            found: self.ends,
        }
    }
}

impl Rule {
    /// The table of a level's way of asking. That of the adaptive way follows only answers that a patient of the class may give.
    pub(super) fn new(
        level: Level,
        patients: &[ClassPatient],
        sight: &Sight,
        room: &Room,
    ) -> Result<Self, PracticeError> {
        let way = level.way();
        let states = match way {
            Way::Rules(rules) => by_rules(rules),
            Way::Adaptive(end_point) => by_estimate(level, end_point, patients, (sight, room))?,
            Way::Midpoint => by_limits(),
        };
        Ok(states.rule(way, level.end_point()))
    }

    /// The table's run with a patient.
    pub(super) fn walk(&self, patient: &ClassPatient, sight: &Sight) -> Walked {
        let mut drawn = patient.drawn();
        let (mut state, mut asked, mut red) = (0, Vec::new(), Side::Left);
        loop {
            assert!(asked.len() < TOO_MANY, "it never ends: {asked:?}");
            let (clicks, marks) = match self.steps[state] {
                Stepped::End(place) => return Walked { asked, end: self.found[place] },
                Stepped::Ask(_, clicks, marks) => (clicks, marks),
            };
            let is = |mark: u8| marks & mark != 0;
            let before: Option<Clicks> = asked.last().map(|(clicks, _)| *clicks);
            let from_plus = is(MARKS.fog) || before.is_some_and(|before| before > clicks);
            red = if is(MARKS.swap) || is(MARKS.red_right) {
                Side::Right
            } else if is(MARKS.red_left) {
                Side::Left
            } else {
                red
            };
            let larger = is(MARKS.larger);
            let put = Put { clicks, from_plus, larger, red: Some(red) };
            let answer = if self.on_white {
                drawn.reads(sight, clicks, larger) as usize
            } else {
                drawn.answer(sight, put) as usize
            };
            asked.push((clicks, self.answers[answer]));
            state = self.next[self.answers.len() * state + answer];
        }
    }
}

fn by_rules(rules: Rules) -> States {
    let mut states = States::default();
    for state in Transitions::of(rules).states {
        let step = match state.step {
            Step::Ask { clicks, why, through_plus } => {
                let marks = mark(through_plus, MARKS.fog)
                    + mark(why == Why::CouldNotTell, MARKS.larger)
                    + mark(why == Why::SidesSwapped, MARKS.swap);
                Stepped::Ask(reason(why), clicks, marks)
            }
            Step::End(end) => states.end(end),
        };
        states.steps.push(step);
        states.next.extend(state.next);
    }
    states
}

/// The mark where it is so.
const fn mark(is_so: bool, mark: u8) -> u8 {
    if is_so { mark } else { 0 }
}

/// The adaptive way of an eye without chance, along the answers that patients of the class give in letters of either size.
fn by_estimate(
    level: Level,
    end_point: EndPoint,
    patients: &[ClassPatient],
    (sight, room): (&Sight, &Room),
) -> Result<States, PracticeError> {
    let model = Model::new(room)?;
    let [line, larger] = ClarityTable::both(&model.sides, model.light.luminance, level.pupil())?;
    let (balance, white) = (line.balance(), line.white());
    let pupils = crate::balance::Pupils { line, larger: Some(larger) };
    let likelihood = Likelihood::new(&pupils, balance, &Patient::typical());
    let given = |answers: &[(Put, Answer)], put: Put| may_say(patients, sight, answers, put);
    let tree = Tree::given((&likelihood, Prior::about(balance - white)), (Side::Left, end_point), given);
    let mut states = States::default();
    for branch in tree.states {
        let step = match branch.step {
            Step::Ask { clicks, why, through_plus } => {
                let marks = mark(through_plus, MARKS.fog)
                    + mark(branch.larger, MARKS.larger)
                    + mark(branch.red == Some(Side::Left), MARKS.red_left)
                    + mark(branch.red == Some(Side::Right), MARKS.red_right);
                Stepped::Ask(reason(why), clicks, marks)
            }
            Step::End(end) => states.end(end),
        };
        states.steps.push(step);
        states.next.extend(branch.next);
    }
    Ok(states)
}

/// What patients may say to a question who gave these answers before. Nobody's answer hangs on chance here; but a learner may
/// forget the larger letters or show them unasked, so either size counts.
fn may_say(patients: &[ClassPatient], sight: &Sight, answers: &[(Put, Answer)], put: Put) -> Vec<Answer> {
    let says = |patient: &ClassPatient, put: Put, answer: Answer| {
        [false, true].into_iter().any(|larger| patient.drawn().answer(sight, Put { larger, ..put }) == answer)
    };
    let alike = |patient: &&ClassPatient| answers.iter().all(|(put, answer)| says(patient, *put, *answer));
    // Whose manifests are as wrong answer alike.
    let unlike: BTreeMap<i32, &ClassPatient> = patients
        .iter()
        .map(|patient| (super::patient::thousandths(patient.start().to_d()), patient))
        .collect();
    let left: Vec<&ClassPatient> = unlike.into_values().filter(alike).collect();
    Answer::ALL.into_iter().filter(|answer| left.iter().any(|patient| says(patient, put, *answer))).collect()
}

/// The limits on white: a table of all that answers can lead to, in which what goes on alike is one state.
fn by_limits() -> States {
    let mut found = Found { states: States::default(), places: HashMap::new() };
    let first = found.after(&mut Vec::new());
    found.states.turned(first)
}

/// States by what they do and where they lead; those that others lead to are found first.
struct Found {
    states: States,
    places: HashMap<(Stepped, Option<[usize; 2]>), usize>,
}

impl Found {
    /// The state after these answers.
    fn after(&mut self, answers: &mut Vec<Legible>) -> usize {
        let (step, next) = match limit(answers) {
            Limit::End(limits) => (self.states.end(limits.end()), None),
            Limit::Ask(clicks, seeks) => {
                let larger = answers.first() == Some(&Legible::Lost);
                let next = Legible::ALL.map(|answer| {
                    answers.push(answer);
                    let place = self.after(answers);
                    answers.pop();
                    place
                });
                (Stepped::Ask(sought(seeks), clicks, mark(larger, MARKS.larger)), Some(next))
            }
        };
        let fresh = self.states.steps.len();
        let place = *self.places.entry((step, next)).or_insert(fresh);
        if place == fresh {
            self.states.steps.push(step);
            self.states.next.extend(next.unwrap_or([fresh; 2]));
        }
        place
    }
}

impl States {
    /// The same with the state that was found last first.
    fn turned(mut self, first: usize) -> Self {
        let last = self.steps.len() - 1;
        assert_eq!(first, last, "whatever a state leads to is found before it");
        self.steps.reverse();
        let pairs: Vec<[usize; 2]> =
            self.next.chunks_exact(2).map(|pair| [last - pair[0], last - pair[1]]).collect();
        self.next = pairs.into_iter().rev().flatten().collect();
        self
    }
}

/// The place of a reason among all, those of reading on white behind the others.
pub(super) fn reason(why: Why) -> usize {
    Why::ALL.iter().position(|one| *one == why).expect("Why::ALL has every reason")
}

fn sought(seeks: Seeks) -> usize {
    let place = Seeks::ALL.iter().position(|one| *one == seeks).expect("Seeks::ALL has every one");
    Why::ALL.len() + place
}

/// The words of all reasons at a change of lens.
pub(super) fn reasons(clicks: Clicks) -> Vec<String> {
    let rules = Why::ALL.iter().map(|why| why.words(clicks));
    rules.chain(Seeks::ALL.iter().map(|seeks| seeks.words(clicks))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::{Limits, Run};
    use crate::web::practice::sight::Looked;

    fn sight(level: Level, room: &Room) -> Sight {
        Sight::with_views(&[0], &Looked::by(level), room).unwrap()
    }

    #[test]
    fn a_table_runs_as_the_run_does_with_every_patient() {
        let room = Room::demo();
        for level in Level::ALL {
            let Way::Rules(rules) = level.way() else { continue };
            let (patients, sight) = (level.patients(3), sight(level, &room));
            let rule = Rule::new(level, &patients, &sight, &room).unwrap();
            for patient in &patients {
                let mut drawn = patient.drawn();
                let ran = Run::new(rules).with(|put| drawn.answer(&sight, put));
                let asked = ran.asked.iter().map(|(clicks, answer)| (*clicks, *answer as usize)).collect();
                assert_eq!(rule.walk(patient, &sight), Walked { asked, end: ran.end }, "{level:?}");
            }
        }
    }

    #[test]
    fn limits_are_looked_for_as_the_search_does_with_every_patient() {
        let (room, level) = (Room::demo(), Level::Midpoint);
        let (patients, sight) = (level.patients(3), sight(level, &room));
        let rule = Rule::new(level, &patients, &sight, &room).unwrap();
        let mut found = 0;
        for patient in &patients {
            let (mut drawn, mut answers, mut asked) = (patient.drawn(), Vec::new(), Vec::new());
            let limits = loop {
                match limit(&answers) {
                    Limit::End(limits) => break limits,
                    Limit::Ask(clicks, _) => {
                        let answer = drawn.reads(&sight, clicks, answers.first() == Some(&Legible::Lost));
                        asked.push((clicks, Answer::ALL.len() + answer as usize));
                        answers.push(answer);
                    }
                }
            };
            found += usize::from(matches!(limits, Limits::Found { .. }));
            assert_eq!(rule.walk(patient, &sight), Walked { asked, end: limits.end() });
        }
        assert!(found > 80, "{found} of {}", patients.len());
    }

    /// The tree follows every answer that anybody of the class gives: nobody is asked the same for ever, and all end near balance.
    #[test]
    fn the_adaptive_way_comes_to_an_end_with_every_patient() {
        let (room, level) = (Room::demo(), Level::Adaptive);
        let (patients, sight) = (level.patients(3), sight(level, &room));
        let rule = Rule::new(level, &patients, &sight, &room).unwrap();
        for (state, step) in rule.steps.iter().enumerate() {
            let next = &rule.next[4 * state..4 * state + 4];
            assert!(
                matches!(step, Stepped::End(_)) || next.iter().any(|next| *next != state),
                "{state} is stuck"
            );
        }
        for patient in &patients {
            let walked = rule.walk(patient, &sight);
            let End::Lens { clicks, .. } = walked.end else { panic!("{walked:?}") };
            let off = f64::from(super::super::patient::thousandths(patient.start().to_d()) - sight.balance)
                / 1e3
                + clicks.to_dioptres().to_d();
            // A click and what is noticed of balance.
            assert!(off.abs() < 0.32, "{off} D off after {:?}", walked.asked);
        }
    }
}
