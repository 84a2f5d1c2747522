//! The patient's screen of an examination that follows the procedure: it draws what it is told and says what it drew.

use serde::Serialize;

use super::Frame;
use super::exam::{Letter, Paints};
use super::page::Page;
use crate::balance::keys::Desk;
use crate::chart::{ColourError, FieldLight};
use crate::optotype::{LetterSet, STROKES_A_SIDE};
use crate::room::Room;

/// The modules of its script, each after those that it imports from.
const MODULES: [&str; 8] = [
    include_str!("calm.js"),
    include_str!("page.js"),
    include_str!("socket.js"),
    include_str!("exam/coverage.js"),
    include_str!("exam/paint.js"),
    include_str!("panel/wishes.js"),
    include_str!("wall/table.js"),
    include_str!("wall.js"),
];

/// The modules of the script that shows what a room is set up by.
const GAUGE_MODULES: [&str; 6] = [
    include_str!("calm.js"),
    include_str!("page.js"),
    include_str!("socket.js"),
    include_str!("exam/coverage.js"),
    include_str!("exam/paint.js"),
    include_str!("gauge.js"),
];

/// The largest stroke that a letter's outline is flattened for, in pixels: a letter as high as a screen of 4320 rows.
const LARGEST_STROKE_PX: f64 = 4320.0 / STROKES_A_SIDE;

/// What the script interprets.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Table {
    page: Page,
    pixels: [u32; 2],
    mirror: bool,
    strokes_a_side: f64,
    letters: Vec<Letter>,
    paints: Paints,
    words: Words,
}

/// What the wall says to the examiner, before the patient sits down or where something is wrong.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Words {
    click: &'static str,
    other_screen: String,
    lost: &'static str,
    replaced: &'static str,
}

const CLICK: &str = "Examiner: click here once, so that the picture fills the screen.";

const LOST: &str = "The program on this machine does not answer. The picture comes back when it does.";

/// What the script of a set-up interprets.
#[derive(Serialize)]
struct GaugeTable {
    page: Page,
    words: GaugeWords,
}

#[derive(Serialize)]
struct GaugeWords {
    click: &'static str,
    lost: &'static str,
}

/// The page for the patient's screen while a room is set up: a bank card's outline, and the match strip.
#[must_use]
pub fn gauge_page() -> String {
    let table = GaugeTable { page: Page::new(Desk::Panel), words: GaugeWords { click: CLICK, lost: LOST } };
    frame(&GAUGE_MODULES).html(&table)
}

const fn frame<'a>(modules: &'a [&'a str]) -> Frame<'a> {
    Frame {
        title: "evenfield: wall",
        allows: "connect-src 'self'; ",
        body: include_str!("wall.html"),
        places: &[],
        style: include_str!("wall.css"),
        modules,
    }
}

/// One page for the patient's screen. The same room gives the same text.
///
/// # Errors
/// A room that cannot show two equal fields.
pub fn wall_page(room: &Room, letters: LetterSet) -> Result<String, ColourError> {
    let light = FieldLight::new(&room.display, None)?;
    let [columns, rows] = room.screen.pixels;
    let table = Table {
        page: Page::new(Desk::Panel),
        pixels: room.screen.pixels,
        mirror: room.viewing.mirror,
        strokes_a_side: STROKES_A_SIDE,
        letters: letters.members().into_iter().map(|letter| Letter::new(letter, LARGEST_STROKE_PX)).collect(),
        paints: Paints::new(&light, room),
        words: Words {
            click: CLICK,
            other_screen: format!(
                "The chart is for a screen of {columns} × {rows} pixels. Move this window there, and set the zoom to 100 % (Ctrl and 0)."
            ),
            lost: LOST,
            replaced: "Another window is the wall now. This one can be closed.",
        },
    };
    Ok(frame(&MODULES).html(&table))
}

#[cfg(test)]
mod tests {
    use super::{GAUGE_MODULES, MODULES};
    use crate::web::script::tests::can_be_joined;

    #[test]
    fn its_modules_can_be_joined() {
        can_be_joined(&MODULES);
        can_be_joined(&GAUGE_MODULES);
    }
}
