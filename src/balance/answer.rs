//! What a patient answers.

use serde::{Deserialize, Serialize};

/// On which side the edges of the letters are crisper, or that there is no difference.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, strum::Display, strum::IntoStaticStr,
)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum Answer {
    /// Red: too much plus.
    Red,
    /// Green: too much minus.
    Green,
    /// Neither.
    Same,
    /// The patient cannot tell, which is never "the same".
    Unsure,
}

impl Answer {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Red, Self::Green, Self::Same, Self::Unsure];

    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// What is answered where red is clearer by this many noticeable steps, none where neither side can be read: a side
    /// that is clearer by more than counts as the same.
    #[must_use]
    pub fn to(steps: Option<f64>, same_within: f64) -> Self {
        // What sums of thousandths leave in binary must not decide.
        const DUST: f64 = 1e-9;
        let limit = same_within + DUST;
        match steps {
            None => Self::Unsure,
            Some(steps) if steps > limit => Self::Red,
            Some(steps) if steps < -limit => Self::Green,
            Some(_) => Self::Same,
        }
    }

    /// Whether only red was ever clearer, or only green: balance may then lie beyond all lenses that were asked, and how wrong
    /// manifests usually are does not say how far. Who could not tell has not answered, so that bounds nothing.
    pub(super) fn never_changed(answers: impl Iterator<Item = Self>) -> bool {
        let mut told = answers.filter(|answer| *answer != Self::Unsure);
        let first = told.next().unwrap_or(Self::Red);
        matches!(first, Self::Red | Self::Green) && told.all(|one| one == first)
    }

    /// Its place as plus is added: green, then the same, then red; none where the patient cannot tell.
    pub(super) const fn rank(self) -> Option<u8> {
        match self {
            Self::Green => Some(0),
            Self::Same => Some(1),
            Self::Red => Some(2),
            Self::Unsure => None,
        }
    }

    /// The other colour; the same for the rest.
    pub(super) const fn other_colour(self) -> Self {
        match self {
            Self::Red => Self::Green,
            Self::Green => Self::Red,
            Self::Same | Self::Unsure => self,
        }
    }
}

/// Whether a line on white can be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, strum::Display)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum Legible {
    /// Half of its letters or more.
    Read,
    /// Fewer.
    Lost,
}

impl Legible {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Read, Self::Lost];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_that_no_eye_notices_is_called_the_same() {
        for (steps, said) in
            [(0.9, Answer::Same), (-1.0, Answer::Same), (1.1, Answer::Red), (-1.1, Answer::Green)]
        {
            assert_eq!(Answer::to(Some(steps), 1.0), said, "{steps}");
        }
        assert_eq!(Answer::to(None, 1.0), Answer::Unsure);
    }

    #[test]
    fn answers_rise_from_green_to_red_as_plus_is_added() {
        let [green, same, red] = [Answer::Green, Answer::Same, Answer::Red].map(Answer::rank);
        assert!(green.is_some() && green < same && same < red);
        assert_eq!(Answer::Unsure.rank(), None);
    }
}
