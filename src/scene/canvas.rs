//! A scene as it grows: lines, words and boxes in one place.
//!
//! Words are measured before they are set, so paragraphs break where they really end, and a place below is known from the place
//! above.

use kurbo::{BezPath, Point, Rect, RoundedRect, Shape as _};

use super::look::{HAIRLINE, HAIRLINE_MM, Style};
use super::{Geometry, Image, Line, Paint, Shape, Text};

/// Width and height of a bank card in millimetres, and the radius of its corners, which may be 2.88 to 3.48: ISO/IEC 7810,
/// ID-1.
pub const CARD_MM: [f64; 2] = [85.60, 53.98];
const CARD_CORNER_MM: f64 = 3.18;

/// How far its corners may stray from true arcs.
const CARD_TOLERANCE_MM: f64 = 1e-3;

/// Which part of some words stands at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Their left end.
    Left,
    /// Their middle.
    Centre,
    /// Their right end.
    Right,
    /// The end of the first number's whole part, so that the numbers of a column line up at the decimal point.
    Point,
}

/// A canvas that shapes are added to; lengths and places are in millimetres from the upper left corner.
#[derive(Debug, Clone, Default)]
pub struct Canvas {
    /// The shapes so far.
    pub shapes: Vec<Shape>,
}

impl Canvas {
    /// An area of any form.
    pub fn path(&mut self, path: BezPath, paint: Paint) {
        self.shapes.push(Shape { geometry: Geometry::Path(path), paint });
    }

    /// A rectangle by its left, top, right and bottom.
    pub fn rect(&mut self, [left, top, right, bottom]: [f64; 4], paint: Paint) {
        let geometry = Geometry::Rect(Rect::new(left, top, right, bottom));
        self.shapes.push(Shape { geometry, paint });
    }

    /// Pixels.
    pub fn image(&mut self, image: Image) {
        self.shapes.push(Shape { geometry: Geometry::Image(image), paint: super::look::NIGHT });
    }

    /// A line.
    pub fn line(&mut self, line: Line, paint: Paint) {
        self.shapes.push(Shape { geometry: Geometry::Line(line), paint });
    }

    /// A straight line without breaks.
    pub fn straight(&mut self, from: impl Into<Point>, to: impl Into<Point>, width: f64, paint: Paint) {
        let mut path = BezPath::new();
        path.move_to(from);
        path.line_to(to);
        self.line(Line { path, width, dashes: Vec::new() }, paint);
    }

    /// A hairline across.
    pub fn rule(&mut self, left: f64, right: f64, y: f64) {
        self.straight((left, y), (right, y), HAIRLINE_MM, HAIRLINE);
    }

    /// The outline of a bank card ([`CARD_MM`]) from its upper left corner: a ring whose outer edge is the card's.
    pub fn card(&mut self, [left, top]: [f64; 2], line: f64, paint: Paint) {
        let [width, height] = CARD_MM;
        let ring = |inset: f64| {
            let (right, bottom) = (left + width - inset, top + height - inset);
            RoundedRect::new(left + inset, top + inset, right, bottom, CARD_CORNER_MM - inset)
                .to_path(CARD_TOLERANCE_MM)
        };
        let mut outline = ring(0.0);
        outline.extend(ring(line).reverse_subpaths());
        self.path(outline, paint);
    }

    /// Words on one line, anchored at a place on their baseline.
    pub fn write(&mut self, words: &str, style: Style, anchor: Anchor, [x, baseline]: [f64; 2]) {
        let text = Text::new(words, style.face, style.em);
        let geometry = Geometry::Text(text.at(x - anchor.back(words, style), baseline));
        self.shapes.push(Shape { geometry, paint: style.paint });
    }
}

impl Anchor {
    /// How far words of a style begin before the place at which they are anchored, in millimetres.
    fn back(self, words: &str, style: Style) -> f64 {
        match self {
            Self::Left => 0.0,
            Self::Centre => run(words, style) / 2.0,
            Self::Right => run(words, style),
            Self::Point => run(whole_part(words), style),
        }
    }

    /// The box in which words of a style stand, from their ascenders to their descenders.
    pub(super) fn boxed(self, words: &str, style: Style, [x, baseline]: [f64; 2]) -> Rect {
        let (left, em) = (x - self.back(words, style), style.em.to_mm());
        Rect::new(left, baseline - ASCENT * em, left + run(words, style), baseline + DESCENT * em)
    }
}

/// How far letters reach over and under their line, in their size: those of the captions' fonts, rounded up.
const ASCENT: f64 = 0.78;
const DESCENT: f64 = 0.25;

/// How far words run in a style, in millimetres.
#[must_use]
pub fn run(words: &str, style: Style) -> f64 {
    Text::new(words, style.face, style.em).width().to_mm()
}

/// The text up to the end of its first digits; all of it if it has no digit.
fn whole_part(words: &str) -> &str {
    let Some(digit) = words.find(|letter: char| letter.is_ascii_digit()) else { return words };
    let end = words[digit..].find(|letter: char| !letter.is_ascii_digit());
    &words[..end.map_or(words.len(), |end| digit + end)]
}

/// Words on one line no longer than `room` millimetres, cut with an ellipsis where they are.
#[must_use]
pub fn fitted(words: &str, style: Style, room: f64) -> String {
    if run(words, style) <= room {
        return words.into();
    }
    let letters: Vec<char> = words.chars().collect();
    let cut = |count: usize| format!("{}…", letters[..count].iter().collect::<String>().trim_end());
    (0..letters.len()).rev().map(cut).find(|short| run(short, style) <= room).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::super::look::BODY;
    use super::*;

    #[test]
    fn numbers_line_up_at_their_points() {
        for (words, whole) in
            [("8.73 mm", "8"), ("−0.25 D", "−0"), ("147", "147"), ("± 3.1", "± 3"), ("none", "none")]
        {
            assert_eq!(whole_part(words), whole);
        }
    }

    #[test]
    fn what_is_too_long_is_cut() {
        assert_eq!(fitted("room 2", BODY, 40.0), "room 2");
        let cut = fitted(&"W".repeat(80), BODY, 40.0);
        assert!(cut.ends_with('…') && run(&cut, BODY) <= 40.0 && cut.len() > 8, "{cut}");
    }
}
