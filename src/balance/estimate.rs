//! Where balance lies, given all answers, with the interval that holds it in 95 of 100 eyes.
//!
//! Balance lies somewhere on a grid. Before the first question a [`Prior`] says how likely each place is; every answer then
//! multiplies that by its own chance there, which is the one that a simulated [`Patient`](super::Patient) answers with, but for the one
//! answer in ten that is taken to be "cannot tell" whatever is seen.
//! A [`Likelihood`] holds these chances for one eye and line, worked out once; a [`Belief`] is what they leave after the
//! answers, says it as an [`Estimate`], and chooses the lens whose answer would tell most as [`Next`].
//!
//! How a patient judges is not known, so it is summed out: over widths of "same", over how much judgement wavers, over
//! how clear letters have to be, and over a leaning to one side. How far patients differ in these is assumed, all of it.
//!
//! An estimate is of the eye and not of the day. One day's focus is off by as much for all its questions, and no number of
//! questions tells that from the eye's own: the interval never becomes narrower than that leaves it.
//!
//! All of it is pure, without chance, and takes milliseconds.

mod belief;
mod grid;
mod lanes;
mod likelihood;
mod next;
mod prior;

pub use belief::{Belief, Estimate};
pub use likelihood::Likelihood;
pub use next::{ENOUGH, MOST_QUESTIONS, Next};
pub use prior::{FAR_OFF_ONE_IN, FAR_OFF_SD, Prior, USUAL_SD};

#[cfg(test)]
mod tests;
