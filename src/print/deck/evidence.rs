//! How far the model may be trusted: what it has against what was measured on eyes.

use super::Surface;
use super::lesson::{Lesson, LessonError};
use super::slide::{MARGIN, RIGHT, Slide};
use crate::eye::{Evidence, Published};
use crate::scene::Anchor;

/// Where the figures begin, and the distance from line to line.
const FIGURES: f64 = 900.0;
const LINE: f64 = 33.0;

pub(super) fn slides(_: &Lesson<'_>, surface: Surface) -> Result<Vec<Slide>, LessonError> {
    let Evidence { agreeing, misfits } = Evidence::new();
    let title = format!(
        "The model agrees with {} of {} figures measured on eyes",
        agreeing.len(),
        agreeing.len() + misfits.len()
    );
    let mut slide = Slide::new(surface, title);
    let top = slide.top - LINE;
    let below = rows(&mut slide, "It agrees", &agreeing, top);
    rows(&mut slide, "It does not, and is not tuned until it does", &misfits, below + LINE / 2.0);
    Ok(vec![slide.resting_on(
        "Nothing in the model was set by these figures. To agree: within twice the published spread, or without one within a quarter of the figure or 0.1 of its unit. All figures, with their conditions: evenfield curve --evidence.",
    )])
}

/// A heading and a line for each figure; says where they end.
fn rows(slide: &mut Slide, heading: &str, rows: &[&Published], top: f64) -> f64 {
    let (bold, small) = (slide.heading(28.0), slide.small());
    let mut line = top + 1.3 * LINE;
    slide.write(heading, bold, Anchor::Left, [MARGIN, line]);
    line += 0.2 * LINE;
    for row in rows {
        line += LINE;
        slide.write(row.quantity, small, Anchor::Left, [MARGIN, line]);
        slide.write(&row.figures(), small, Anchor::Left, [FIGURES, line]);
        slide.write(row.source, small, Anchor::Right, [RIGHT, line]);
    }
    line
}
