//! What the wall says of itself, and whether that is what the step asks for.

use super::Session;
use crate::exam::said::Said;
use crate::exam::wish::WallSaid;

impl Session {
    /// A window became the wall; the one before is the wall no longer.
    pub fn wall_came(&mut self, wall: u64) {
        self.wall = Some((wall, None));
        self.pressed = None;
    }

    /// A window is gone; whether it was the wall.
    pub fn wall_left(&mut self, wall: u64) -> bool {
        let was = self.wall.as_ref().is_some_and(|(one, _)| *one == wall);
        if was {
            self.wall = None;
        }
        was
    }

    /// Whether a window is the wall.
    #[must_use]
    pub fn is_wall(&self, wall: u64) -> bool {
        self.wall.as_ref().is_some_and(|(one, _)| *one == wall)
    }

    /// The wall says what it shows; whether that was news.
    pub fn wall_said(&mut self, wall: u64, said: WallSaid) -> bool {
        let Some((one, before)) = &mut self.wall else { return false };
        if *one != wall || before.as_ref() == Some(&said) {
            return false;
        }
        *before = Some(said);
        true
    }

    /// The patient pressed a button of their own before a picture; whether it counts for something.
    pub fn patient_pressed(&mut self, wall: u64, picture: u64, said: Said) -> bool {
        let counts = self.patient_buttons
            && self.is_wall(wall)
            && self.picture.number == picture
            && self.question().is_some()
            && self.wall_shows().is_ok();
        if counts {
            self.pressed = Some(said);
        }
        counts
    }

    /// Whether the wall shows what the step asks for; otherwise what is missing and what to do.
    pub(in crate::exam) fn wall_shows(&self) -> Result<&WallSaid, &'static str> {
        let Some((_, said)) = &self.wall else {
            return Err("No wall is open: open it on the patient’s screen.");
        };
        let Some(said) = said else { return Err("The wall is getting ready.") };
        if !said.visible {
            return Err("The wall’s window is covered, or its screen sleeps: bring it to the front.");
        }
        if !said.fits {
            return Err(
                "The wall stands on another screen than the room’s, or is zoomed: move it there, at 100 %.",
            );
        }
        if !said.whole {
            return Err("The wall is not full screen: click on it once.");
        }
        if said.picture != self.picture.number {
            return Err("The wall changes.");
        }
        let wanted = self.picture.chart.as_ref().map(|chart| chart.said(said.pixels));
        if said.shown != wanted {
            return Err("The wall shows something else than it was told: load its page again.");
        }
        Ok(said)
    }
}
