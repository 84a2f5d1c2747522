//! Shapes in millimetres and what paints them.
//!
//! A line becomes an area where a back end has no lines of its own, by one function for all.

use kurbo::{Affine, BezPath, Join, Rect, Stroke, StrokeOpts};

use super::{Image, Text};
use crate::quantity::Length;

/// How far a stroke's outline may stray from the true one, in millimetres: a hundredth of a pixel of 0.1 mm.
const STROKE_TOLERANCE_MM: f64 = 1e-3;

/// Device codes of red, green and blue, as they go to the screen; on paper they are those of sRGB.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Paint {
    /// Red, green, blue.
    pub codes: [u8; 3],
}

/// One painted area.
#[derive(Debug, Clone)]
pub struct Shape {
    /// Where it lies.
    pub geometry: Geometry,
    /// What paints it.
    pub paint: Paint,
}

/// Where a shape lies, in millimetres.
#[derive(Debug, Clone)]
pub enum Geometry {
    /// A rectangle along the picture's sides.
    Rect(Rect),
    /// Closed contours that do not cross; holes run against their surroundings.
    Path(BezPath),
    /// A line of some width, for plots and rules; never a letter of a chart.
    Line(Line),
    /// Words.
    Text(Text),
    /// Pixels, which bring their own colours.
    Image(Image),
}

/// A line with round joins and square-cut ends.
#[derive(Debug, Clone)]
pub struct Line {
    /// Its middle.
    pub path: BezPath,
    /// Its width in millimetres.
    pub width: f64,
    /// Lengths of dash and gap by turns, in millimetres; none: unbroken.
    pub dashes: Vec<f64>,
}

impl Line {
    /// The area that it covers. Where a line bends sharply the outline may lap over itself by part of its width.
    #[must_use]
    pub fn outline(&self) -> BezPath {
        let style = Stroke::new(self.width).with_caps(kurbo::Cap::Butt).with_join(Join::Round);
        let stroked =
            |path: BezPath| kurbo::stroke(path, &style, &StrokeOpts::default(), STROKE_TOLERANCE_MM);
        if self.dashes.is_empty() {
            return stroked(self.path.clone());
        }
        stroked(kurbo::dash(self.path.iter(), 0.0, &self.dashes).collect())
    }
}

impl Shape {
    /// The shape as it lies in a picture so wide once a mirror has exchanged left and right.
    #[must_use]
    pub fn mirrored(self, width: Length) -> Self {
        self.moved(Affine::new([-1.0, 0.0, 0.0, 1.0, width.to_mm(), 0.0]))
    }

    /// The shape after a change of place; a rectangle stays along the sides and a line evenly wide, so they take only moves,
    /// mirrors and other sizes.
    pub(super) fn moved(self, by: Affine) -> Self {
        let size = by.determinant().abs().sqrt();
        let geometry = match self.geometry {
            Geometry::Rect(rect) => Geometry::Rect(by.transform_rect_bbox(rect)),
            Geometry::Path(path) => Geometry::Path(by * path),
            Geometry::Line(line) => Geometry::Line(Line {
                path: by * line.path,
                width: size * line.width,
                dashes: line.dashes.into_iter().map(|dash| size * dash).collect(),
            }),
            Geometry::Text(text) => Geometry::Text(text.moved(by)),
            Geometry::Image(image) => {
                let place = by.transform_rect_bbox(image.place);
                let turned = by.as_coeffs()[0] < 0.0;
                Geometry::Image(if turned { image.mirrored_at(place) } else { Image { place, ..image } })
            }
        };
        Self { geometry, ..self }
    }
}
