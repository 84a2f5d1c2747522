//! How far the model may be trusted: what it has against what was measured on eyes.

use super::Surface;
use super::lesson::{Lesson, LessonError};
use super::light::mark;
use super::slide::{MARGIN, RIGHT, Slide};
use crate::eye::{Evidence, Published};
use crate::scene::Anchor;

/// Where the figures of eyes and of the model end, and where the name of a figure begins, behind its mark.
const EYES: f64 = RIGHT - 190.0;
const NAMED: f64 = MARGIN + 44.0;

/// Air over and under the words of a row.
const AIR: f64 = 11.0;

pub(super) fn slides(_: &Lesson<'_>, surface: Surface) -> Result<Vec<Slide>, LessonError> {
    let evidence = Evidence::new();
    let all = evidence.agreeing.iter().chain(&evidence.misfits).copied();
    let (focus, sight): (Vec<&Published>, Vec<&Published>) = all.partition(|row| is_of_focus(row));
    let agreeing = |rows: &[&Published]| rows.iter().filter(|row| row.agrees()).count();
    let [small_agreeing, small] = evidence.behind_small_pupils();
    let of_focus = format!(
        "Of focus and its depth the model agrees with {} of {} figures",
        agreeing(&focus),
        focus.len()
    );
    let of_sight = format!(
        "Of blur, acuity and pupil {} of {} agree; at small pupils {small_agreeing} of all {small}",
        agreeing(&sight),
        sight.len()
    );
    let [first, second] =
        [(of_focus, focus), (of_sight, sight)].map(|(title, rows)| table(surface, title, &rows));
    Ok(vec![first.saying(notes(&evidence)), second.saying(of_small_pupils())])
}

/// Whether a figure is about where light comes to a focus and how far it may lie off.
fn is_of_focus(row: &Published) -> bool {
    row.quantity.to_lowercase().contains("focus") && !row.quantity.starts_with("Acuity")
}

/// Figures of one kind, one below the other.
fn table(surface: Surface, title: String, rows: &[&Published]) -> Slide {
    let mut slide = Slide::new(surface, title);
    let (body, small) = (slide.body(), slide.small());
    let mut top = slide.top;
    for (words, right) in [("measured on eyes", EYES), ("model", RIGHT)] {
        slide.write(words, small, Anchor::Right, [right, top]);
    }
    top += 18.0;
    for row in rows {
        slide.rule([MARGIN, RIGHT], top);
        let paint = if row.agrees() { slide.palette.quiet } else { slide.palette.balance };
        mark(&mut slide, !row.agrees(), [MARGIN + 12.0, top + AIR + 20.0], 10.0, paint);
        let bottom = slide.paragraph(&named(row), body, [NAMED, top + AIR], EYES - NAMED - 280.0);
        let [eyes, model] = row.both();
        let baseline = top + AIR + 28.0;
        slide.write(&eyes, body, Anchor::Right, [EYES, baseline]);
        let style = if row.agrees() { body } else { body.in_paint(paint) };
        slide.write(&model, style, Anchor::Right, [RIGHT, baseline]);
        top = bottom + AIR;
    }
    slide.resting_on(format!(
        "A square: it does not agree with what was measured on eyes, and is not tuned until it does. Small pupils: {} mm or less. To agree: within twice the published spread, or without one within a quarter of the figure, an acuity within 0.1 logMAR.",
        Evidence::SMALL_PUPIL_MM
    ))
}

/// What was measured, with its unit, which stays with the number before it.
fn named(row: &Published) -> String {
    match (row.quantity, row.unit) {
        // As many times as something else, which the name says.
        (quantity, "times") => quantity.into(),
        (quantity, unit) => format!("{quantity},\u{a0}{unit}"),
    }
}

fn notes(Evidence { agreeing, misfits }: &Evidence) -> Vec<String> {
    let list = |rows: &[&Published]| {
        let one = |row: &&Published| format!("{}: {} ({})", row.quantity, row.figures(), row.source);
        rows.iter().map(one).collect::<Vec<_>>().join("; ")
    };
    vec![
        "Say: everything on the slides before this is computed. Here and on the next slide it is held against eyes, and seen to fail.".into(),
        "Often misunderstood: a model that agrees with a figure by which it was set proves nothing. Such figures are not counted here. All of them, with their conditions: evenfield curve --evidence.".into(),
        format!("On both slides it agrees with: {}.", list(agreeing)),
        format!("It does not agree with: {}.", list(misfits)),
    ]
}

/// What is said of the second slide.
fn of_small_pupils() -> [&'static str; 2] {
    [
        "Say: look where the squares are, and how many of them lie behind small pupils, where this lesson leans on the model most.",
        "Ask the class: which of these figures matters most for an eye behind a small aperture? Depth of focus behind a small pupil; look whether the model has more of it or less than eyes have.",
    ]
}
