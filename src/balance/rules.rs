//! How a run goes: way of asking, end point, and whether the eye accommodates, in legal combinations only.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use super::end_point::EndPoint;

/// A way of asking, by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
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
}

impl Procedure {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Customary, Self::FromPlus, Self::Bracket];

    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

/// How a run goes. Rules that no eye may be asked by cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub struct Rules {
    procedure: Procedure,
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
}

impl Rules {
    /// A way of asking, which lens is left in, and whether the eye can focus by itself.
    ///
    /// # Errors
    /// A bracket in an eye that accommodates.
    pub const fn new(
        procedure: Procedure,
        end_point: EndPoint,
        accommodates: bool,
    ) -> Result<Self, RulesError> {
        match (procedure, accommodates) {
            (Procedure::Bracket, true) => Err(RulesError::BracketAccommodates),
            (Procedure::Customary | Procedure::FromPlus | Procedure::Bracket, _) => {
                Ok(Self { procedure, end_point, accommodates })
            }
        }
    }

    /// A bracket, in an eye that does not accommodate.
    #[must_use]
    pub const fn bracket(end_point: EndPoint) -> Self {
        Self { procedure: Procedure::Bracket, end_point, accommodates: false }
    }

    /// Down from plus, in any eye.
    #[must_use]
    pub const fn from_plus(end_point: EndPoint, accommodates: bool) -> Self {
        Self { procedure: Procedure::FromPlus, end_point, accommodates }
    }

    /// As widely taught, in any eye.
    #[must_use]
    pub const fn customary(end_point: EndPoint, accommodates: bool) -> Self {
        Self { procedure: Procedure::Customary, end_point, accommodates }
    }

    /// The way of asking.
    #[must_use]
    pub const fn procedure(self) -> Procedure {
        self.procedure
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
    fn only_the_bracket_and_only_in_an_eye_that_accommodates_is_refused() {
        for procedure in [Procedure::Customary, Procedure::FromPlus, Procedure::Bracket] {
            for end_point in EndPoint::ALL {
                assert!(Rules::new(procedure, end_point, false).is_ok());
                let refused = Rules::new(procedure, end_point, true).is_err();
                assert_eq!(refused, procedure == Procedure::Bracket, "{procedure:?} {end_point:?}");
            }
        }
    }
}
