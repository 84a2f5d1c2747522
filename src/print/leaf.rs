//! What stands on every page that is handed out: what it is, the room, the caution, the page's number; and where its body stands.

use super::CAUTION;
use super::Paper;
use super::paper::sheet;
use crate::quantity::Length;
use crate::scene::look::{BODY, GRID_MM, HEADING, QUIET, SMALL};
use crate::scene::{Anchor, Canvas, Scene, fitted};

/// Air at the sheet's sides.
const MARGIN_MM: f64 = 7.0 * GRID_MM;

/// Between head, body and foot.
pub(super) const GAP_MM: f64 = 3.0 * GRID_MM;

/// Where a page's body stands: left, top, right, bottom.
pub(super) fn body(paper: Paper) -> [f64; 4] {
    let [width, height] = paper.size().map(Length::to_mm);
    let foot = 2.0 * SMALL.leading();
    let head = HEADING.leading() + BODY.leading() + GRID_MM;
    [MARGIN_MM, MARGIN_MM + head, width - MARGIN_MM, height - MARGIN_MM - foot - GAP_MM]
}

/// Pages by their titles, with what stands on each of them: title, room, caution and number.
pub(super) fn pages(canvases: Vec<(&str, Canvas)>, name: &str, paper: Paper) -> Vec<Scene> {
    let [width, height] = paper.size().map(Length::to_mm);
    let (right, of) = (width - MARGIN_MM, canvases.len());
    let finish = |(number, (title, mut canvas)): (usize, (&str, Canvas))| {
        let below = canvas.paragraph(title, HEADING, [MARGIN_MM, MARGIN_MM], right - MARGIN_MM);
        let quiet = BODY.in_paint(QUIET);
        let name = fitted(name, quiet, right - MARGIN_MM);
        canvas.write(&name, quiet, Anchor::Left, [MARGIN_MM, below + quiet.em.to_mm()]);
        let foot = height - MARGIN_MM - 2.0 * SMALL.leading();
        canvas.paragraph(CAUTION, SMALL, [MARGIN_MM, foot], right - MARGIN_MM - 10.0 * GRID_MM);
        let last = height - MARGIN_MM - SMALL.leading() + SMALL.em.to_mm();
        canvas.write(&format!("{number} / {of}"), SMALL, Anchor::Right, [right, last]);
        sheet(paper, canvas, title, CAUTION)
    };
    (1..).zip(canvases).map(finish).collect()
}

/// A small number of things.
pub(super) fn count(things: usize) -> f64 {
    f64::from(u16::try_from(things).unwrap_or(u16::MAX))
}
