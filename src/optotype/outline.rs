//! A pen that draws lines and circular arcs in strokes.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Arc, BezPath, PathEl, Point, Shape, Vec2};

/// How far kurbo's cubics may stray from a true arc, in strokes: at 100 pixels a stroke 1e-4 of a pixel.
const ARC_TOLERANCE: f64 = 1e-6;

/// An outline that is being drawn.
pub(super) struct Pen {
    path: BezPath,
}

impl Pen {
    pub(super) fn new() -> Self {
        Self { path: BezPath::new() }
    }

    /// Starts a contour.
    pub(super) fn at(mut self, x: f64, y: f64) -> Self {
        self.path.move_to((x, y));
        self
    }

    pub(super) fn line(mut self, x: f64, y: f64) -> Self {
        self.path.line_to((x, y));
        self
    }

    /// A circular arc around a centre from one angle to another; angles grow clockwise on the screen,
    /// from 0 at the right, and the arc joins the pen's place by a line.
    pub(super) fn arc(mut self, centre: (f64, f64), radius: f64, from: f64, to: f64) -> Self {
        let arc = Arc::new(Point::from(centre), Vec2::new(radius, radius), from, to - from, 0.0);
        for element in arc.path_elements(ARC_TOLERANCE) {
            match element {
                PathEl::MoveTo(start) if self.path.elements().is_empty() || self.closed() => {
                    self.path.move_to(start);
                }
                PathEl::MoveTo(start) => self.path.line_to(start),
                PathEl::LineTo(_) | PathEl::QuadTo(..) | PathEl::CurveTo(..) | PathEl::ClosePath => {
                    self.path.push(element);
                }
            }
        }
        self
    }

    /// A quarter of a circle, clockwise (`turn` 1) or against it (−1), starting at a number of quarters from the right.
    pub(super) fn quarters(self, centre: (f64, f64), radius: f64, from: f64, turn: f64) -> Self {
        self.arc(centre, radius, from * FRAC_PI_2, (from + turn) * FRAC_PI_2)
    }

    /// Ends a contour.
    pub(super) fn close(mut self) -> Self {
        self.path.close_path();
        self
    }

    fn closed(&self) -> bool {
        matches!(self.path.elements().last(), Some(PathEl::ClosePath))
    }

    pub(super) fn finish(self) -> BezPath {
        self.path
    }
}

/// The outline with these corners, clockwise on the screen.
pub(super) fn polygon(corners: &[(f64, f64)]) -> BezPath {
    let pen =
        corners[1..].iter().fold(Pen::new().at(corners[0].0, corners[0].1), |pen, (x, y)| pen.line(*x, *y));
    pen.close().finish()
}
