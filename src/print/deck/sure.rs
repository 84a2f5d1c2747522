//! How sure an end point is: an eye that is asked the adaptive way, and where balance may lie after each answer.

use super::Surface;
use super::asking::beside;
use super::lesson::{Lesson, asked};
use super::light::ink_of;
use super::slide::{MARGIN, Slide};
use crate::balance::{Answer, Course, EyeKind, Procedure, Start};
use crate::quantity::Dioptres;
use crate::scene::Anchor;

/// By how much the manifest of this eye is too plus, in dioptres.
const TOO_PLUS_D: f64 = 0.6;

/// What is drawn, in dioptres from the manifest.
const FROM_D: f64 = -1.5;
const TO_D: f64 = 1.0;

/// Where the dioptres lie on the slide, and how far each row is from the next.
const LEFT: f64 = MARGIN + 330.0;
const WIDE: f64 = 760.0;
const ROW: f64 = 64.0;

pub(super) fn slide(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let stages = stages(lesson);
    let mut slide = Slide::new(surface, title(&stages));
    let top = slide.top + 56.0;
    let bottom = rows(&mut slide, lesson, &stages, top);
    axis(&mut slide, &stages[0].start, bottom);
    said(&mut slide, stages.last());
    let manifest = stages.first().map(|course| course.start.manifest.to_string()).unwrap_or_default();
    slide.resting_on(format!(
        "A simulated eye behind {}, whose manifest of {manifest} is {TOO_PLUS_D:.2} D too plus and who answers by the model without erring. What is believed before the first answer, and how patients differ, is assumed.",
        EyeKind::SmallAperture.assumed_pupil()
    ))
    .saying([
        "Say: a result without its width is half a result. Each row is one more answer, and the bar is where balance may still lie.",
        "Ask the class: after which answer would you have stopped? Look by how much the last bars still shrink.",
        "Often misunderstood: the bar is about this day’s answers. It knows nothing of a wrong cylinder, a dry eye or a brighter side; whatever misleads every answer moves the whole bar.",
    ])
}

/// The eye before its first answer, after one, after two, until its questions are at their end.
fn stages(lesson: &Lesson<'_>) -> Vec<Course> {
    let kind = EyeKind::SmallAperture;
    let start = |procedure| lesson.start(kind, procedure, kind.usual_end_point());
    let by_hand = start(kind.by_hand().stepping().into());
    // A room that the model knows nothing of has no adaptive way; its slide says so.
    let start = if asked(by_hand.clone(), &[]).whereabouts().is_some() {
        start(Procedure::Adaptive)
    } else {
        by_hand
    };
    let mut answers = Vec::new();
    let mut stages = vec![asked(start.clone(), &answers)];
    while let Some(answer) = stages.last().and_then(|course| answer(lesson, course)) {
        answers.push(answer);
        stages.push(asked(start.clone(), &answers));
    }
    stages
}

/// What the eye answers next, if it is asked.
fn answer(lesson: &Lesson<'_>, course: &Course) -> Option<Answer> {
    let question = course.asks()?;
    Some(lesson.answer(&lesson.aperture, question.change + Dioptres::new(TOO_PLUS_D)))
}

/// Half of the interval, in dioptres.
fn half_d(course: &Course) -> Option<f64> {
    course.whereabouts().map(|found| (found.high - found.low).to_d() / 2.0)
}

fn title(stages: &[Course]) -> String {
    match (stages.first().and_then(half_d), stages.last().and_then(half_d)) {
        (Some(before), Some(after)) => format!(
            "How sure: {} answers narrow balance from ±{before:.2} to ±{after:.2} D",
            stages.len() - 1
        ),
        _ => "How sure: of this room the model has no estimate".into(),
    }
}

/// The place of a lens, in dioptres from the manifest.
fn x(change_d: f64) -> f64 {
    LEFT + WIDE * (change_d.clamp(FROM_D, TO_D) - FROM_D) / (TO_D - FROM_D)
}

