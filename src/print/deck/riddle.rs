//! Three riddles, each with its answer on the slide behind it.
//!
//! The lens of a riddle is a number here, its answer the model's: what the slide behind shows cannot differ from what the views
//! before it show.

use super::Surface;
use super::lesson::{Lesson, LessonError, SEED, Views, asked, target};
use super::light::{NOT_ITS_BEST, spoken, tile};
use super::slide::{MARGIN, RIGHT, Slide};
use crate::balance::{Answer, Clicks, Course, EyeKind, Procedure, words};
use crate::eye::Eye;
use crate::light::Side;
use crate::quantity::Dioptres;
use crate::report::LEFT_OUT;
use crate::scene::Anchor;

/// Pixels a stroke of a riddle's view, how many of the slide's each of them takes, and how wide all of it is then: a riddle is
/// read from the last row.
const STROKE_PX: u16 = 19;
const TIMES: f64 = 2.0;
const VIEW: f64 = TIMES * 30.0 * STROKE_PX as f64;

/// From this chance on an answer is told as certain.
const SURE: f64 = 0.9;

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
        let mut views = Views::of(lesson.close_up((riddle.seed, riddle.red, STROKE_PX), &seen)?);
        let [mut question, answer] =
            [false, true].map(|told| riddle.slide((lesson, surface), &mut views, (number, told)));
        if riddle.red != before {
            let place = [MARGIN + VIEW + 60.0, question.top + 220.0];
            question.paragraph(words::SEIZURES, question.body(), place, RIGHT - place[0]);
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

/// What is asked at every riddle.
const HANDS: &str = "Ask the class for hands: red, green, no difference. Say of none of them that it is right before the next slide.";

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
            let next = self.next(lesson, answer).map_or_else(String::new, |moved| format!(" So {moved}."));
            let mostly = if self.doubt(lesson, answer).is_some() { "mostly " } else { "" };
            format!("Answer {number}: {mostly}{}{next}", spoken(answer))
        } else {
            format!("Question {number}: what does this patient answer?")
        };
        let mut slide = Slide::new(surface, title);
        let top = slide.top + 50.0;
        let place = ([MARGIN, top], TIMES);
        self.name_sides(&mut slide, top - 16.0);
        if told {
            tile(&mut slide, lesson, (views, self.eye, at), place);
        } else {
            let picture = views.seen(self.eye, at);
            slide.view(&picture, place.0, place.1);
            let words = format!("{}, {}", Lesson::pupil(self.eye), target());
            let small = slide.small();
            let below = top + TIMES * f64::from(picture.height()) + 32.0;
            slide.write(&words, small, Anchor::Left, [MARGIN, below]);
        }
        let words =
            if told { self.told(lesson, answer) } else { vec!["And which lens goes in next?".into()] };
        self.beside(&mut slide, &words, top);
        slide.resting_on(format!("{NOT_ITS_BEST} {LEFT_OUT}")).saying(self.notes(told)).answering(told)
    }

    /// Over each half of the view what it is, for whoever cannot tell by its colour.
    fn name_sides(&self, slide: &mut Slide, baseline: f64) {
        let small = slide.small();
        let words = if self.red == Side::Left { ["red", "green"] } else { ["green", "red"] };
        for (words, share) in words.into_iter().zip([0.25, 0.75]) {
            slide.write(words, small, Anchor::Centre, [MARGIN + share * VIEW, baseline]);
        }
    }

    /// How likely an answer is, where the typical patient of the model often gives another.
    fn doubt(&self, lesson: &Lesson<'_>, answer: Answer) -> Option<String> {
        let mut all = lesson.chances(self.eye, self.lens_error());
        let (_, chance) = all.find(|(one, chance)| *one == answer && *chance < SURE)?;
        Some(format!(
            "{:.0} % of such patients say so; the others see no difference, or err.",
            100.0 * chance
        ))
    }

    /// The kind of eye, and below it sentences.
    fn beside(&self, slide: &mut Slide, sentences: &[String], top: f64) {
        let right = MARGIN + VIEW + 60.0;
        let body = slide.body();
        let wide = RIGHT - right;
        let kind = format!("Eye: {}.", self.kind.words());
        let mut bottom = slide.paragraph(&kind, body, [right, top - 6.0], wide) + 28.0;
        for words in sentences {
            bottom = slide.paragraph(words, body, [right, bottom], wide) + 24.0;
        }
    }

    /// Who asks this eye by hand.
    fn by_hand(&self) -> Procedure {
        self.kind.by_hand().stepping().into()
    }

    /// The eye after this answer.
    fn after(&self, lesson: &Lesson<'_>, answer: Answer) -> Course {
        asked(lesson.start(self.kind, self.by_hand(), self.kind.usual_end_point()), &[answer])
    }

    /// By how much the lens changes next, in words.
    fn next(&self, lesson: &Lesson<'_>, answer: Answer) -> Option<String> {
        let moved = self.after(lesson, answer).asks()?.moved.to_dioptres().to_d();
        let side = if moved < 0.0 { "minus" } else { "plus" };
        (moved != 0.0).then(|| format!("{:.2} D more {side}", moved.abs()))
    }

    /// What to ask, and what is learnt of it.
    fn notes(&self, told: bool) -> Vec<String> {
        let swapped = self.red == Side::Right;
        if !told {
            let look = "Say nothing yet. Let everyone look for ten seconds and write down side, colour and the next lens.";
            let hint = swapped.then_some("The sides are swapped here and nobody says so: whoever answers by side is noticed by the next slide.");
            let small = (self.kind == EyeKind::SmallAperture).then_some("Here many will say “no difference”, and that is a fair answer: behind this aperture a click is hardly more than is noticed.");
            return [Some(look), Some(HANDS), hint, small].into_iter().flatten().map(Into::into).collect();
        }
        vec![
            "Ask the class: who had the colour, and who had the lens as well? Let one of them say why, before you do.".into(),
            "Often misunderstood: the darker or the brighter field is no answer, and neither are the blacker letters. Only the edges count.".into(),
            format!("Say of this eye: it is asked like this. {}: {}.", crate::text::capital(self.by_hand().said().name), self.by_hand().said().how),
        ]
    }

    /// The lens error, the rule, and what else to know.
    fn told(&self, lesson: &Lesson<'_>, answer: Answer) -> Vec<String> {
        let at = self.lens_error();
        let (by_hand, course) = (self.by_hand(), self.after(lesson, answer));
        let how = match at.to_d() {
            plus if plus > 0.0 => format!("The lens was {plus:.2} D too plus."),
            minus => format!("The lens was {:.2} D too minus.", -minus),
        };
        let next = course.asks().map(|question| question.because());
        let side = (self.red == Side::Right)
            .then(|| "The sides were swapped: it is the colour that counts, not the side.".to_owned());
        let faint = (self.kind == EyeKind::SmallAperture)
            .then(|| format!("A click hardly shows here, hence the {}.", by_hand.said()));
        [self.doubt(lesson, answer), Some(how), next, side, faint].into_iter().flatten().collect()
    }
}
