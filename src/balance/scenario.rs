use super::eye_kind::EyeKind;
use super::rules::{Procedure, Rules};
use crate::quantity::Length;

/// An eye that a trial is made for: its kind and its pupil, or the aperture that stands for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scenario {
    /// What is known of its focus.
    pub kind: EyeKind,
    /// Its pupil: 1.6 to 6 mm.
    pub pupil: Length,
}

impl Scenario {
    /// All of them. A presbyopic eye stands for a pseudophakic one too: behind the same pupil they are the same to the model.
    pub const ALL: [Self; 7] = [
        Self::new(EyeKind::SmallAperture, 1.6),
        Self::new(EyeKind::SmallAperture, 2.0),
        Self::new(EyeKind::Presbyopic, 3.0),
        Self::new(EyeKind::Presbyopic, 4.0),
        Self::new(EyeKind::Accommodating, 4.0),
        Self::new(EyeKind::Accommodating, 5.0),
        Self::new(EyeKind::Accommodating, 6.0),
    ];

    /// The rules with a way of asking and the kind's usual end point; none where it is refused in this eye.
    #[must_use]
    pub fn rules(&self, procedure: Procedure) -> Option<Rules> {
        Rules::new(procedure, self.kind.usual_end_point(), self.kind.accommodates()).ok()
    }

    const fn new(kind: EyeKind, mm: f64) -> Self {
        Self { kind, pupil: Length::mm(mm) }
    }
}
