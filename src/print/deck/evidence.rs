//! How far the model may be trusted: what it has against what was measured on eyes.

use super::Surface;
use super::lesson::{Lesson, LessonError};
use super::light::mark;
use super::slide::{MARGIN, RIGHT, Slide};
use crate::eye::{Evidence, Published};
use crate::scene::Anchor;

/// Between both halves of the slide, and how wide each is.
const APART: f64 = 84.0;
const HALF: f64 = (RIGHT - MARGIN - APART) / 2.0;

/// Where in a half the figures of eyes and of the model end.
const EYES: f64 = HALF - 120.0;

/// How wide the name of a figure may be, behind its mark.
const NAME: f64 = EYES - 170.0;
const MARK: f64 = 30.0;

pub(super) fn slides(_: &Lesson<'_>, surface: Surface) -> Result<Vec<Slide>, LessonError> {
    let evidence = Evidence::new();
    let [small_agreeing, small] = evidence.behind_small_pupils();
    let Evidence { agreeing, misfits } = evidence;
    let all = agreeing.len() + misfits.len();
    let title = format!(
        "The model agrees with {} of {all} figures; at small pupils, {small_agreeing} of {small}",
        agreeing.len()
    );
    let mut slide = Slide::new(surface, title);
    let of_focus = |row: &&Published| {
        row.quantity.to_lowercase().contains("focus") && !row.quantity.starts_with("Acuity")
    };
    let (focus, sight): (Vec<&Published>, Vec<&Published>) =
        agreeing.iter().chain(&misfits).copied().partition(of_focus);
    let halves = [("Focus and its depth", focus), ("Blur, acuity, pupil", sight)];
    for ((heading, rows), left) in halves.into_iter().zip([MARGIN, MARGIN + HALF + APART]) {
        half(&mut slide, heading, &rows, left);
    }
    let slide = slide.resting_on(format!(
        "A square: it does not agree with what was measured on eyes, and is not tuned until it does. Small pupils: {} mm or less. To agree: within twice the published spread, or without one within a quarter of the figure, an acuity within 0.1 logMAR.",
        Evidence::SMALL_PUPIL_MM
    ));
    Ok(vec![slide.saying(notes(&agreeing, &misfits))])
}

/// Figures of one kind, one below the other.
fn half(slide: &mut Slide, heading: &str, rows: &[&Published], left: f64) {
    let (bold, small) = (slide.heading(28.0), slide.small());
    let (quiet, ink) = (small, small.in_paint(slide.palette.ink));
    let mut top = slide.top;
    slide.write(heading, bold, Anchor::Left, [left, top + 14.0]);
    for (words, right) in [("eyes", left + EYES), ("model", left + HALF)] {
        slide.write(words, quiet, Anchor::Right, [right, top + 14.0]);
    }
    top += 34.0;
    for row in rows {
        slide.rule([left, left + HALF], top);
        let agrees = row.agrees();
        let name = named(row);
        let paint = if agrees { slide.palette.quiet } else { slide.palette.balance };
        mark(slide, !agrees, [left + 9.0, top + 24.0], 8.0, paint);
        let bottom = slide.paragraph(&name, ink, [left + MARK, top + 7.0], NAME - MARK);
        let [eyes, model] = row.both();
        let baseline = top + 31.0;
        slide.write(&eyes, ink, Anchor::Right, [left + EYES, baseline]);
        let style = if agrees { ink } else { ink.in_paint(paint) };
        slide.write(&model, style, Anchor::Right, [left + HALF, baseline]);
        top = bottom + 8.0;
    }
}

/// What was measured, with its unit, which stays with the number before it.
fn named(row: &Published) -> String {
    match (row.quantity, row.unit) {
        // As many times as something else, which the name says.
        (quantity, "times") => quantity.into(),
        (quantity, unit) => format!("{quantity},\u{a0}{unit}"),
    }
}

fn notes(agreeing: &[&Published], misfits: &[&Published]) -> Vec<String> {
    let list = |rows: &[&Published]| {
        let one = |row: &&Published| format!("{}: {} ({})", row.quantity, row.figures(), row.source);
        rows.iter().map(one).collect::<Vec<_>>().join("; ")
    };
    vec![
        "Say: everything on the slides before this is computed. Here is where it was held against eyes, and where it fails.".into(),
        "Ask the class: which of these figures matters most for an eye behind a small aperture? Depth of focus behind a small pupil; look whether the model has more of it or less than eyes have.".into(),
        "Often misunderstood: a model that agrees with a figure by which it was set proves nothing. Such figures are not counted here. All of them, with their conditions: evenfield curve --evidence.".into(),
        format!("It agrees with: {}.", list(agreeing)),
        format!("It does not agree with: {}.", list(misfits)),
    ]
}
