//! Plots: axes, curves, marks, and their names.
//!
//! Curves of a plot are told apart by dashes, by the form of their marks and by a word at each, and only then by colour: pages are
//! printed in grey. Ticks stand at round values, whatever is round for what is measured.

use kurbo::{BezPath, Circle, Point, Rect, Shape as _};

use super::look::{HAIRLINE_MM, HEADING, ON_PAPER, Palette, SMALL};
use super::placing::Placing;
use super::{Anchor, Canvas, Line, Paint, TextBlock};

/// Maximum number of intervals between an axis's ticks, and the least length of one in millimetres.
const MOST_INTERVALS: f64 = 6.0;
const INTERVAL_MM: f64 = 6.5;

/// The width of a curve and the half width of its marks, in millimetres.
const CURVE_MM: f64 = 0.5;
const MARK_MM: f64 = 0.9;

/// From tick to tick on an axis of dioptres.
const DIOPTRES: [f64; 4] = [0.25, 0.5, 1.0, 2.0];

/// A measure, from one end of the axis to the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What is measured, with its unit.
    pub title: String,
    /// The left or lower end.
    pub from: f64,
    /// The right or upper end.
    pub to: f64,
    /// Whether its numbers always have a sign and zero has a line of its own, unless the plot has one of balance.
    pub signed: bool,
    /// Where ticks stand.
    pub ticks: Ticks,
}

/// Which values are round on an axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ticks {
    /// 1, 2 or 5 times a power of ten.
    Decimal,
    /// A click of 0.25 D, two of them, or whole dioptres.
    Dioptres,
    /// Just these.
    At(&'static [f64]),
}

/// A word that names a curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    /// The word.
    pub text: String,
    /// Where on the axes it stands.
    pub at: [f64; 2],
    /// Which part of it stands there.
    pub anchor: Anchor,
}

/// What a curve shows, which decides its colour, line and marks; a word names it as well.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Series {
    /// The red field: a solid line, round marks.
    Long,
    /// The green field: a dashed line, square marks.
    Middle,
    /// What is equal: a dotted line, diamonds.
    Balance,
    /// What is held beside them: a thin line, upright bars.
    Beside,
}

/// A line through points on the axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// What it is of.
    pub series: Series,
    /// Its points, from left to right.
    pub points: Vec<[f64; 2]>,
    /// Where marks stand.
    pub marks: Vec<[f64; 2]>,
    /// Its name.
    pub word: Word,
}

/// A plot with at most four curves. Its title says what it shows, in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// The message.
    pub title: String,
    /// Across and up.
    pub axes: [Axis; 2],
    /// The curves.
    pub curves: Vec<Curve>,
    /// What it rests on.
    pub source: String,
}

impl Series {
    const fn paint(self, palette: &Palette) -> Paint {
        match self {
            Self::Long => palette.long,
            Self::Middle => palette.middle,
            Self::Balance => palette.balance,
            Self::Beside => palette.quiet,
        }
    }

    fn line(self, path: BezPath) -> Line {
        let (width, dashes): (f64, &[f64]) = match self {
            Self::Long => (CURVE_MM, &[]),
            Self::Middle => (CURVE_MM, &[2.0, 1.0]),
            Self::Balance => (CURVE_MM, &[0.5, 0.8]),
            Self::Beside => (HAIRLINE_MM, &[]),
        };
        Line { path, width, dashes: dashes.to_vec() }
    }

    /// The area of a mark around a place.
    fn mark(self, at: Point) -> BezPath {
        let half = MARK_MM;
        match self {
            Self::Long => Circle::new(at, half).to_path(1e-3),
            Self::Middle => Rect::from_center_size(at, (1.8 * half, 1.8 * half)).to_path(1e-3),
            Self::Balance => {
                let half = 1.25 * half;
                let mut path = BezPath::new();
                path.move_to((at.x, at.y - half));
                [(at.x + half, at.y), (at.x, at.y + half), (at.x - half, at.y)]
                    .into_iter()
                    .for_each(|corner| path.line_to(corner));
                path.close_path();
                path
            }
            Self::Beside => Rect::from_center_size(at, (0.5 * half, 3.0 * half)).to_path(1e-3),
        }
    }
}

