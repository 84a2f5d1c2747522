//! The page of a curve: clarity of both sides against lens error.
//!
//! Red and green are told apart by dashes and by their words as well as by colour, since the page may be printed in grey and read
//! by somebody who does not tell the colours apart.

use kurbo::Rect;

use crate::balance::words;
use crate::eye::{Clarity, Curve as EyeCurve, CurvePoint, LensErrors};
use crate::quantity::{Dioptres, Length};
use crate::report::Expectation;
use crate::report::{CLARITY, LEFT_OUT};
use crate::scene::look::{self, BALANCE, BODY, GRID_MM, QUIET, SMALL, TITLE};
use crate::scene::{Anchor, Axis, Canvas, Curve, Metadata, Plot, Scene, Series, Ticks, Word};

/// The figure's width, and the height of its plot whatever is said beneath: as wide as the text of a sheet of A4.
const WIDTH_MM: f64 = 178.0;
const PLOT_MM: f64 = 104.0;
const MARGIN_MM: f64 = 4.0 * GRID_MM;

/// Between the columns of figures.
const GUTTER_MM: f64 = 4.0 * GRID_MM;

/// Lens errors between two points of a line, in dioptres.
const SAMPLED_D: f64 = 0.01;

/// How far a word stands from the end of its line, as a share of the axis.
const ASIDE: f64 = 0.01;

/// The clarity that a word's height takes.
const WORD_HIGH: f64 = 0.07;

/// Clarity against lens error as one figure.
#[derive(Debug, Clone)]
pub struct CurvePage {
    /// The figure.
    pub scene: Scene,
}

