//! From where the screen is seen, and whether through a mirror.
//!
//! A mirror doubles nothing here: the distance is already along the light, from the eye to the mirror and on to the screen.

use super::{RoomError, ViewingTable, within};
use crate::quantity::Length;

/// Where the eye is.
///
/// Nearer than 0.2 m or farther than 20 m no room is, and a distance in another unit is found out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Viewing {
    /// From the eye to the screen along the light, through the mirror if there is one; 0.2 m to 20 m.
    pub distance: Length,
    /// Whether the patient sees the screen in a mirror.
    pub mirror: bool,
}

impl Viewing {
    pub(super) fn from_table(table: &ViewingTable) -> Result<Self, RoomError> {
        let remedy = "write the distance from eye to screen in millimetres, such as 3200.0";
        let distance = within("viewing.distance_mm", table.distance_mm, 200.0..=20_000.0, " mm", remedy)?;
        Ok(Self { distance: Length::mm(distance), mirror: table.mirror })
    }
}