impl Axis {
    /// From one tick to the next on an axis of some length in millimetres.
    fn step(&self, length: f64) -> f64 {
        let least = (self.to - self.from) / (length / INTERVAL_MM).clamp(1.0, MOST_INTERVALS);
        let power = 10_f64.powf(least.log10().floor());
        let round = match self.ticks {
            Ticks::Decimal => [1.0, 2.0, 5.0, 10.0].map(|many| many * power).to_vec(),
            Ticks::Dioptres => DIOPTRES.to_vec(),
            Ticks::At(values) => values.windows(2).map(|pair| pair[1] - pair[0]).collect(),
        };
        // A part in a million for the rounding of powers.
        let is_enough = |step: &f64| *step >= least * 0.999_999;
        let last = round.last().copied().unwrap_or(1.0);
        round.into_iter().find(is_enough).unwrap_or(last)
    }

    /// The round values from one end of the axis to the other, at which ticks stand.
    fn ticks(&self, step: f64) -> Vec<f64> {
        if let Ticks::At(values) = self.ticks {
            return values.to_vec();
        }
        let mut tick = (self.from / step - 1e-6).ceil();
        let mut ticks = Vec::new();
        while tick * step <= self.to + 1e-6 * step {
            ticks.push(tick * step);
            tick += 1.0;
        }
        ticks
    }

    /// The same axis with its upper end at a tick.
    #[must_use]
    pub fn up_to_a_tick(self) -> Self {
        let step = self.step(f64::INFINITY);
        let to = (self.to / step - 1e-6).ceil() * step;
        Self { to, ..self }
    }

    fn label(&self, tick: f64, step: f64) -> String {
        // As many as the step itself has, up to hundredths.
        let is_whole = |many: f64| (step * many - (step * many).round()).abs() < 1e-6;
        let decimals = [1.0, 10.0].into_iter().position(is_whole).unwrap_or(2);
        let size = format!("{:.decimals$}", tick.abs());
        let nought = tick.abs() < step / 2.0;
        let sign = match (nought, tick < 0.0) {
            (false, true) => "−",
            (false, false) if self.signed => "+",
            _ => "",
        };
        format!("{sign}{size}")
    }

    /// The share of the axis's length that lies before a value.
    fn share(&self, value: f64) -> f64 {
        (value - self.from) / (self.to - self.from)
    }
}

impl Plot {
    /// Draws it into a rectangle of the canvas, on paper.
    pub fn draw(&self, canvas: &mut Canvas, within: Rect) {
        self.draw_on(&ON_PAPER, canvas, within);
    }

    /// The same on another ground.
    pub fn draw_on(&self, palette: &Palette, canvas: &mut Canvas, within: Rect) {
        self.framed(palette, canvas, within, self.around(within.width()));
    }

    /// Draws two into rectangles of one height, so that their boxes are equal whatever stands over and under them.
    pub fn draw_pair(pair: [&Self; 2], canvas: &mut Canvas, within: [Rect; 2]) {
        let around = [0, 1].map(|place| pair[place].around(within[place].width()));
        let most = [0, 1].map(|end| around[0][end].max(around[1][end]));
        for (plot, within) in pair.into_iter().zip(within) {
            plot.framed(&ON_PAPER, canvas, within, most);
        }
    }

    /// How high its title and its source stand at a width.
    fn around(&self, width: f64) -> [f64; 2] {
        [(&self.title, HEADING), (&self.source, SMALL)]
            .map(|(words, style)| TextBlock::new(words, style, width).height())
    }

    /// Draws it with so much kept free over and under it for title and source.
    fn framed(&self, palette: &Palette, canvas: &mut Canvas, within: Rect, [over, under]: [f64; 2]) {
        let (label, heading) = (SMALL.in_paint(palette.quiet), HEADING.in_paint(palette.ink));
        let small = SMALL.em.to_mm();
        canvas.paragraph(&self.title, heading, [within.x0, within.y0], within.width());
        let (top, source_top) = (within.y0 + over, within.y1 - under);
        canvas.paragraph(&self.source, label, [within.x0, source_top], within.width());
        // Below the area: tick labels and the axis title on one line each; left of it: tick labels.
        let area = Rect::new(
            within.x0 + 4.0 * small,
            top + 2.4 * small,
            within.x1 - 1.5 * small,
            source_top - 3.6 * small,
        );
        self.grid(palette, canvas, area);
        canvas.write(&self.axes[1].title, label, Anchor::Left, [within.x0, area.y0 - 1.2 * small]);
        canvas.write(&self.axes[0].title, label, Anchor::Right, [area.x1, area.y1 + 2.9 * small]);
        for curve in &self.curves {
            self.curve(palette, canvas, area, curve);
        }
        // Words last, so that no line crosses them out.
        let mut placing = self.taken(area, within);
        for Curve { series, word, .. } in self.curves.iter().filter(|curve| !curve.word.text.is_empty()) {
            let place = self.place(area, word.at);
            let style = SMALL.in_paint(series.paint(palette));
            let wished = word.anchor.boxed(&word.text, style, [place.x, place.y]);
            let place = place + placing.settle(wished, small);
            canvas.write(&word.text, style, word.anchor, [place.x, place.y]);
        }
    }

