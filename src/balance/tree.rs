//! The adaptive way as a tree: what it asks of one eye after any answers, for programs that have no model of their own.

use serde::Serialize;

use super::adaptive::{put, red, step};
use super::answer::Answer;
use super::end_point::EndPoint;
use super::estimate::{Belief, Likelihood, MOST_QUESTIONS, Prior};
use super::rules::Procedure;
use super::run::{End, Put, Step};
use super::start::Start;
use super::viewer::Viewer;
use crate::light::Side;

/// All that the adaptive way may ask of one eye.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tree {
    /// Which way, as tables of rules say theirs.
    pub rules: TreeRules,
    /// The states; the first is where it starts.
    pub states: Vec<Branch>,
}

/// The eye of a tree as far as a table of rules has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct TreeRules {
    procedure: Procedure,
    end_point: EndPoint,
    accommodates: bool,
}

/// One state of a tree.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Branch {
    /// What to do; lenses in clicks of 0.25 D from the first one.
    pub step: Step,
    /// Where red lies in the question; none at an end.
    pub red: Option<Side>,
    /// Whether the line is a larger one, since the patient could not tell.
    pub larger: bool,
    /// The states after red, green, same and unsure, by their places; itself where it is over.
    pub next: [usize; 4],
}

impl Tree {
    /// Of one eye, down to the last question; what is called after each state shows how far it is. None where the model knows no
    /// balance for the eye.
    #[must_use]
    pub fn of(start: &Start, each: impl FnMut()) -> Option<Self> {
        Self::down_to(start, MOST_QUESTIONS, each)
    }

    /// How many states that ask something there can be at the most.
    ///
    /// ```
    /// # use evenfield::balance::Tree;
    /// // Worked by hand for seven questions with four answers each: (4⁷ − 1)/3.
    /// assert_eq!(Tree::most_states(), 5_461);
    /// ```
    #[must_use]
    pub fn most_states() -> usize {
        // 1 + 4 + 4² + … for as many questions.
        (0..MOST_QUESTIONS).fold(0, |states, _| 4 * states + 1)
    }

    /// As [`Self::of`], down to so many questions; deeper ones are left out and lead to themselves.
    fn down_to(start: &Start, most: usize, mut each: impl FnMut()) -> Option<Self> {
        let known = Viewer::of(start)?.known()?;
        let before = Belief::before(&known.likelihood, known.prior(start));
        let given = |answers: &[(Put, Answer)], _| {
            each();
            if answers.len() < most { Answer::ALL.to_vec() } else { Vec::new() }
        };
        Some(Self::grown(&before, (start.red, start.end_point), given))
    }

    /// Of an eye of which this is known, with red on that side at first. Only answers are followed that `given` has to a question
    /// after those before; any other leads nowhere, so its state is its own next.
    pub fn given(
        (likelihood, prior): (&Likelihood, Prior),
        first: (Side, EndPoint),
        given: impl FnMut(&[(Put, Answer)], Put) -> Vec<Answer>,
    ) -> Self {
        Self::grown(&Belief::before(likelihood, prior), first, given)
    }

    fn grown(
        before: &Belief<'_>,
        first: (Side, EndPoint),
        given: impl FnMut(&[(Put, Answer)], Put) -> Vec<Answer>,
    ) -> Self {
        let rules = TreeRules {
            procedure: Procedure::Adaptive,
            end_point: first.1,
            accommodates: before.accommodates(),
        };
        let tree = Self { rules, states: Vec::new() };
        let mut growing = Growing { tree, ends: Vec::new(), first, given };
        growing.grow(before, &mut Vec::new());
        growing.tree
    }
}

/// A tree while it grows: with the ends met so far, where red lies at first, the end point, and which answers are followed.
struct Growing<F> {
    tree: Tree,
    ends: Vec<(End, usize)>,
    first: (Side, EndPoint),
    given: F,
}

