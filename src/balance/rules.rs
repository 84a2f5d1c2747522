//! How an eye is asked: by rules of the trade or by the estimate, with an end point, in legal combinations only.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use super::end_point::EndPoint;

/// A way of asking, by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Procedure {
    /// As widely taught: from red or "same" toward minus, from green toward plus, until the answer changes.
    Customary,
    /// First into plus until red is clear, then down: to the first "same" where the eye accommodates, else on to a clear
    /// green and back to the middle of the "same".
    FromPlus,
    /// For long depth of focus: to a clear red and a clear green in half dioptres, then the middle.
    Bracket,
    /// Always the lens whose answer tells most about where balance lies, by the [estimate](super::estimate); then the click
    /// nearest to it.
    Adaptive,
    /// On white, without red and green: how far plus and minus may go before a line is lost, and the middle between.
    Midpoint,
}

impl Procedure {
    /// All of them.
    pub const ALL: [Self; 5] =
        [Self::Customary, Self::FromPlus, Self::Bracket, Self::Adaptive, Self::Midpoint];

    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// Whether an end point says which lens is left in. To the adaptive way it only says which of two clicks as near is taken, and
    /// to the midpoint nothing.
    #[must_use]
    pub const fn ends_by_end_point(self) -> bool {
        matches!(self, Self::Customary | Self::FromPlus | Self::Bracket)
    }
}

/// A procedure that goes by rules alone: the next lens follows from the answers, without a model of the eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Stepping {
    /// [`Procedure::Customary`]
    Customary,
    /// [`Procedure::FromPlus`]
    FromPlus,
    /// [`Procedure::Bracket`]
    Bracket,
}

impl Stepping {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Customary, Self::FromPlus, Self::Bracket];
}

impl From<Stepping> for Procedure {
    fn from(stepping: Stepping) -> Self {
        match stepping {
            Stepping::Customary => Self::Customary,
            Stepping::FromPlus => Self::FromPlus,
            Stepping::Bracket => Self::Bracket,
        }
    }
}

/// Who chooses the next lens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// Rules of the trade.
    Rules(Rules),
    /// The estimate; of two clicks equally near to it the end point leaves in the one on its side.
    Adaptive(EndPoint),
    /// The limits of reading on white.
    Midpoint,
}

impl Way {
    /// A procedure with an end point, in an eye that accommodates or does not.
    ///
    /// # Errors
    /// As [`Rules::new`].
    pub const fn new(
        procedure: Procedure,
        end_point: EndPoint,
        accommodates: bool,
    ) -> Result<Self, RulesError> {
        let stepping = match procedure {
            Procedure::Customary => Stepping::Customary,
            Procedure::FromPlus => Stepping::FromPlus,
            Procedure::Bracket => Stepping::Bracket,
            Procedure::Adaptive => return Ok(Self::Adaptive(end_point)),
            Procedure::Midpoint if accommodates => return Err(RulesError::MidpointAccommodates),
            Procedure::Midpoint => return Ok(Self::Midpoint),
        };
        match Rules::new(stepping, end_point, accommodates) {
            Ok(rules) => Ok(Self::Rules(rules)),
            Err(error) => Err(error),
        }
    }

    /// The procedure.
    #[must_use]
    pub fn procedure(self) -> Procedure {
        match self {
            Self::Rules(rules) => rules.stepping().into(),
            Self::Adaptive(_) => Procedure::Adaptive,
            Self::Midpoint => Procedure::Midpoint,
        }
    }
}

/// How a run goes. Rules that no eye may be asked by cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Rules {
    #[serde(rename = "procedure")]
    stepping: Stepping,
    end_point: EndPoint,
    accommodates: bool,
}

/// Why there are no such rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum RulesError {
    /// A bracket would let an eye that accommodates take minus.
    #[error(
        "the bracket is not for an eye that accommodates, since on its way such an eye may accept minus that it does not need: choose from-plus"
    )]
    BracketAccommodates,
    /// An eye that accommodates clears minus by itself.
    #[error(
        "the midpoint is not for an eye that accommodates, since such an eye clears minus by itself, so that its limit to minus says nothing: choose from-plus"
    )]
    MidpointAccommodates,
    /// The estimate would have nothing to go by.
    #[error(
        "the adaptive way needs a model of this eye, which finds no balance for these letters on these fields: choose another procedure"
    )]
    NoModel,
}

impl Rules {
    /// A way of asking, which lens is left in, and whether the eye can focus by itself.
    ///
    /// # Errors
    /// A bracket in an eye that accommodates.
    pub const fn new(
        stepping: Stepping,
        end_point: EndPoint,
        accommodates: bool,
    ) -> Result<Self, RulesError> {
        match (stepping, accommodates) {
            (Stepping::Bracket, true) => Err(RulesError::BracketAccommodates),
            (Stepping::Customary | Stepping::FromPlus | Stepping::Bracket, _) => {
                Ok(Self { stepping, end_point, accommodates })
            }
        }
    }

    /// A bracket, in an eye that does not accommodate.
    #[must_use]
    pub const fn bracket(end_point: EndPoint) -> Self {
        Self { stepping: Stepping::Bracket, end_point, accommodates: false }
    }

    /// Down from plus, in any eye.
    #[must_use]
    pub const fn from_plus(end_point: EndPoint, accommodates: bool) -> Self {
        Self { stepping: Stepping::FromPlus, end_point, accommodates }
    }

    /// As widely taught, in any eye.
    #[must_use]
    pub const fn customary(end_point: EndPoint, accommodates: bool) -> Self {
        Self { stepping: Stepping::Customary, end_point, accommodates }
    }

    /// The way of asking.
    #[must_use]
    pub const fn stepping(self) -> Stepping {
        self.stepping
    }

    /// Which lens is left in.
    #[must_use]
    pub const fn end_point(self) -> EndPoint {
        self.end_point
    }

    /// Whether the eye can focus by itself.
    #[must_use]
    pub const fn accommodates(self) -> bool {
        self.accommodates
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_bracket_and_midpoint_and_only_in_an_eye_that_accommodates_are_refused() {
        for procedure in Procedure::ALL {
            for end_point in EndPoint::ALL {
                assert_eq!(Way::new(procedure, end_point, false).map(Way::procedure), Ok(procedure));
                let refused = Way::new(procedure, end_point, true).is_err();
                let unfit = [Procedure::Bracket, Procedure::Midpoint].contains(&procedure);
                assert_eq!(refused, unfit, "{procedure:?} {end_point:?}");
            }
        }
    }
}
