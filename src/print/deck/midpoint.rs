//! The midpoint on white, the trade's other way for a long depth of focus.

use kurbo::Rect;

use super::Surface;
use super::asking::beside;
use super::lesson::{APERTURE, Lesson, LessonError};
use super::slide::{BOTTOM, MARGIN, PX_MM, Slide};
use super::working::midpoint_of;
use crate::balance::{Legible, Moments, Procedure, Statistics, words};
use crate::quantity::Dioptres;
use crate::scene::{Anchor, Axis, Curve, Plot, Series, Word};
use crate::text::capital;

/// What of the slide the plot takes.
const WIDE: f64 = 1000.0;

/// What is drawn, in dioptres from the lens with which red and green balance, and how finely.
const FROM_D: f64 = -2.0;
const TO_D: f64 = 2.0;
const STEP_D: f64 = 0.02;

/// Of so many points one is drawn; straight lines between them stray by less than they are thick.
const DRAWN: usize = 5;

pub(super) fn slide(lesson: &Lesson<'_>, surface: Surface) -> Result<Slide, LessonError> {
    let mut slide = Slide::new(surface, "The midpoint on white needs no colours, and many questions");
    let seen = Seen::of(lesson);
    let [x0, y0, x1, y1] = [MARGIN, slide.top, MARGIN + WIDE, BOTTOM - 60.0].map(|side| side * PX_MM);
    if let Some(seen) = &seen {
        seen.plot().draw_on(slide.palette, &mut slide.canvas, Rect::new(x0, y0, x1, y1));
    }
    said(&mut slide, seen.as_ref(), midpoint_of(lesson)?.as_ref());
    Ok(slide.resting_on(format!(
        "Letters of the target line behind an aperture of {APERTURE}, by the model. Simulated patients differ as is assumed."
    ))
    .saying(notes()))
}

/// How clear white is through each lens.
struct Seen {
    /// Lens in dioptres from balance, and clarity as a multiple of what is needed.
    points: Vec<[f64; 2]>,
    /// The last lenses with which it is read.
    limits: [f64; 2],
}

impl Seen {
    /// None where the model knows no balance, or where the line is read through all lenses or through none.
    fn of(lesson: &Lesson<'_>) -> Option<Self> {
        let curve = lesson.curve(&lesson.aperture);
        let balance = curve.prediction().balance_d?;
        let lenses = (0..).map(|step| FROM_D + f64::from(step) * STEP_D).take_while(|lens| *lens <= TO_D);
        let points: Vec<[f64; 2]> = lenses
            .map(|lens| {
                let [_, _, white] = curve.clarity(Dioptres::new(balance + lens));
                [lens, white.legibility()]
            })
            .collect();
        let read = || points.iter().filter(|[_, clarity]| *clarity >= 1.0).map(|[lens, _]| *lens);
        let limits = [read().next()?, read().next_back()?];
        (limits[0] > FROM_D && limits[1] < TO_D - STEP_D).then_some(Self { points, limits })
    }

    fn middle(&self) -> f64 {
        f64::midpoint(self.limits[0], self.limits[1])
    }

    fn plot(&self) -> Plot {
        let most = self.points.iter().map(|[_, clarity]| *clarity).fold(1.0, f64::max);
        let [minus, plus] = self.limits;
        let word = |text: &str, at, anchor| Word { text: text.into(), at, anchor };
        let upright = |at: f64, name: &str, series, anchor| Curve {
            series,
            points: vec![[at, 0.0], [at, 1.0]],
            marks: vec![[at, 1.0]],
            word: word(name, [at, 1.0 + 0.07 * most], anchor),
        };
        Plot {
            title: "Read from limit to limit".into(),
            axes: [
                Axis {
                    title: "lens in D from red-green balance".into(),
                    from: FROM_D,
                    to: TO_D,
                    signed: true,
                },
                Axis {
                    title: "clarity of white, as a multiple of what is needed".into(),
                    from: 0.0,
                    to: 1.15 * most,
                    signed: false,
                },
            ],
            curves: vec![
                Curve {
                    series: Series::Beside,
                    points: self.points.iter().copied().step_by(DRAWN).collect(),
                    marks: Vec::new(),
                    word: word("", [0.0, 0.0], Anchor::Left),
                },
                upright(minus, "lost", Series::Beside, Anchor::Right),
                upright(plus, "lost", Series::Beside, Anchor::Left),
                upright(self.middle(), "the middle", Series::Balance, Anchor::Centre),
            ],
            source: String::new(),
        }
    }
}

fn said(slide: &mut Slide, seen: Option<&Seen>, tried: Option<&Statistics>) {
    let left = MARGIN + WIDE + 60.0;
    let (body, lead) = (slide.body(), slide.lead());
    let how = format!("{}.", capital(Procedure::Midpoint.said().how));
    let mut top = slide.paragraph(&how, lead, [left, slide.top], beside(left)) + 32.0;
    for words in [seen.map(apart), tried.map(shares), Some(BESIDE.into())].into_iter().flatten() {
        top = slide.paragraph(&words, body, [left, top], beside(left)) + 24.0;
    }
}

/// What the midpoint is good for.
const BESIDE: &str = "Beside red-green it is a second opinion. Not for an eye that accommodates, which clears minus by itself.";

/// How far the middle lies from red-green balance, by the model.
fn apart(seen: &Seen) -> String {
    let side = if seen.middle() < 0.0 { "minus" } else { "plus" };
    format!(
        "By the model its middle, where white is clearest, lies {:.2} D to {side} of red-green balance.",
        seen.middle().abs()
    )
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

fn notes() -> [String; 4] {
    [
        format!("Say before the first letters: {}", words::BEFORE_READING),
        format!("The question: “{}” {}; {}.", words::READ_QUESTION, Legible::Read.explained(), Legible::Lost.explained()),
        "Ask the class: which eyes is it for? Those to whom red and green look alike in every lens, and whoever does not tell the colours apart.".into(),
        "Often misunderstood: the middle is a place between two guesses, each of which may be off. Hence each limit is looked for twice.".into(),
    ]
}
