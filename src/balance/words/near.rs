//! What is said of a near add.

use std::cmp::Ordering;

use super::super::answer::Answer;
use super::super::near::{LAG_D, Near};
use crate::eye::CLICK_D;
use crate::quantity::{Dioptres, Length};

/// What is said before a near add is tried.
pub const NEAR_HOW: &str = "Lenses for far away in, both eyes open, good light, the printed near chart at the distance at which this patient reads or works. Add plus until the smallest line is clear; then bring the chart nearer and away until it blurs, and note both places. Ask red and green, if at all, with one eye at a time.";

/// What is said where both ask for a change, and where they differ.
const ONE_CHANGE: &str = "Both ask for the same change, which is made once.";
const AT_ODDS: &str =
    "The clear range and the colours ask for different adds: let the patient read with each.";

/// What red and green say at near, where an eye that accommodates lags behind what it looks at.
#[must_use]
pub fn near_lag() -> String {
    let [least, most] = LAG_D;
    format!(
        "an eye that accommodates focuses a little farther than it looks at near (about {least:.2} to {most:.2} D, common practice, no source), so green is expected and asks for no more by itself"
    )
}

impl Near {
    /// The add, the distance and what was read, in a line.
    #[must_use]
    pub fn words(&self) -> String {
        let acuity = self.acuity.map(|score| format!(", {score} read")).unwrap_or_default();
        let clear = self.clear.map(|[from, to]| format!(", clear from {} to {}", cm(from), cm(to)));
        format!("{} at {}{acuity}{}", self.add, cm(self.distance), clear.unwrap_or_default())
    }

    /// What the figures say: what is left to the eye, where the clear range lies, what red and green show. Lenses may be for the
    /// distance of the chart, which is then given.
    #[must_use]
    pub fn advice(&self, accommodates: bool, lens_for: Option<Length>) -> Vec<String> {
        let by = if accommodates { "accommodation or depth of focus" } else { "depth of focus alone" };
        let left = self.left_to_the_eye().to_d();
        let share = if left.abs() < CLICK_D / 2.0 {
            format!("{} is what {} asks for.", self.add, cm(self.distance))
        } else if left > 0.0 {
            format!("{} asks for {}: {left:.2} D of it is left to {by}.", cm(self.distance), self.needed())
        } else {
            format!(
                "{} asks for {} only: the add brings the page {:.2} D too near.",
                cm(self.distance),
                self.needed(),
                -left
            )
        };
        let held = lens_for.map(|distance| {
            format!(
                "The lenses are for {distance}, not for far away: {} of what near asks for is in them.",
                Dioptres::at(distance)
            )
        });
        let all = [Some(share), held, self.range(), self.colours(accommodates), self.together(accommodates)];
        all.into_iter().flatten().collect()
    }

    /// Whether the clear range asks for the same change as red and green do, where an answer asks for one at all.
    fn together(&self, accommodates: bool) -> Option<String> {
        let by_range = self.clicks_to_the_middle()?.partial_cmp(&0.0)?;
        let by_colours = match self.red_green? {
            Answer::Red => Ordering::Less,
            // Of an eye that lags these ask for nothing.
            Answer::Same | Answer::Green if accommodates => return None,
            Answer::Same => Ordering::Equal,
            Answer::Green => Ordering::Greater,
            Answer::Unsure => return None,
        };
        match (by_range, by_colours) {
            (range, colours) if range != colours => Some(AT_ODDS.into()),
            (Ordering::Equal, _) => None,
            _ => Some(ONE_CHANGE.into()),
        }
    }

    fn range(&self) -> Option<String> {
        let (middle, clicks) = (self.middle()?, self.clicks_to_the_middle()?);
        let at = Length::mm(1000.0 / middle.to_d());
        let inside = self.is_clear_at_work()?;
        Some(if !inside {
            format!(
                "The working distance lies outside the clear range, whose middle is at {}: try another add.",
                cm(at)
            )
        } else if clicks.abs() < 0.5 {
            format!("The clear range has its middle in dioptres at {}, where it is wanted.", cm(at))
        } else {
            let change = Dioptres::new(clicks * CLICK_D);
            format!(
                "The clear range has its middle in dioptres at {}: {change} would bring it to the working distance.",
                cm(at)
            )
        })
    }

    fn colours(&self, accommodates: bool) -> Option<String> {
        let answer = self.red_green?;
        let lag = if accommodates { format!("; {}", near_lag()) } else { String::new() };
        Some(match answer {
            Answer::Red => format!("Red was clearer at near: a quarter less plus{lag}."),
            Answer::Green if accommodates => format!("Green was clearer at near{lag}."),
            Answer::Green => "Green was clearer at near: a quarter more plus.".into(),
            Answer::Same if accommodates => format!("Red and green were alike at near{lag}."),
            Answer::Same => "Red and green were alike at near: by them this add suits.".into(),
            Answer::Unsure => "Red and green could not be told apart at near.".into(),
        })
    }
}

/// In centimetres, as reading distances are told.
fn cm(length: Length) -> String {
    format!("{:.0} cm", length.to_mm() / 10.0)
}
