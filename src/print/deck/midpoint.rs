//! The midpoint on white, the trade's other way for a long depth of focus: an eye whose limits are looked for.

use kurbo::Rect;

use super::asking::beside;
use super::lesson::{APERTURE, Lesson, LessonError, last};
use super::slide::{BOTTOM, Ground, MARGIN, PX_MM, Slide};
use super::working::midpoint_of;
use crate::balance::{Course, Event, EyeKind, Legible, Moments, Procedure, Statistics};
use crate::print::balance_page::ladder::Ladder;
use crate::quantity::Dioptres;

/// By how much the manifest of this eye is too plus of white's best, in dioptres.
const TOO_PLUS_D: f64 = 0.4;

/// What of the slide the plot takes.
const WIDE: f64 = 1060.0;

pub(super) fn slide(lesson: &Lesson<'_>) -> Result<Slide, LessonError> {
    let course = looked_for(lesson);
    let mut slide = Slide::new(Ground::Paper, "The midpoint on white needs no colours, and many questions");
    let within = [MARGIN, slide.top, MARGIN + WIDE, BOTTOM - 84.0].map(|side| side * PX_MM);
    let [x0, y0, x1, y1] = within;
    Ladder { course: &course, within: Rect::new(x0, y0, x1, y1) }.draw(&mut slide.canvas);
    said(&mut slide, lesson, &course, midpoint_of(lesson)?.as_ref());
    Ok(slide.resting_on(format!(
        "A simulated eye behind an aperture of {APERTURE}, whose manifest of {} is {TOO_PLUS_D:.2} D too plus for white and who reads by the model without erring. Simulated patients differ as is assumed.",
        course.start.manifest
    )))
}

/// The eye whose limits were looked for, as far as the model finds them.
fn looked_for(lesson: &Lesson<'_>) -> Course {
    let kind = EyeKind::SmallAperture;
    let start = lesson.start(kind, Procedure::Midpoint, kind.usual_end_point());
    let mut events = vec![Event::Started(Box::new(start))];
    loop {
        let course = last(events.iter().cloned());
        let Some(question) = course.asks_limit() else { return course };
        events.push(Event::Limit(reads(lesson, question.change)));
    }
}

/// Whether the target is read on white with a lens, from the manifest.
fn reads(lesson: &Lesson<'_>, change: Dioptres) -> Legible {
    let curve = lesson.curve(&lesson.aperture);
    let best = curve.prediction().white.map_or(0.0, |white| white.at_d);
    let [_, _, white] = curve.clarity(Dioptres::new(best + TOO_PLUS_D) + change);
    if white.legibility() >= 1.0 { Legible::Read } else { Legible::Lost }
}

fn said(slide: &mut Slide, lesson: &Lesson<'_>, course: &Course, tried: Option<&Statistics>) {
    let left = MARGIN + WIDE + 60.0;
    let (body, lead) = (slide.body(), slide.lead());
    let mut top = slide.top;
    if let Some(found) = course.midpoint() {
        let words = format!(
            "Read to {} and to {}: the middle lies at {}.",
            found.plus[0].number(),
            found.minus[0].number(),
            found.at
        );
        top = slide.paragraph(&words, lead, [left, top], beside(left)) + 32.0;
    }
    for words in [apart(lesson), tried.map(shares), Some(BESIDE.into())].into_iter().flatten() {
        top = slide.paragraph(&words, body, [left, top], beside(left)) + 24.0;
    }
}

/// What the midpoint is good for.
const BESIDE: &str = "Beside red-green it is a second opinion: more than half a dioptre apart, one of them was misled. Not for an eye that accommodates, which clears minus by itself.";

/// How far the middle lies from red-green balance, by the model.
fn apart(lesson: &Lesson<'_>) -> Option<String> {
    let prediction = lesson.curve(&lesson.aperture).prediction();
    let apart = prediction.white?.at_d - prediction.balance_d?;
    let side = if apart < 0.0 { "minus" } else { "plus" };
    Some(format!(
        "The middle is where white is clearest: by the model {:.2} D to {side} of red-green balance.",
        apart.abs()
    ))
}

/// Where simulated patients end.
fn shares(tried: &Statistics) -> String {
    let Moments { count, too_minus, too_plus, .. } = tried.balance;
    let percent = |of: u32| 100.0 * f64::from(of) / f64::from(count.max(1));
    format!(
        "Of {count} simulated patients {:.0} % end within a click of balance, {:.0} % too minus, {:.0} % too plus, after {:.0} questions.",
        percent(count - too_minus - too_plus),
        percent(too_minus),
        percent(too_plus),
        tried.mean_questions
    )
}
