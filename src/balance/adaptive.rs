//! The adaptive way: each next lens is the one whose answer tells most about where balance lies.
//!
//! It begins with what is known of manifests, asks where an answer is expected to narrow the estimate most, and ends where another
//! would hardly narrow it; then the click nearest to the estimate stays in. Red lies on the left as often as on the right, in an
//! order that a patient cannot foresee, so that who leans to a side leans to no colour.

use super::answer::Answer;
use super::clicks::Clicks;
use super::end_point::EndPoint;
use super::estimate::{Belief, ENOUGH, Estimate, MOST_QUESTIONS, Next};
use super::run::{DecidedBy, End, MOST_MINUS, Put, Step, UNSURE, Why};
use crate::light::Side;
use crate::quantity::Dioptres;

/// On which questions red lies on the other side than on the first: as often as not, and in no plain alternation.
const SWAPPED: [bool; MOST_QUESTIONS + 1] = [false, true, true, false, true, false, false, true];

/// An estimate this near to the middle of two clicks is as near to both, in dioptres: it is written alike. The end point then
/// decides.
const TIE: Dioptres = Dioptres::new(0.005);

/// Where red lies in a question, counted from nought, where it lies here in the first.
pub(super) const fn red(first: Side, number: usize) -> Side {
    if SWAPPED[number % SWAPPED.len()] { first.other() } else { first }
}

/// What comes after these answers, by what they leave to be believed. Red lies somewhere at first.
pub(super) fn step(
    belief: &Belief<'_>,
    answers: &[(Put, Answer)],
    (first, end_point): (Side, EndPoint),
) -> Step {
    let unsure = answers.iter().filter(|(_, answer)| *answer == Answer::Unsure).count();
    if unsure >= usize::from(UNSURE) {
        return Step::End(End::CouldNotTell);
    }
    let last = answers.last();
    let before = last.map_or(Clicks::NONE, |(put, _)| put.clicks);
    let Next { put, worth } =
        belief.next((before, last.map(|(_, answer)| *answer)), Some(red(first, answers.len())), unsure > 0);
    if answers.len() >= MOST_QUESTIONS || worth < ENOUGH {
        return Step::End(if Answer::never_changed(answers.iter().map(|(_, answer)| *answer)) {
            End::ManifestStands
        } else {
            end(belief.estimate(), end_point, belief.accommodates())
        });
    }
    let why = match last {
        Some((_, Answer::Unsure)) => Why::CouldNotTell,
        None if put.clicks == Clicks::NONE => Why::Manifest,
        Some(_) | None => Why::TellsMost,
    };
    // Nothing has blurred an eye before its first question.
    let is_down = last.is_some() && put.clicks < before;
    Step::Ask { clicks: put.clicks, why, through_plus: belief.accommodates() && !is_down }
}

/// How a question of a lens is put after these answers.
pub(super) fn put((clicks, through_plus): (Clicks, bool), answers: &[(Put, Answer)], first: Side) -> Put {
    let before = answers.last().map_or(Clicks::NONE, |(put, _)| put.clicks);
    Put {
        clicks,
        from_plus: through_plus || clicks < before,
        larger: answers.iter().any(|(_, answer)| *answer == Answer::Unsure),
        red: Some(red(first, answers.len())),
    }
}

/// How it ends where this is known.
fn end(Estimate { balance, .. }: Estimate, end_point: EndPoint, accommodates: bool) -> End {
    let to_its_side = match end_point {
        EndPoint::EqualElseLastRed | EndPoint::LastRed => TIE,
        EndPoint::EqualElseFirstGreen => -TIE,
    };
    let clicks = Clicks::nearest(balance + to_its_side);
    if accommodates && clicks < MOST_MINUS {
        End::TooMuchMinus
    } else {
        End::Lens { clicks, by: DecidedBy::Estimate, of_two: false }
    }
}

#[cfg(test)]
mod tests;
