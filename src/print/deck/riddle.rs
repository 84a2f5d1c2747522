//! Three riddles, each with its answer on the slide behind it.
//!
//! The lens of a riddle is a number here, its answer the model's: what the slide behind shows cannot differ from what the views
//! before it show.

use super::Surface;
use super::lesson::{Lesson, LessonError, SEED, Views, asked, target};
use super::light::{VIEW, spoken, tile};
use super::slide::{BOTTOM, MARGIN, RIGHT, Slide, WIDE};
use crate::balance::{Answer, Clicks, EyeKind, Procedure, words};
use crate::eye::Eye;
use crate::light::Side;
use crate::quantity::Dioptres;
use crate::report::LEFT_OUT;
use crate::scene::Anchor;

/// How many times as large as others a riddle's view is.
const TIMES: f64 = 2.0;

/// An eye with a lens in place that is not told at first.
struct Riddle<'a> {
    eye: &'a Eye,
    kind: EyeKind,
    clicks: Clicks,
    red: Side,
    seed: u64,
}

pub(super) fn slides(lesson: &Lesson<'_>, surface: Surface) -> Result<Vec<Slide>, LessonError> {
    let mut slides = Vec::new();
    // Slides of views before these have red on the left.
    let mut before = Side::Left;
    for (number, riddle) in (1_u8..).zip(riddles(lesson)) {
        let seen = [(riddle.eye, riddle.lens_error())];
        let mut views = Views::of(lesson.close_up((riddle.seed, riddle.red), &seen)?);
        let [mut question, answer] =
            [false, true].map(|told| riddle.slide((lesson, surface), &mut views, (number, told)));
        if riddle.red != before {
            question.paragraph(words::SEIZURES, question.body(), [MARGIN, BOTTOM - 150.0], WIDE);
        }
        before = riddle.red;
        slides.extend([question, answer]);
    }
    Ok(slides)
}

fn riddles<'a>(lesson: &'a Lesson<'_>) -> [Riddle<'a>; 3] {
    let riddle = |eye, kind, clicks, red, seed| {
        let kind: EyeKind = kind;
        Riddle { eye, kind, clicks: Clicks::new(clicks), red, seed }
    };
    [
        riddle(&lesson.dark, EyeKind::Pseudophakic, 1, Side::Left, SEED + 1),
        riddle(&lesson.dark, EyeKind::Pseudophakic, -1, Side::Right, SEED + 4),
        riddle(&lesson.aperture, EyeKind::SmallAperture, 1, Side::Left, SEED + 5),
    ]
}

impl Riddle<'_> {
    fn lens_error(&self) -> Dioptres {
        self.clicks.to_dioptres()
    }

    fn slide(
        &self,
        (lesson, surface): (&Lesson<'_>, Surface),
        views: &mut Views,
        (number, told): (u8, bool),
    ) -> Slide {
        let at = self.lens_error();
        let answer = lesson.answer(self.eye, at);
        let title = if told {
            format!("Answer {number}: {}", spoken(answer))
        } else {
            format!("Question {number}: what does this patient answer?")
        };
        let mut slide = Slide::new(surface, title);
        let top = slide.top + 20.0;
        let place = ([MARGIN, top], TIMES);
        if told {
            tile(&mut slide, lesson, (views, self.eye, at), place);
        } else {
            slide.view(&views.seen(self.eye, at), place.0, place.1);
            let words = format!("{}, {}", Lesson::pupil(self.eye), target());
            let small = slide.small();
            slide.write(&words, small, Anchor::Left, [MARGIN, top + TIMES * VIEW[1] + 32.0]);
        }
        let words =
            if told { self.told(lesson, answer) } else { vec!["And which lens goes in next?".into()] };
        self.beside(&mut slide, &words, top);
        slide.resting_on(LEFT_OUT)
    }

    /// The kind of eye, and below it sentences.
    fn beside(&self, slide: &mut Slide, sentences: &[String], top: f64) {
        let right = MARGIN + TIMES * VIEW[0] + 72.0;
        let (body, lead) = (slide.body(), slide.lead());
        let wide = RIGHT - right;
        let kind = format!("Eye: {}.", self.kind.words());
        let mut bottom = slide.paragraph(&kind, body, [right, top - 6.0], wide) + 28.0;
        for words in sentences {
            bottom = slide.paragraph(words, lead, [right, bottom], wide) + 28.0;
        }
    }

    /// The lens error, the rule, and what else to know.
    fn told(&self, lesson: &Lesson<'_>, answer: Answer) -> Vec<String> {
        let at = self.lens_error();
        let by_hand = Procedure::from(self.kind.by_hand().stepping());
        let start = lesson.start(self.kind, by_hand, self.kind.usual_end_point());
        let course = asked(start, &[answer]);
        let how = match at.to_d() {
            plus if plus > 0.0 => format!("The lens was {plus:.2} D too plus."),
            minus => format!("The lens was {:.2} D too minus.", -minus),
        };
        let next = course.asks().map(|question| question.because());
        let side = (self.red == Side::Right)
            .then(|| "The sides were swapped: it is the colour that counts, not the side.".to_owned());
        let faint = (self.kind == EyeKind::SmallAperture)
            .then(|| format!("A click hardly shows here, hence the {}.", by_hand.said()));
        [Some(how), next, side, faint].into_iter().flatten().collect()
    }
}