    /// Where no word may stand: on curves and their marks, and on the lines of nought.
    fn taken(&self, area: Rect, within: Rect) -> Placing {
        let small = SMALL.em.to_mm();
        let mut placing = Placing::within(Rect::new(area.x0, area.y0 - 1.2 * small, within.x1, area.y1));
        let [across, up] = &self.axes;
        let nought = |axis: &Axis| axis.signed && axis.from < 0.0 && axis.to > 0.0;
        if nought(across) {
            placing.avoid_line(self.place(area, [0.0, up.from]), self.place(area, [0.0, up.to]));
        }
        if nought(up) {
            placing.avoid_line(self.place(area, [across.from, 0.0]), self.place(area, [across.to, 0.0]));
        }
        for curve in &self.curves {
            for pair in curve.points.windows(2) {
                placing.avoid_line(self.place(area, pair[0]), self.place(area, pair[1]));
            }
            for mark in curve.marks.iter().filter(|mark| self.holds(**mark)) {
                placing.avoid(curve.series.mark(self.place(area, *mark)).bounding_box());
            }
        }
        placing
    }

    fn holds(&self, place: [f64; 2]) -> bool {
        self.axes.iter().zip(place).all(|(axis, value)| (-1e-9..=1.0 + 1e-9).contains(&axis.share(value)))
    }

    fn place(&self, area: Rect, [x, y]: [f64; 2]) -> Point {
        let [across, up] = &self.axes;
        Point::new(area.x0 + across.share(x) * area.width(), area.y1 - up.share(y) * area.height())
    }

    fn grid(&self, palette: &Palette, canvas: &mut Canvas, area: Rect) {
        let small = SMALL.em.to_mm();
        let [across, up] = &self.axes;
        let [along, upward] = [across.step(area.width()), up.step(area.height())];
        let label = SMALL.in_paint(palette.quiet);
        // One line stands out, and that of balance is the one.
        let has_balance = self.curves.iter().any(|curve| curve.series == Series::Balance);
        let stands_out = |axis: &Axis, tick: f64| axis.signed && tick.abs() < 1e-9 && !has_balance;
        let paint =
            |axis: &Axis, tick: f64| if stands_out(axis, tick) { palette.quiet } else { palette.hairline };
        for tick in up.ticks(upward) {
            let y = self.place(area, [across.from, tick]).y;
            canvas.straight((area.x0, y), (area.x1, y), HAIRLINE_MM, paint(up, tick));
            canvas.write(
                &up.label(tick, upward),
                label,
                Anchor::Right,
                [area.x0 - 0.6 * small, y + 0.36 * small],
            );
        }
        for tick in across.ticks(along) {
            let x = self.place(area, [tick, up.from]).x;
            canvas.straight((x, area.y0), (x, area.y1), HAIRLINE_MM, paint(across, tick));
            canvas.write(&across.label(tick, along), label, Anchor::Centre, [x, area.y1 + 1.4 * small]);
        }
        canvas.straight((area.x0, area.y1), (area.x1, area.y1), HAIRLINE_MM, palette.ink);
    }