impl<F: FnMut(&[(Put, Answer)], Put) -> Vec<Answer>> Growing<F> {
    /// Adds what follows these answers; says where it stands.
    fn grow(&mut self, belief: &Belief<'_>, answers: &mut Vec<(Put, Answer)>) -> usize {
        let (red_first, _) = self.first;
        let step = step(belief, answers, self.first);
        let known = |end: End| self.ends.iter().find(|(one, _)| *one == end).map(|(_, place)| *place);
        if let Step::End(end) = step
            && let Some(place) = known(end)
        {
            return place;
        }
        let place = self.tree.states.len();
        self.tree.states.push(Branch { step, red: None, larger: false, next: [place; 4] });
        let (clicks, through_plus) = match step {
            Step::Ask { clicks, through_plus, .. } => (clicks, through_plus),
            Step::End(end) => {
                self.ends.push((end, place));
                return place;
            }
        };
        let put = put((clicks, through_plus), answers, red_first);
        self.tree.states[place].red = Some(red(red_first, answers.len()));
        self.tree.states[place].larger = put.larger;
        for answer in (self.given)(answers, put) {
            let after = belief.clone().after(put, answer);
            answers.push((put, answer));
            self.tree.states[place].next[answer as usize] = self.grow(&after, answers);
            answers.pop();
        }
        place
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::examination::example;
    use crate::balance::{Clicks, Course, Event, Examination, EyeKind};

    fn after(start: &Start, answers: &[Answer]) -> Course {
        let answers = answers.iter().map(|answer| Event::Answered(*answer));
        let events: Vec<_> = [Event::Started(Box::new(start.clone()))].into_iter().chain(answers).collect();
        Examination::of(&events).unwrap().courses.remove(0)
    }

    #[test]
    fn a_tree_asks_what_an_examination_asks() {
        const DEEP: usize = 3;
        let kind = EyeKind::SmallAperture;
        let start =
            Start { kind, procedure: Procedure::Adaptive, end_point: kind.usual_end_point(), ..example() };
        let tree = Tree::down_to(&start, DEEP, || {}).unwrap();
        assert!(tree.states.len() > 4 * 4 * 4, "{}", tree.states.len());
        for number in 0..4_usize.pow(3) {
            let answers = [0, 1, 2].map(|place| Answer::ALL[(number >> (2 * place)) % 4]);
            for given in 0..=DEEP {
                let place = answers[..given]
                    .iter()
                    .fold(0, |place: usize, answer| tree.states[place].next[*answer as usize]);
                let (branch, course) = (tree.states[place], after(&start, &answers[..given]));
                match (branch.step, course.asks()) {
                    (Step::Ask { clicks, .. }, Some(question)) => {
                        assert_eq!(Clicks::nearest(question.change), clicks, "{answers:?} {given}");
                        assert_eq!(Some(question.red), branch.red, "{answers:?} {given}");
                        assert_eq!(question.line != start.target(0), branch.larger, "{answers:?} {given}");
                    }
                    (Step::End(end), None) => {
                        assert_eq!(course.end(), Some(end));
                        break;
                    }
                    other => panic!("{answers:?} {given}: {other:?}"),
                }
            }
        }
    }

    #[test]
    fn answers_that_are_not_given_lead_nowhere_and_the_others_as_in_the_whole_tree() {
        const DEEP: usize = 2;
        let kind = EyeKind::SmallAperture;
        let start =
            Start { kind, procedure: Procedure::Adaptive, end_point: kind.usual_end_point(), ..example() };
        let whole = Tree::down_to(&start, DEEP, || {}).unwrap();
        let known = Viewer::of(&start).unwrap().known().unwrap();
        let only_red = |answers: &[(Put, Answer)], _: Put| {
            if answers.len() < DEEP { vec![Answer::Red] } else { Vec::new() }
        };
        let tree =
            Tree::given((&known.likelihood, known.prior(&start)), (start.red, start.end_point), only_red);
        assert_eq!(tree.states.len(), DEEP + 1);
        let mut place = 0;
        for (number, branch) in tree.states.iter().enumerate() {
            let as_whole = whole.states[place];
            assert_eq!(
                (branch.step, branch.red, branch.larger),
                (as_whole.step, as_whole.red, as_whole.larger)
            );
            let [red, others @ ..] = branch.next;
            assert_eq!((red, others), ((number + 1).min(DEEP), [number; 3]));
            place = as_whole.next[0];
        }
    }
}
