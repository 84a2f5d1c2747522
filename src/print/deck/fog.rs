//! Fog for an eye that accommodates: why, how much, and what is done with green.
//!
//! What such an eye makes of a lens is the simulated patient's own rule; what is done is what a run asks and says.

use super::Surface;
use super::asking::answer_mark;
use super::lesson::{Lesson, LessonError, asked};
use super::light::ink_of;
use super::slide::{MARGIN, RIGHT, Slide};
use crate::balance::{Accommodation, AfterMinus, Answer, Clicks, End, EyeKind, Stands, Start, words};
use crate::eye::{Eye, Pupil};
use crate::quantity::Dioptres;
use crate::scene::Anchor;

/// Lens errors that are shown, from fog down to too much minus.
const SHOWN: [Clicks; 5] = [Clicks::new(2), Clicks::new(1), Clicks::NONE, Clicks::new(-1), Clicks::new(-2)];

/// Where the columns of the table stand, and how wide all of it is.
const COLUMNS: [f64; 3] = [MARGIN, MARGIN + 230.0, MARGIN + 540.0];
const WIDE: f64 = 880.0;
const ROW: f64 = 84.0;

pub(super) fn slide(lesson: &Lesson<'_>, surface: Surface) -> Result<Slide, LessonError> {
    let start = start(lesson);
    let fog = asked(start.clone(), &[]).asks().map_or(Dioptres::new(0.0), |question| question.change);
    let title = format!("Fog an eye that accommodates by {fog}, then ask coming down");
    let mut slide = Slide::new(surface, title);
    let eye = Eye::with_pupil(Pupil::new(EyeKind::Accommodating.assumed_pupil())?);
    table(&mut slide, lesson, &eye);
    steps(&mut slide, &start);
    let slide = slide.resting_on(format!(
        "The likeliest answer of the model’s patient behind {}, with its chance, and the lens error that the eye leaves. That it takes up {:.0} % of minus is from memory; that it relaxes while plus is taken away is assumed.",
        EyeKind::Accommodating.assumed_pupil(),
        share()
    ));
    Ok(slide.saying(notes(&start)))
}

/// An eye that accommodates, before its first question.
fn start(lesson: &Lesson<'_>) -> Start {
    let kind = EyeKind::Accommodating;
    lesson.start(kind, kind.by_hand().stepping().into(), kind.usual_end_point())
}

/// How much of a minus it takes up, in per cent.
fn share() -> f64 {
    100.0 * Accommodation::typical().slope
}

/// Why it is fogged.
pub(super) fn why() -> String {
    let minus = Clicks::new(-1).to_dioptres();
    format!(
        "It takes up most of the minus that it is given, {:.0} % in the model, so a lens with a little too much looks nearly right: of {minus} it leaves {}. Fog first, and count answers only coming down from plus.",
        share(),
        Accommodation::typical().left(minus, false)
    )
}

/// What is left of lenses without fog and coming down from plus, and the likeliest answer.
fn table(slide: &mut Slide, lesson: &Lesson<'_>, eye: &Eye) {
    let (small, body) = (slide.small(), slide.body());
    let mut top = slide.top;
    for (words, left) in ["lens", "without fog", "as plus is taken away"].into_iter().zip(COLUMNS) {
        slide.write(words, small, Anchor::Left, [left, top + 16.0]);
    }
    top += 34.0;
    for clicks in SHOWN {
        slide.rule([MARGIN, MARGIN + WIDE], top);
        let error = clicks.to_dioptres();
        slide.write(&error.to_string(), body, Anchor::Left, [COLUMNS[0], top + 40.0]);
        for (left, from_plus) in COLUMNS.into_iter().skip(1).zip([false, true]) {
            seen(slide, lesson, eye, (Accommodation::typical().left(error, from_plus), [left, top]));
        }
        top += ROW;
    }
    slide.paragraph(&why(), body, [MARGIN, top + 16.0], WIDE);
}

/// What an eye answers to a lens error that is left to it.
fn seen(slide: &mut Slide, lesson: &Lesson<'_>, eye: &Eye, (error, [left, top]): (Dioptres, [f64; 2])) {
    let (answer, chance) = lesson.likeliest(eye, error);
    answer_mark(slide, answer, [left + 14.0, top + 30.0]);
    let style = slide.body().in_paint(ink_of(answer, slide.palette));
    let words = format!("{answer}, {:.0} %", 100.0 * chance);
    slide.write(&words, style, Anchor::Left, [left + 44.0, top + 40.0]);
    let words = format!("{error} remains");
    slide.write(&words, slide.small(), Anchor::Left, [left + 44.0, top + 70.0]);
}

/// What is done, in the order in which it is done.
fn steps(slide: &mut Slide, start: &Start) {
    let left = MARGIN + WIDE + 80.0;
    let (heading, body) = (slide.heading(28.0), slide.body());
    let mut top = slide.top;
    for (term, words) in said(start) {
        top = slide.paragraph(term, heading, [left, top], RIGHT - left) + 2.0;
        top = slide.paragraph(&words, body, [left, top], RIGHT - left) + 26.0;
    }
}

/// The run's own sentences: fog, more of it, the way down, the end.
fn said(start: &Start) -> [(&'static str, String); 4] {
    let because = |answers: &[Answer]| {
        asked(start.clone(), answers).asks().map_or_else(String::new, |question| question.because())
    };
    let end = start.end_point.said();
    [
        ("Fog", because(&[])),
        ("Green or the same in fog", because(&[Answer::Same])),
        ("Red in fog", because(&[Answer::Red])),
        ("“Green first”", format!("The end point is {}: {}.", end.name, end.how)),
    ]
}

fn notes(start: &Start) -> Vec<String> {
    let cautions = asked(start.clone(), &[]).cautions();
    let teachers: Vec<String> = cautions.into_iter().map(|caution| caution.what).collect();
    let after: Vec<&str> =
        [AfterMinus::FogAgain, AfterMinus::Relax, AfterMinus::KeepManifest].map(AfterMinus::words).to_vec();
    vec![
        format!("Say: {}", why()),
        format!("Say, where a lens has to be met from plus once more: {}", words::through_plus(start.blur())),
        "Ask the class, with the right column covered: how much of a dioptre of minus is left to be seen? Then uncover it.".into(),
        format!("Say of green first: {}", teachers.join(" ")),
        format!(
            "Often misunderstood: minus has to earn its letters. The record says then: “{}”",
            Stands::TooLittleGain(0).words()
        ),
        format!(
            "If it goes on asking for minus: {} What can follow: {}.",
            End::TooMuchMinus.words("", start.end_point),
            after.join("; ")
        ),
    ]
}
