//! What a room can show of a target line.
//!
//! A line that is too large for a field, or whose strokes the pixels cannot draw well, is no target, whatever the eye.

use crate::acuity::Acuity;
use crate::balance::{Caution, Start};
use crate::bibliography::DESIGN;
use crate::chart::{Layout, Request, stroke_px};
use crate::room::{PLAIN_STROKE_PX, Room};

/// The largest standard line of which a letter fits on each field in a room; none where none does.
pub(super) fn largest_line(room: &Room) -> Option<Acuity> {
    let fits = |line: &Acuity| Layout::new(&Request::new(*line), room).is_ok();
    Acuity::standard_lines().find(fits)
}

/// The caution of a target line that a room's screen cannot draw well; none where it can.
///
/// Under 3 px an edge is mostly grey, and the screen's own blur comes on top.
pub(super) fn coarse_target(start: &Start, room: &Room) -> Option<Caution> {
    let target = start.target(0);
    let stroke = stroke_px(target, room.viewing.distance, room.screen.pitch);
    (stroke < PLAIN_STROKE_PX).then(|| Caution {
        what: format!(
            "The target line {target} has strokes of {stroke:.2} px on this screen, under {PLAIN_STROKE_PX:.0} px: show a larger line, or stand farther away."
        ),
        basis: DESIGN.into(),
    })
}
