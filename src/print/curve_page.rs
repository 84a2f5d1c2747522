//! The page of a curve: clarity of both sides against lens error.
//!
//! Red and green are told apart by dashes and by their words as well as by colour, since the page may be printed in grey and read
//! by somebody who does not tell the colours apart.

use kurbo::Rect;

use crate::balance::words;
use crate::eye::{Curve as EyeCurve, CurvePoint};
use crate::quantity::{Dioptres, Length};
use crate::report::Expectation;
use crate::report::{CLARITY, LEFT_OUT};
use crate::scene::look::{self, BODY, GRID_MM, SMALL};
use crate::scene::{Anchor, Axis, Canvas, Curve, Metadata, Plot, Scene, Series, Word};

/// The figure's size: as wide as the text of a sheet of A4.
const SIZE_MM: [f64; 2] = [178.0, 150.0];
const MARGIN_MM: f64 = 4.0 * GRID_MM;

/// How far a word stands from its line, as a share of the axis.
const ASIDE: f64 = 0.015;

/// The share of the axis that a short word takes.
const ROOM_FOR_A_WORD: f64 = 0.1;

/// How many steps the lines are drawn in between two of the points asked for.
const FINER: u8 = 5;

/// Clarity against lens error as one figure.
#[derive(Debug, Clone)]
pub struct CurvePage {
    /// The figure.
    pub scene: Scene,
}

impl CurvePage {
    /// Draws the lines between the first and the last of some points, marked there.
    #[must_use]
    pub fn new(curve: &EyeCurve<'_>, points: &[CurvePoint], expectation: &Expectation) -> Self {
        let [width, height] = SIZE_MM;
        let (left, right) = (MARGIN_MM, width - MARGIN_MM);
        let mut canvas = Canvas::default();
        let high = said(&mut Canvas::default(), expectation, [left, right], 0.0);
        let top = height - MARGIN_MM - high;
        let place = Rect::new(left, MARGIN_MM, right, top - GRID_MM);
        plot(curve, points, expectation).draw(&mut canvas, place);
        said(&mut canvas, expectation, [left, right], top);
        Self {
            scene: Scene {
                size: SIZE_MM.map(Length::mm),
                background: look::PAPER,
                shapes: canvas.shapes,
                metadata: Metadata {
                    title: format!(
                        "Clarity against lens error, {}, pupil {}",
                        expectation.line, expectation.pupil
                    ),
                    description: expectation.words().replace('\n', " "),
                    json: String::new(),
                },
            },
        }
    }
}

/// What stands under the plot, from a top; says where it ends below.
fn said(canvas: &mut Canvas, expectation: &Expectation, [left, right]: [f64; 2], top: f64) -> f64 {
    let found = |top: f64, sentence: String| canvas.paragraph(&sentence, BODY, [left, top], right - left);
    let bottom = expectation.found().into_iter().fold(top, found) + GRID_MM / 2.0;
    let basis = format!("{} {CLARITY} {LEFT_OUT} {}", expectation.basis(), words::SUPERVISION);
    canvas.paragraph(&basis, SMALL, [left, bottom], right - left)
}

