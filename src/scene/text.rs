use ab_glyph::{Font, FontRef, OutlineCurve, Point as GlyphPoint};
use kurbo::{Affine, BezPath, Point};

use crate::quantity::Length;

/// A short caption as outlines of DejaVu Sans, on one line.
#[derive(Debug, Clone)]
pub struct Text {
    outline: BezPath,
    width: f64,
}

impl Text {
    /// Sets a caption whose digits are `height` high.
    ///
    /// # Panics
    /// Never: the font comes with a crate, and a test reads it.
    #[must_use]
    pub fn new(caption: &str, height: Length) -> Self {
        let font = FontRef::try_from_slice(dejavu::sans::regular()).expect("the crate carries a whole font");
        let digit =
            font.outline(font.glyph_id('0')).map_or(1.0, |glyph| f64::from(glyph.bounds.height().abs()));
        let scale = height.to_mm() / digit;
        let mut outline = BezPath::new();
        let mut width = 0.0;
        for letter in caption.chars() {
            let glyph = font.glyph_id(letter);
            // Font units grow upward; the scene grows downward.
            let place = Affine::new([scale, 0.0, 0.0, -scale, width, 0.0]);
            if let Some(drawn) = font.outline(glyph) {
                outline.extend(place * contours(&drawn.curves));
            }
            width += f64::from(font.h_advance_unscaled(glyph)) * scale;
        }
        Self { outline, width }
    }

    /// How far the caption runs.
    #[must_use]
    pub const fn width(&self) -> Length {
        Length::mm(self.width)
    }

    /// The outline with the left end of its baseline at a place in millimetres.
    #[must_use]
    pub fn at(&self, left: f64, baseline: f64) -> BezPath {
        Affine::translate((left, baseline)) * &self.outline
    }
}

/// A glyph's curves follow each other; a new contour starts wherever one does not begin at the end of the last.
fn contours(curves: &[OutlineCurve]) -> BezPath {
    let point = |point: GlyphPoint| Point::new(f64::from(point.x), f64::from(point.y));
    let mut path = BezPath::new();
    let mut pen = None;
    for curve in curves {
        let (OutlineCurve::Line(start, end)
        | OutlineCurve::Quad(start, _, end)
        | OutlineCurve::Cubic(start, _, _, end)) = curve;
        if pen != Some(*start) {
            if pen.is_some() {
                path.close_path();
            }
            path.move_to(point(*start));
        }
        match curve {
            OutlineCurve::Line(_, end) => path.line_to(point(*end)),
            OutlineCurve::Quad(_, control, end) => path.quad_to(point(*control), point(*end)),
            OutlineCurve::Cubic(_, first, second, end) => {
                path.curve_to(point(*first), point(*second), point(*end));
            }
        }
        pen = Some(*end);
    }
    path.close_path();
    path
}

#[cfg(test)]
mod tests {
    use kurbo::Shape;

    use super::*;

    #[test]
    fn digits_have_the_height_asked_for_and_stand_on_the_baseline() {
        let text = Text::new("00", Length::mm(3.0));
        let bounds = text.at(10.0, 20.0).bounding_box();
        assert!((bounds.height() - 3.0).abs() < 1e-6);
        // The nought of DejaVu Sans hangs 29 of its 1520 units below the line.
        assert!((bounds.y1 - 20.0).abs() < 0.1);
        assert!(bounds.x0 > 10.0 && bounds.x1 < 10.0 + text.width().to_mm());
    }

    #[test]
    fn a_nought_has_its_hole() {
        let nought = Text::new("0", Length::mm(10.0)).at(0.0, 10.0);
        let middle = nought.bounding_box().center();
        assert_eq!(nought.winding(middle), 0);
    }
}
