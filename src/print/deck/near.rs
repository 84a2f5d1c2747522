//! Red and green at near: what an answer means there, and what an eye's lag makes of it.

use super::Surface;
use super::asking::answer_mark;
use super::lesson::Lesson;
use super::light::{ink_of, spoken};
use super::slide::{MARGIN, RIGHT, Slide, WIDE};
use crate::balance::{Answer, LAG_D, Near, words};
use crate::quantity::{Dioptres, Length};
use crate::scene::Anchor;

/// A reading distance, and an add that leaves a click of it to the eye.
const WORK: Length = Length::mm(400.0);
const ADD: Dioptres = Dioptres::new(2.25);

/// Where the line of dioptres begins and ends, and what it spans.
const FROM_D: f64 = 1.5;
const TO_D: f64 = 3.0;

pub(super) fn slide(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let mut slide = Slide::new(surface, "At near an eye that accommodates lags, so green is expected there");
    let top = lag(&mut slide, lesson) + 50.0;
    let lags = format!("{}.", crate::text::capital(&words::near_lag()));
    let others = [Answer::Red, Answer::Green, Answer::Same].map(near).join(" ");
    let left = tried(Answer::Same).advice(false, None).into_iter().next().unwrap_or_default();
    let all = [
        ("It accommodates", lags),
        ("It does not", format!("Red and green check the add. {others}")),
        ("The add first", words::NEAR_HOW.to_owned()),
        ("For example", format!("Say it came to {ADD}. {left}")),
    ];
    let all: Vec<(String, String)> = all.into_iter().map(|(term, words)| (term.to_owned(), words)).collect();
    slide.terms(&all, top, 330.0, 40.0);
    slide
        .resting_on("Answers of the model’s patient, who looks at near with the pupil of a lit room.")
        .saying(notes())
}

/// A near add that was tried, with what red and green showed.
const fn tried(answer: Answer) -> Near {
    Near { distance: WORK, add: ADD, acuity: None, clear: None, red_green: Some(answer) }
}

/// What an answer means in an eye that does not accommodate: the last of all that is said of a near add.
fn near(answer: Answer) -> String {
    tried(answer).advice(false, None).pop().unwrap_or_default()
}

/// The page, and where an eye focuses that lags behind it; says where that ends below.
fn lag(slide: &mut Slide, lesson: &Lesson<'_>) -> f64 {
    let (body, small) = (slide.body(), slide.small());
    let palette = slide.palette;
    let x = |dioptres: f64| MARGIN + 100.0 + (WIDE - 200.0) * (dioptres - FROM_D) / (TO_D - FROM_D);
    let page = tried(Answer::Same).needed().to_d();
    let y = slide.top + 110.0;
    let [least, most] = LAG_D.map(|lag| x(page - lag));
    slide.rect([most, y - 26.0, least, y + 26.0], palette.within);
    slide.straight([x(FROM_D), y], [x(TO_D), y], 2.0, palette.quiet);
    slide.straight([x(page), y - 50.0], [x(page), y + 50.0], 6.0, palette.ink);
    slide.write(
        &format!("the page, {:.0} cm", WORK.to_mm() / 10.0),
        body,
        Anchor::Left,
        [x(page) + 18.0, y - 30.0],
    );
    slide.write(
        "where the eye focuses",
        body.in_paint(palette.balance),
        Anchor::Centre,
        [f64::midpoint(least, most), y - 44.0],
    );
    for quarter in 6..=12_u8 {
        let at = f64::from(quarter) / 4.0;
        slide.straight([x(at), y], [x(at), y + 12.0], 2.0, palette.quiet);
        // Words stand at both ends.
        if [8, 10].contains(&quarter) {
            slide.write(&format!("{at:.1} D"), small, Anchor::Centre, [x(at), y + 92.0]);
        }
    }
    for lag in LAG_D {
        let answer = lesson.answer(&lesson.lit, Dioptres::new(-lag));
        let style = body.in_paint(ink_of(answer, palette));
        let at = x(page - lag);
        // A question mark stands over the line, which would strike it through.
        let over = if answer == Answer::Unsure { 22.0 } else { 0.0 };
        answer_mark(slide, answer, [at, y - over]);
        slide.write(&spoken(answer), style, Anchor::Centre, [at, y + 58.0]);
    }
    slide.write("← farther", small, Anchor::Left, [MARGIN, y + 92.0]);
    slide.write("nearer →", small, Anchor::Right, [RIGHT, y + 92.0]);
    y + 92.0
}

fn notes() -> [&'static str; 3] {
    [
        "Say: red and green at near are a check of an add that was found by reading. They do not find it.",
        "Ask the class: a reader of thirty says green at near. Does she need an add? No. Her eye lags, as an eye does that accommodates.",
        "Often misunderstood: at near as at far, green means that focus lies behind the retina; but here the eye itself keeps it there, and adding plus until both are alike gives plus that nobody asked for.",
    ]
}