fn plot(curve: &EyeCurve<'_>, points: &[CurvePoint], expectation: &Expectation) -> Plot {
    let [from, to] =
        [points.first(), points.last()].map(|point| point.map_or(0.0, |point| point.lens_error_d));
    let fine = finer(points);
    let seen: Vec<(f64, [f64; 3])> = fine
        .into_iter()
        .map(|at| (at, curve.clarity(Dioptres::new(at)).map(crate::eye::Clarity::value)))
        .collect();
    let line =
        |field: usize| -> Vec<[f64; 2]> { seen.iter().map(|(at, clarity)| [*at, clarity[field]]).collect() };
    let named = |series: Series, field: usize, text: &str, at: [f64; 2], anchor: Anchor| Curve {
        series,
        points: line(field),
        marks: if series == Series::Beside { best_range(curve, expectation) } else { asked(points, field) },
        word: Word { text: text.into(), at, anchor },
    };
    let aside = ASIDE * (to - from);
    let above = |field: usize, aside: f64| {
        let best = best(&line(field));
        [best[0] + aside, best[1] + 0.03]
    };
    let flank = flank(&line(2));
    let mut curves = vec![
        named(Series::Beside, 2, "white", [flank[0] + aside, flank[1]], Anchor::Left),
        named(Series::Middle, 1, "green", above(1, -aside), Anchor::Right),
        named(Series::Long, 0, "red", above(0, aside), Anchor::Left),
    ];
    let balance = expectation.prediction.balance_d.filter(|at| (from..=to).contains(at));
    curves.extend(balance.map(|at| balance_line(at, aside)));
    Plot {
        title: message(expectation),
        axes: [
            Axis { title: "lens error in D: plus is too much plus".into(), from, to, signed: true },
            Axis { title: "clarity".into(), from: 0.0, to: 1.1, signed: false },
        ],
        curves,
        source: "Bars: where white is clearest, and within 5 % of that.".into(),
    }
}

/// An upright line where the sides balance, its word aside of it.
fn balance_line(at: f64, aside: f64) -> Curve {
    let text = format!("balance {}", Dioptres::new(at));
    Curve {
        series: Series::Balance,
        points: vec![[at, 0.0], [at, 1.0]],
        marks: vec![[at, 0.0]],
        word: Word { text, at: [at + aside, 1.03], anchor: Anchor::Left },
    }
}

/// The points that were asked for.
fn asked(points: &[CurvePoint], field: usize) -> Vec<[f64; 2]> {
    points.iter().map(|point| [point.lens_error_d, point.clarity[field].value()]).collect()
}

/// Where white is best, and the ends of its range, as far as they lie on the plot.
fn best_range(curve: &EyeCurve<'_>, expectation: &Expectation) -> Vec<[f64; 2]> {
    let Some(white) = expectation.prediction.white else { return Vec::new() };
    let [from, to] = white.range_d;
    let at = |lens_error: f64| [lens_error, curve.clarity(Dioptres::new(lens_error))[2].value()];
    [from, white.at_d, to].map(at).to_vec()
}

/// The highest point.
fn best(line: &[[f64; 2]]) -> [f64; 2] {
    line.iter().copied().fold([f64::NAN, 0.0], |best, at| if at[1] > best[1] { at } else { best })
}

/// Where a line has fallen to the right, to a quarter of its height or, where that lies too near the axis's end for a word,
/// to less of it: between its neighbours.
fn flank(line: &[[f64; 2]]) -> [f64; 2] {
    let best = best(line);
    let [from, to] = [line.first(), line.last()].map(|end| end.map_or(0.0, |end| end[0]));
    let fallen = |share: f64| {
        let at = line.iter().copied().find(|at| at[0] > best[0] && at[1] < share * best[1])?;
        (at[0] < to - ROOM_FOR_A_WORD * (to - from)).then_some(at)
    };
    [0.25, 0.35, 0.5, 0.7].into_iter().find_map(fallen).unwrap_or(best)
}

fn message(expectation: &Expectation) -> String {
    let pupil = &expectation.pupil;
    match expectation.prediction.noticed_steps_per_click {
        Some(steps) if steps < 1.0 => format!("Pupil {pupil}: one click hardly shows"),
        Some(_) => format!("Pupil {pupil}: in the model one click shows"),
        None => format!("Pupil {pupil}: the sides do not balance while both can be read"),
    }
}

/// The lens errors of the points and some between them.
fn finer(points: &[CurvePoint]) -> Vec<f64> {
    let mut all: Vec<f64> = points
        .windows(2)
        .flat_map(|pair| {
            let [from, to] = [pair[0].lens_error_d, pair[1].lens_error_d];
            (0..FINER).map(move |step| from + (to - from) * f64::from(step) / f64::from(FINER))
        })
        .collect();
    all.extend(points.last().map(|point| point.lens_error_d));
    all
}
