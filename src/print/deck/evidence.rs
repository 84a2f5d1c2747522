//! How far the model may be trusted: what it has against what was measured on eyes.

use super::lesson::{Lesson, LessonError};
use super::slide::{Ground, MARGIN, RIGHT, Slide};
use crate::eye::{Evidence, Published};
use crate::scene::Anchor;

/// The columns: where the right one begins, and how far each goes.
const RIGHT_COLUMN: f64 = 1010.0;
const LINE: f64 = 34.0;
const ROW: f64 = 2.0 * LINE + 6.0;

pub(super) fn slides(_: &Lesson<'_>) -> Result<Vec<Slide>, LessonError> {
    let evidence = Evidence::new();
    let [agreeing, of] = [evidence.agreeing.len(), evidence.agreeing.len() + evidence.misfits.len()];
    let mut slide = Slide::new(Ground::Paper, format!("The model agrees with {agreeing} of {of} figures measured on eyes"));
    let half = evidence.agreeing.len().div_ceil(2);
    let (left, right) = evidence.agreeing.split_at(half);
    let (heading, top) = (slide.heading(28.0), slide.top);
    slide.write("Agrees", heading, Anchor::Left, [MARGIN, top + LINE]);
    column(&mut slide, left, [MARGIN, top + 1.5 * LINE]);
    column(&mut slide, right, [RIGHT_COLUMN, top + 1.5 * LINE]);
    let below = top + 1.5 * LINE + ROW * half as f64 + LINE;
    slide.rule([MARGIN, RIGHT], below);
    slide.write("Does not agree, and is not tuned away", heading, Anchor::Left, [MARGIN, below + 1.5 * LINE]);
    let (left, right) = evidence.misfits.split_at(evidence.misfits.len().div_ceil(2));
    column(&mut slide, left, [MARGIN, below + 2.0 * LINE]);
    column(&mut slide, right, [RIGHT_COLUMN, below + 2.0 * LINE]);
    Ok(vec![slide.resting_on(format!("{} All of them, with conditions: evenfield curve --evidence", evidence.rule()))])
}

/// Figures below each other: what was measured, then both numbers with the source.
fn column(slide: &mut Slide, rows: &[&Published], [left, top]: [f64; 2]) {
    let small = slide.small();
    let body = slide.body();
    for (row, published) in rows.iter().enumerate() {
        let top = top + ROW * row as f64;
        let words = format!("{} · {}", published.figures(), published.source);
        slide.write(published.quantity, body, Anchor::Left, [left, top + LINE]);
        slide.write(&words, small, Anchor::Left, [left, top + 2.0 * LINE - 4.0]);
    }
}