    fn curve(&self, palette: &Palette, canvas: &mut Canvas, area: Rect, curve: &Curve) {
        let mut path = BezPath::new();
        for (index, point) in curve.points.iter().enumerate() {
            let place = self.place(area, *point);
            if index == 0 { path.move_to(place) } else { path.line_to(place) }
        }
        canvas.line(curve.series.line(path), curve.series.paint(palette));
        let marks = curve
            .marks
            .iter()
            .filter(|mark| self.holds(**mark))
            .map(|mark| curve.series.mark(self.place(area, *mark)));
        for mark in marks {
            canvas.path(mark, curve.series.paint(palette));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Geometry;

    fn axis(from: f64, to: f64, signed: bool) -> Axis {
        Axis { title: String::new(), from, to, signed, ticks: Ticks::Decimal }
    }

    #[test]
    fn ticks_are_round_and_within_the_axis() {
        let labels = |axis: Axis| {
            let step = axis.step(60.0);
            axis.ticks(step).iter().map(|tick| axis.label(*tick, step)).collect::<Vec<_>>()
        };
        assert_eq!(labels(axis(0.0, 255.0, false)), ["0", "50", "100", "150", "200", "250"]);
        assert_eq!(labels(axis(400.0, 780.0, false)), ["400", "500", "600", "700"]);
        assert_eq!(labels(axis(-1.0, 1.0, true)), ["−1.0", "−0.5", "0.0", "+0.5", "+1.0"]);
        assert_eq!(labels(axis(0.0, 0.3, false)), ["0.00", "0.05", "0.10", "0.15", "0.20", "0.25", "0.30"]);
    }

    #[test]
    fn ticks_of_dioptres_are_clicks_and_those_of_codes_are_as_given() {
        let labels = |axis: Axis, length: f64| {
            let step = axis.step(length);
            axis.ticks(step).iter().map(|tick| axis.label(*tick, step)).collect::<Vec<_>>()
        };
        let dioptres = |from, to| Axis { ticks: Ticks::Dioptres, ..axis(from, to, true) };
        assert_eq!(labels(dioptres(-0.5, 0.5), 100.0), ["−0.50", "−0.25", "0.00", "+0.25", "+0.50"]);
        assert_eq!(
            labels(dioptres(-1.5, 1.5), 100.0),
            ["−1.5", "−1.0", "−0.5", "0.0", "+0.5", "+1.0", "+1.5"]
        );
        assert_eq!(labels(dioptres(-3.0, 3.0), 100.0).len(), 7);
        let codes = Axis { ticks: Ticks::At(&[0.0, 64.0, 128.0, 192.0, 255.0]), ..axis(0.0, 255.0, false) };
        assert_eq!(labels(codes, 60.0), ["0", "64", "128", "192", "255"]);
    }

    /// A word that is wished for in the middle of another curve, and on the line of nought.
    #[test]
    fn a_curve_s_name_stands_clear_of_every_curve_and_of_nought() {
        let curve = |series, up: f64, text: &str, at| Curve {
            series,
            points: vec![[-1.0, up], [1.0, up]],
            marks: vec![[0.5, up]],
            word: Word { text: text.into(), at, anchor: Anchor::Centre },
        };
        let plot = Plot {
            title: String::new(),
            axes: [axis(-1.0, 1.0, true), axis(0.0, 1.0, false)],
            curves: vec![
                curve(Series::Long, 0.6, "red", [0.5, 0.58]),
                curve(Series::Middle, 0.5, "green", [0.0, 0.2]),
            ],
            source: String::new(),
        };
        let mut canvas = Canvas::default();
        let within = Rect::new(0.0, 0.0, 100.0, 80.0);
        plot.draw(&mut canvas, within);
        let drawn = |wanted: &str| {
            let mut outlines = canvas.shapes.iter().filter_map(|shape| match &shape.geometry {
                Geometry::Text(text) if text.words() == wanted => Some(text.outline().bounding_box()),
                Geometry::Text(_) | Geometry::Rect(_) | Geometry::Path(_) => None,
                Geometry::Line(_) | Geometry::Image(_) => None,
            });
            outlines.next_back().unwrap()
        };
        let curves: Vec<Rect> = canvas
            .shapes
            .iter()
            .filter_map(|shape| match &shape.geometry {
                Geometry::Line(line) if line.width > HAIRLINE_MM => Some(line.path.bounding_box()),
                Geometry::Text(_) | Geometry::Rect(_) | Geometry::Path(_) => None,
                Geometry::Line(_) | Geometry::Image(_) => None,
            })
            .collect();
        assert_eq!(curves.len(), 2);
        for name in ["red", "green"] {
            let place = drawn(name);
            // A level curve has no height of its own.
            let crossed = |curve: &Rect| (place.y0..=place.y1).contains(&curve.y0);
            assert!(!curves.iter().any(crossed), "{name} at {place:?}, curves {curves:?}");
            let nought = (curves[0].x0 + curves[0].x1) / 2.0;
            assert!(!(place.x0..=place.x1).contains(&nought), "{name} at {place:?}, nought at {nought}");
        }
    }

    #[test]
    fn an_axis_grows_to_its_next_tick() {
        assert!((axis(0.0, 178.3, false).up_to_a_tick().to - 200.0).abs() < 1e-9);
        assert!((axis(0.0, 1.0, false).up_to_a_tick().to - 1.0).abs() < 1e-9);
    }
}