fn from_manifest(start: &Start, lens: Dioptres) -> f64 {
    (lens - start.manifest_here()).to_d()
}

/// A row for each answer, with the interval after it; says where they end.
fn rows(slide: &mut Slide, lesson: &Lesson<'_>, stages: &[Course], top: f64) -> f64 {
    let bottom = top + ROW * stages.len() as f64;
    let (body, small) = (slide.body(), slide.small());
    let balance = lesson.curve(&lesson.aperture).prediction().balance_d;
    let mut baseline = top + 30.0;
    for course in stages {
        let Some(found) = course.whereabouts() else { continue };
        let [low, mean, high] =
            [found.low, found.balance, found.high].map(|lens| x(from_manifest(&course.start, lens)));
        match course.asked.last() {
            None => slide.write("before the first answer", small, Anchor::Left, [MARGIN, baseline]),
            Some((question, answer)) => {
                let lens = question.sphere.to_string();
                slide.write(&lens, body, Anchor::Right, [MARGIN + 130.0, baseline]);
                slide.write(
                    &answer.to_string(),
                    body.in_paint(ink_of(*answer, slide.palette)),
                    Anchor::Left,
                    [MARGIN + 160.0, baseline],
                );
            }
        }
        slide.rect([low, baseline - 22.0, high, baseline + 2.0], slide.palette.within);
        slide.rect([low, baseline - 22.0, low + 3.0, baseline + 2.0], slide.palette.balance);
        slide.rect([high - 3.0, baseline - 22.0, high, baseline + 2.0], slide.palette.balance);
        slide.rect([mean - 5.0, baseline - 22.0, mean + 5.0, baseline + 2.0], slide.palette.balance);
        baseline += ROW;
    }
    if let Some(balance) = balance {
        let at = x(balance - TOO_PLUS_D);
        slide.dashed([at, top - 24.0], [at, bottom], 3.0, &[10.0, 8.0], slide.palette.ink);
        slide.write(
            "balance of this eye",
            small.in_paint(slide.palette.ink),
            Anchor::Centre,
            [at, top - 36.0],
        );
    }
    bottom
}

/// The sphere at the chart's distance, at every half dioptre from the manifest.
fn axis(slide: &mut Slide, start: &Start, bottom: f64) {
    let manifest = start.manifest_here();
    let small = slide.small();
    slide.rule([LEFT, LEFT + WIDE], bottom);
    for half in -3..=2_i8 {
        let at = f64::from(half) / 2.0;
        let place = (manifest + Dioptres::new(at)).to_string();
        slide.straight([x(at), bottom], [x(at), bottom + 10.0], 2.0, slide.palette.hairline);
        slide.write(&place, small, Anchor::Centre, [x(at), bottom + 40.0]);
    }
    slide.write(
        &format!("sphere at {}; the manifest is {manifest}", start.distance()),
        small,
        Anchor::Centre,
        [x(f64::midpoint(FROM_D, TO_D)), bottom + 76.0],
    );
}

/// What is said at the end, and what the bars mean.
fn said(slide: &mut Slide, last: Option<&Course>) {
    let left = LEFT + WIDE + 80.0;
    let (body, lead) = (slide.body(), slide.lead());
    let mut top = slide.top;
    if let Some(said) = last.and_then(Course::estimate_in_words) {
        top = slide.paragraph(&said.what, lead, [left, top], beside(left)) + 40.0;
    }
    if let Some(ended) = last.and_then(Course::ended) {
        top = slide.paragraph(&ended, body, [left, top], beside(left)) + 40.0;
    }
    let words = "A bar holds balance in 95 of 100 such eyes. Each lens was chosen because its answer would narrow the bar most. No rule of thumb says how sure it is; and no number of questions tells a day’s own error from the eye’s.";
    slide.paragraph(words, body, [left, top], beside(left));
}
