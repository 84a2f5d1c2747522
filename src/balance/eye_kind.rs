//! Kinds of eye, and what is proposed for each.
//!
//! One choice decides three things (how an eye is asked, where a run ends, whether minus must earn its letters), so that an
//! examiner names what they know of the eye and not a procedure.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use super::end_point::EndPoint;
use super::rules::{Procedure, Rules, Way};
use crate::quantity::Length;

/// What is known of an eye's focus, which says how it is asked and where a run ends unless the practitioner chooses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema), schemars(transform = and_young))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum EyeKind {
    /// With a lens implant that has a small aperture.
    SmallAperture,
    /// With another lens implant.
    Pseudophakic,
    /// With its own lens, which no longer focuses by itself.
    Presbyopic,
    /// With its own lens, which still focuses by itself: children and young adults surely, many up to the age of 45 or so.
    /// Records of before this name call it young.
    #[serde(alias = "young")]
    Accommodating,
}

/// Adds the name of before to the form, which knows no second names by itself.
#[cfg(feature = "cli")]
fn and_young(schema: &mut schemars::Schema) {
    if let Some(names) = schema.get_mut("oneOf").and_then(|names| names.as_array_mut()) {
        names.push(serde_json::json!({ "const": "young", "deprecated": true }));
    }
}

impl EyeKind {
    /// All of them.
    pub const ALL: [Self; 4] =
        [Self::SmallAperture, Self::Pseudophakic, Self::Presbyopic, Self::Accommodating];

    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// The kinds that are asked by the same rules, with these, in the order of [`EyeKind::ALL`].
    #[must_use]
    pub fn asked_alike() -> Vec<(Rules, Vec<Self>)> {
        let mut alike: Vec<(Rules, Vec<Self>)> = Vec::new();
        for kind in Self::ALL {
            match alike.iter_mut().find(|(rules, _)| *rules == kind.by_hand()) {
                Some((_, kinds)) => kinds.push(kind),
                None => alike.push((kind.by_hand(), vec![kind])),
            }
        }
        alike
    }

    /// What it is, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::SmallAperture => "small-aperture lens implant",
            Self::Pseudophakic => "lens implant",
            Self::Presbyopic => "presbyopic",
            Self::Accommodating => "accommodating",
        }
    }

    /// What it is, for who has to choose one.
    #[must_use]
    pub const fn explained(self) -> &'static str {
        match self {
            Self::SmallAperture => "with a lens implant that has a small aperture",
            Self::Pseudophakic => "with another lens implant",
            Self::Presbyopic => "with its own lens, which no longer focuses by itself",
            Self::Accommodating => {
                "with its own lens, which still focuses by itself: children, and adults up to about 45"
            }
        }
    }

    /// Whether it can focus by itself.
    #[must_use]
    pub const fn accommodates(self) -> bool {
        matches!(self, Self::Accommodating)
    }

    /// The pupil that is assumed where nobody measured it, or the aperture that stands for it: 1.6, 3 or 5 mm. Assumed: eyes that
    /// [trials](super::Scenario) are made for.
    #[must_use]
    pub const fn assumed_pupil(self) -> Length {
        Length::mm(match self {
            Self::SmallAperture => 1.6,
            Self::Pseudophakic | Self::Presbyopic => 3.0,
            Self::Accommodating => 5.0,
        })
    }

    /// The end point unless another is chosen: equal, else last red, and in an eye that accommodates equal, else first green; common
    /// practice, no source. Teachers differ in the latter: in a [trial](super::Trial) first green lies nearer to the lens with
    /// which white is best, and last red nearer to balance.
    #[must_use]
    pub const fn usual_end_point(self) -> EndPoint {
        match self {
            Self::SmallAperture | Self::Pseudophakic | Self::Presbyopic => EndPoint::EqualElseLastRed,
            Self::Accommodating => EndPoint::EqualElseFirstGreen,
        }
    }

    /// The rules of the trade for who asks by hand, without a chart that follows: what a card and a lesson teach.
    #[must_use]
    pub const fn by_hand(self) -> Rules {
        match self {
            Self::SmallAperture => Rules::bracket(self.usual_end_point()),
            Self::Pseudophakic | Self::Presbyopic | Self::Accommodating => {
                Rules::from_plus(self.usual_end_point(), self.accommodates())
            }
        }
    }

    /// How it is asked unless another way is chosen, by what a [trial](super::Trial) makes of each: the adaptive way, and the rules
    /// of the trade in an eye that accommodates, since the model knows of fog only that it relaxes.
    #[must_use]
    pub const fn usual_way(self) -> Way {
        match self {
            Self::SmallAperture | Self::Pseudophakic | Self::Presbyopic => {
                Way::Adaptive(self.usual_end_point())
            }
            Self::Accommodating => Way::Rules(self.by_hand()),
        }
    }

    /// The procedure of that.
    #[must_use]
    pub fn usual_procedure(self) -> Procedure {
        self.usual_way().procedure()
    }
}