impl CurvePage {
    /// Draws the lines between the first and the last of some points, marked there, as far as letters can be read.
    #[must_use]
    pub fn new(curve: &EyeCurve<'_>, points: &[CurvePoint], expectation: &Expectation) -> Self {
        let (left, right) = (MARGIN_MM, WIDTH_MM - MARGIN_MM);
        let mut canvas = Canvas::default();
        let place = Rect::new(left, MARGIN_MM, right, MARGIN_MM + PLOT_MM);
        plot(curve, points, expectation).draw(&mut canvas, place);
        let below = figures(&mut canvas, expectation, [left, right], place.y1 + 2.0 * GRID_MM);
        let bottom = basis(&mut canvas, expectation, [left, right], below + 1.5 * GRID_MM);
        Self {
            scene: Scene {
                size: [WIDTH_MM, bottom + MARGIN_MM].map(Length::mm),
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

/// The figures that are read first, each over what it is; says where they end below.
fn figures(canvas: &mut Canvas, expectation: &Expectation, [left, right]: [f64; 2], top: f64) -> f64 {
    let width = (right - left - 2.0 * GUTTER_MM) / 3.0;
    let columns = (0_u8..).map(|column| left + f64::from(column) * (width + GUTTER_MM));
    columns.zip(expectation.figures()).fold(top, |lowest, (left, figure)| {
        let below = canvas.paragraph(&figure.value, TITLE, [left, top], width);
        lowest.max(canvas.paragraph(&figure.of, BODY.in_paint(QUIET), [left, below], width))
    })
}

/// What to do where clicks tell little, and quietly what all this was computed for.
fn basis(canvas: &mut Canvas, expectation: &Expectation, [left, right]: [f64; 2], top: f64) -> f64 {
    let width = right - left;
    let advised = expectation.advice().map_or(top, |advice| {
        canvas.paragraph(&advice, BODY.in_paint(BALANCE), [left, top], width) + GRID_MM / 2.0
    });
    let basis = format!("{} {CLARITY} {LEFT_OUT} {}", expectation.basis(), words::SUPERVISION);
    canvas.paragraph(&basis, SMALL, [left, advised], width)
}

/// A place on the plot: lens error in dioptres, clarity.
type At = [f64; 2];

fn plot(curve: &EyeCurve<'_>, points: &[CurvePoint], expectation: &Expectation) -> Plot {
    let [from, to] =
        [points.first(), points.last()].map(|point| point.map_or(0.0, |point| point.lens_error_d));
    let row = sampled(from, to);
    let asked: Vec<Read> = points.iter().map(|point| (point.lens_error_d, point.clarity)).collect();
    let fine: Vec<Read> = row.iter().map(Dioptres::to_d).zip(curve.clarities(row)).collect();
    let aside = ASIDE * (to - from);
    let named = |series: Series, field: usize, text: &str, right: bool| {
        let points_of = read(&fine, field);
        let end = if right { points_of.last() } else { points_of.first() };
        let [at, clarity] = end.copied().unwrap_or_default();
        // Where a line runs to the axis's end its name stands over it, else beside it.
        let is_whole = (at - if right { to } else { from }).abs() < SAMPLED_D / 2.0;
        let (outward, anchor) =
            if right == is_whole { (-aside, Anchor::Right) } else { (aside, Anchor::Left) };
        let (at, clarity) = (at + outward, clarity + if is_whole { WORD_HIGH } else { 0.0 });
        let marks = if series == Series::Beside { Vec::new() } else { read(&asked, field) };
        let text = if points_of.is_empty() { "" } else { text };
        let word = Word { text: text.into(), at: [at, clarity], anchor };
        Curve { series, points: points_of, marks, word }
    };
    let mut curves = vec![
        named(Series::Beside, 2, "white", true),
        named(Series::Middle, 1, "green", false),
        named(Series::Long, 0, "red", true),
    ];
    curves.extend(level(&fine).map(|level| level_line(level, [from, to])));
    let balance = expectation.prediction.balance_d.filter(|at| (from..=to).contains(at));
    curves.extend(balance.map(|at| balance_line(at, aside)));
    Plot {
        title: message(expectation),
        axes: [
            Axis {
                title: "lens error in D: plus is too much plus".into(),
                from,
                to,
                signed: true,
                ticks: Ticks::Dioptres,
            },
            Axis { title: "clarity".into(), from: 0.0, to: 1.1, signed: false, ticks: Ticks::Decimal },
        ],
        curves,
        source: String::new(),
    }
}

/// The clarity from which letters are read; both measures are sums of the same terms, so it is one for all lens errors.
fn level(points: &[Read]) -> Option<f64> {
    let clearest = points.iter().map(|(_, [red, ..])| red).filter(|clarity| clarity.legibility() > 0.0);
    clearest.map(|clarity| clarity.value() / clarity.legibility()).next()
}

/// A level line from which on letters are read.
fn level_line(level: f64, [from, to]: [f64; 2]) -> Curve {
    let text = format!("letters are read from {level:.2} up");
    // Under the line where there is room.
    let up = if level > WORD_HIGH { level - 0.7 * WORD_HIGH } else { level + 0.3 * WORD_HIGH };
    Curve {
        series: Series::Beside,
        points: vec![[from, level], [to, level]],
        marks: Vec::new(),
        word: Word { text, at: [from + ASIDE * (to - from), up], anchor: Anchor::Left },
    }
}

/// An upright line where the sides balance, its word aside of it.
fn balance_line(at: f64, aside: f64) -> Curve {
    let text = format!("balance {}: each by its own best", Dioptres::new(at));
    Curve {
        series: Series::Balance,
        points: vec![[at, 0.0], [at, 1.0]],
        marks: Vec::new(),
        word: Word { text, at: [at + aside, 1.03], anchor: Anchor::Left },
    }
}

/// A lens error in dioptres with the clarity of red, green and white.
type Read = (f64, [Clarity; 3]);

/// The points at which a field's letters can be read.
fn read(points: &[Read], field: usize) -> Vec<At> {
    let readable = points.iter().filter(|(_, clarity)| clarity[field].readable());
    readable.map(|(at, clarity)| [*at, clarity[field].value()]).collect()
}

fn message(expectation: &Expectation) -> String {
    let pupil = &expectation.pupil;
    match expectation.prediction.noticed_steps_per_click {
        Some(_) if expectation.advice().is_some() => format!("Pupil {pupil}: one click hardly shows"),
        Some(_) => format!("Pupil {pupil}: one click shows plainly"),
        None => format!("Pupil {pupil}: the sides do not balance while both can be read"),
    }
}

/// Lens errors from one to another, both ends among them.
fn sampled(from: f64, to: f64) -> LensErrors {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some hundred")]
    let parts = ((to - from) / SAMPLED_D).round().max(1.0) as usize;
    let step = Dioptres::new((to - from) / parts as f64);
    LensErrors { from: Dioptres::new(from), step, count: parts + 1 }
}
