//! The near add: what is needed, what was found with the near chart, and how both agree.
//!
//! The add is the vergence of the working distance less what is left to the eye ([Millodot](crate::bibliography::MILLODOT_2009)).

use serde::{Deserialize, Serialize};

use super::answer::Answer;
use crate::acuity::Score;
use crate::eye::CLICK_D;
use crate::quantity::{Dioptres, Length};

/// How near and how far a near chart is held, in millimetres. This project's own decision.
const DISTANCES_MM: std::ops::RangeInclusive<f64> = 100.0..=1500.0;

/// Adds that are given, in dioptres. This project's own decision: the most is for low vision.
const ADDS_D: std::ops::RangeInclusive<f64> = 0.0..=8.0;

/// By how much an eye that accommodates focuses farther than it looks at near, least and most, in dioptres. Common practice, no
/// source.
pub const LAG_D: [f64; 2] = [0.25, 0.75];

/// A near add, tried with the near chart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(try_from = "Tried")]
pub struct Near {
    /// From the eyes to what this patient reads or works at.
    #[serde(rename = "distance_mm")]
    pub distance: Length,
    /// The add, to both eyes.
    #[serde(rename = "add_d")]
    pub add: Dioptres,
    /// The smallest line read through it, both eyes open, where that was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub acuity: Option<Score>,
    /// The nearest and the farthest place at which that line is clear, where that was measured.
    #[serde(rename = "clear_mm", default, skip_serializing_if = "Option::is_none")]
    pub clear: Option<[Length; 2]>,
    /// What was clearer at that distance on red and green, where that was asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub red_green: Option<Answer>,
}

/// The same before it is checked.
#[derive(Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct Tried {
    #[serde(rename = "distance_mm")]
    distance: Length,
    #[serde(rename = "add_d")]
    add: Dioptres,
    #[serde(default)]
    acuity: Option<Score>,
    #[serde(rename = "clear_mm", default)]
    clear: Option<[Length; 2]>,
    #[serde(default)]
    red_green: Option<Answer>,
}

/// Why something is no near add.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NearError {
    /// Nobody reads there.
    #[error(
        "a working distance of {0} is not within 10 cm to 1.5 m: measure it from the eyes to the page, such as 40cm"
    )]
    Distance(String),
    /// No such add.
    #[error("an add of {0} is not within 0 to +8 D: write it with its plus, such as +2.25")]
    Add(String),
    /// The range is none.
    #[error(
        "clear from {0} to {1} is no range within 10 cm to 1.5 m: write the nearest place first, such as 33cm,50cm"
    )]
    Range(String, String),
}

impl TryFrom<Tried> for Near {
    type Error = NearError;

    fn try_from(tried: Tried) -> Result<Self, NearError> {
        let Tried { distance, add, acuity, clear, red_green } = tried;
        Self { distance, add, acuity, clear, red_green }.checked()
    }
}

impl Near {
    /// Refuses what nobody has.
    ///
    /// # Errors
    /// On the first such thing.
    pub fn checked(self) -> Result<Self, NearError> {
        if !DISTANCES_MM.contains(&self.distance.to_mm()) {
            return Err(NearError::Distance(self.distance.to_string()));
        }
        if !ADDS_D.contains(&self.add.to_d()) {
            return Err(NearError::Add(self.add.to_string()));
        }
        let is_range = |[from, to]: [Length; 2]| {
            from.to_mm() < to.to_mm() && [from, to].iter().all(|end| DISTANCES_MM.contains(&end.to_mm()))
        };
        match self.clear.filter(|clear| !is_range(*clear)) {
            Some([from, to]) => Err(NearError::Range(from.to_string(), to.to_string())),
            None => Ok(self),
        }
    }

    /// What the distance asks for: its vergence.
    ///
    /// ```
    /// # use evenfield::{balance::Near, quantity::{Dioptres, Length}};
    /// // Worked by hand: 1/0.40 m = 2.50 D, of which an add of +2.25 leaves 0.25 D to the eye.
    /// const BINARY_DUST: f64 = 1e-9;
    /// let near = Near { distance: Length::mm(400.0), add: Dioptres::new(2.25), acuity: None, clear: None, red_green: None };
    /// assert!((near.needed().to_d() - 2.5).abs() < BINARY_DUST);
    /// assert!((near.left_to_the_eye().to_d() - 0.25).abs() < BINARY_DUST);
    /// ```
    #[must_use]
    pub fn needed(&self) -> Dioptres {
        Dioptres::at(self.distance)
    }

    /// What of that is left to the eye: its accommodation, or its depth of focus.
    #[must_use]
    pub fn left_to_the_eye(&self) -> Dioptres {
        self.needed() - self.add
    }

    /// Where the clear range has its middle in dioptres; none where it was not measured.
    ///
    /// ```
    /// # use evenfield::{balance::Near, quantity::{Dioptres, Length}};
    /// // Worked by hand: 1/0.3333 = 3.00 D and 1/0.50 = 2.00 D have their middle at 2.50 D, which is 40 cm.
    /// const LAST_DIGIT: f64 = 0.005;
    /// let clear = Some([Length::mm(333.33), Length::mm(500.0)]);
    /// let near = Near { distance: Length::mm(400.0), add: Dioptres::new(2.25), acuity: None, clear, red_green: None };
    /// assert!((near.middle().unwrap().to_d() - 2.5).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn middle(&self) -> Option<Dioptres> {
        self.clear.map(|ends| {
            let [near, far] = ends.map(|end| Dioptres::at(end).to_d());
            Dioptres::new(f64::midpoint(near, far))
        })
    }

    /// By how many whole clicks another add would bring the middle of the range nearer to the working distance, plus upward; nought
    /// where it lies within half a click, none where the range was not measured.
    #[must_use]
    pub fn clicks_to_the_middle(&self) -> Option<f64> {
        self.middle().map(|middle| ((self.needed() - middle).to_d() / CLICK_D).round())
    }

    /// Whether the working distance lies within the clear range; none where that was not measured.
    #[must_use]
    pub fn is_clear_at_work(&self) -> Option<bool> {
        self.clear.map(|[from, to]| (from.to_mm()..=to.to_mm()).contains(&self.distance.to_mm()))
    }
}

#[cfg(test)]
mod tests;
