use super::{EndPoint, Procedure, Rules};
use crate::quantity::Length;

/// An eye that a trial is made for, and the end point that is customary for it.
///
/// Eyes that cannot accommodate, with an artificial lens or by age, are the same to the model behind the same pupil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scenario {
    /// What eyes these are.
    pub name: &'static str,
    /// The pupil, or the aperture that stands for it.
    pub pupil: Length,
    /// Whether the eye can focus by itself.
    pub accommodates: bool,
    /// Which lens is left in: [common practice, no source](crate::bibliography::COMMON_PRACTICE).
    pub end_point: EndPoint,
}

impl Scenario {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::still("small aperture", 1.6),
        Self::still("small aperture", 2.0),
        Self::still("cannot accommodate", 3.0),
        Self::still("cannot accommodate", 4.0),
        Self::young(4.0),
        Self::young(5.0),
        Self::young(6.0),
    ];

    /// The rules with a way of asking; none where it is refused in this eye.
    #[must_use]
    pub fn rules(&self, procedure: Procedure) -> Option<Rules> {
        let refused = procedure == Procedure::Bracket && self.accommodates;
        let Self { accommodates, end_point, .. } = *self;
        (!refused).then_some(Rules { procedure, end_point, accommodates })
    }

    const fn still(name: &'static str, mm: f64) -> Self {
        let end_point = EndPoint::EqualElseLastRed;
        Self { name, pupil: Length::mm(mm), accommodates: false, end_point }
    }

    const fn young(mm: f64) -> Self {
        let end_point = EndPoint::EqualElseFirstGreen;
        Self { name: "young", pupil: Length::mm(mm), accommodates: true, end_point }
    }
}
