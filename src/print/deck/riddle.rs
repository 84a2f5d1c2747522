//! Three riddles, each with its answer on the slide behind it.

use super::lesson::{Lesson, LessonError, SEED, asked, seen};
use super::light::{VIEW, tile};
use super::slide::{Ground, MARGIN, Slide};
use crate::balance::{Answer, EndPoint, Kind, Procedure};
use crate::eye::{CLICK_D, Eye};
use crate::light::Side;
use crate::print::LEFT_OUT;
use crate::quantity::Dioptres;
use crate::scene::Anchor;

/// An eye with a lens in place that nobody tells.
struct Riddle<'a> {
    eye: &'a Eye,
    kind: Kind,
    procedure: Procedure,
    clicks: f64,
    red: Side,
    seed: u64,
}

pub(super) fn slides(lesson: &Lesson<'_>) -> Result<Vec<Slide>, LessonError> {
    let mut slides = Vec::new();
    for (number, riddle) in (1_u8..).zip(riddles(lesson)) {
        slides.push(riddle.slide(lesson, number, false)?);
        slides.push(riddle.slide(lesson, number, true)?);
    }
    Ok(slides)
}

fn riddles<'a>(lesson: &'a Lesson<'_>) -> [Riddle<'a>; 3] {
    let riddle = |eye, kind, clicks, red, seed| {
        let kind: Kind = kind;
        Riddle { eye, kind, procedure: Procedure::Customary, clicks, red, seed }
    };
    [
        riddle(&lesson.dark, Kind::Pseudophakic, 2.0, Side::Left, SEED + 1),
        riddle(&lesson.dark, Kind::Pseudophakic, -1.0, Side::Right, SEED + 2),
        riddle(&lesson.aperture, Kind::SmallAperture, 1.0, Side::Left, SEED + 3),
    ]
}

impl Riddle<'_> {
    fn slide(&self, lesson: &Lesson<'_>, number: u8, told: bool) -> Result<Slide, LessonError> {
        let at = Dioptres::new(self.clicks * CLICK_D);
        let close_up = lesson.close_up((self.seed, self.red), &[(self.eye, at)])?;
        let answer = lesson.answer(self.eye, at);
        let title = if told {
            format!("Answer {number}: {}", said(answer))
        } else {
            format!("Question {number}: what does this patient answer, and which lens goes in next?")
        };
        let mut slide = Slide::new(Ground::Night, title);
        let top = slide.top + 20.0;
        let place = [MARGIN, top];
        if told {
            tile(&mut slide, lesson, (&close_up, self.eye, at), place);
        } else {
            slide.view(&seen(&close_up, self.eye, at), place);
            let words = format!("{}, {}", Lesson::pupil(self.eye), close_up.line);
            let small = slide.small();
            slide.write(&words, small, Anchor::Left, [MARGIN, top + VIEW[1] + 32.0]);
        }
        let right = MARGIN + VIEW[0] + 96.0;
        let (body, lead) = (slide.body(), slide.lead());
        let wide = super::slide::RIGHT - right;
        let kind = format!("Eye: {}.", self.kind.words());
        let mut bottom = slide.paragraph(&kind, body, [right, top - 6.0], wide) + 28.0;
        if told {
            for words in self.told(lesson, answer) {
                bottom = slide.paragraph(&words, lead, [right, bottom], wide) + 28.0;
            }
        }
        Ok(slide.resting_on(LEFT_OUT))
    }

    /// The lens error, the rule, and what else to know.
    fn told(&self, lesson: &Lesson<'_>, answer: Answer) -> Vec<String> {
        let at = Dioptres::new(self.clicks * CLICK_D);
        let start = lesson.start(self.kind, self.procedure, EndPoint::EqualElseLastRed);
        let before = asked(start.clone(), &[]).asks();
        let course = asked(start, &[answer]);
        let how = match at.to_d() {
            plus if plus > 0.0 => format!("The lens was {plus:.2} D too plus."),
            minus => format!("The lens was {:.2} D too minus.", -minus),
        };
        let next = course.asks().map(|question| question.because());
        let lens = before
            .zip(course.asks())
            .map(|(before, next)| format!("The lens changes by {}.", next.sphere - before.sphere));
        let side = (self.red == Side::Right)
            .then(|| "The sides were swapped: it is the colour that counts, not the side.".to_owned());
        let clicks = lesson.prediction(self.eye).noticed_steps_per_click;
        let faint = clicks.filter(|_| answer == Answer::Same).map(|steps| {
            format!(
                "A click is only {steps:.1} noticeable steps here. Ask by the {} instead.",
                self.kind.usual_procedure().words()
            )
        });
        [Some(how), next, lens, side, faint].into_iter().flatten().collect()
    }
}

/// An answer as the patient gives it.
fn said(answer: Answer) -> String {
    match answer {
        Answer::Red => "“red is clearer”".into(),
        Answer::Green => "“green is clearer”".into(),
        Answer::Same => "“they are the same”".into(),
        Answer::Unsure => "“I cannot tell”".into(),
    }
}
