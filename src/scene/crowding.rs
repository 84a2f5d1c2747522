//! What a reader of a page would stumble over: words over words or pictures, lines through words, words beyond the sheet, type too
//! small to read.
//!
//! Pages measure before they draw; this looks at what was drawn, whoever drew it, and so holds a page that measured wrongly.

use std::fmt;

use kurbo::{BezPath, Line as Straight, ParamCurve as _, PathSeg, Point, Rect, Shape as _};

use super::look::{HAIRLINE, HAIRLINE_AT_NIGHT};
use super::placing::crosses;
use super::{Geometry, Paint, Scene, Text};
use crate::quantity::Length;

/// Pieces in which a bent line is looked at.
const PIECES: u8 = 8;

/// How far a line may reach into a word's box without touching its ink, in millimetres: half a hairline.
const GRAZE_MM: f64 = 0.125;

/// The least air over and under letters, as a share of their em: lines of a paragraph have two and a half times as much between
/// them.
const AIR: f64 = 0.08;

/// Something that a reader would stumble over.
#[derive(Debug, Clone, PartialEq)]
pub enum Crowding {
    /// Words that lie on other words, or touch them from above or below.
    Overlap(String, String),
    /// Words that lie on a picture.
    OnPicture(String),
    /// Words that a line runs through; quiet grids do not count.
    Crossed(String),
    /// Words that leave the sheet's margin.
    Outside(String),
    /// Words that are smaller than the least size.
    Small(String, Length),
}

impl fmt::Display for Crowding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Overlap(one, other) => write!(f, "{one:?} lies on {other:?}"),
            Self::OnPicture(words) => write!(f, "{words:?} lies on a picture"),
            Self::Crossed(words) => write!(f, "a line runs through {words:?}"),
            Self::Outside(words) => write!(f, "{words:?} leaves the margin"),
            Self::Small(words, em) => write!(f, "{words:?} has only {:.1} pt", em.to_points()),
        }
    }
}

/// Words and the box of their ink.
struct Set<'a> {
    text: &'a Text,
    ink: Rect,
}

impl Scene {
    /// Whatever a reader would stumble over where words keep `margin` to every side of the sheet and are no smaller than `least`.
    ///
    /// ```
    /// # use evenfield::quantity::Length;
    /// # use evenfield::scene::{Anchor, Canvas, Crowding, Metadata, Scene, look};
    /// let mut canvas = Canvas::default();
    /// canvas.write("red", look::BODY, Anchor::Left, [20.0, 20.0]);
    /// canvas.write("green", look::BODY, Anchor::Left, [22.0, 20.0]);
    /// let size = [Length::mm(100.0); 2];
    /// let scene = Scene { size, background: look::BARE, shapes: canvas.shapes, metadata: Metadata::default() };
    /// let found = scene.crowding(Length::mm(14.0), Length::points(8.0));
    /// assert_eq!(found, [Crowding::Overlap("green".into(), "red".into())]);
    /// ```
    #[must_use]
    pub fn crowding(&self, margin: Length, least: Length) -> Vec<Crowding> {
        let [width, height] = self.size.map(Length::to_mm);
        let sheet = Rect::new(0.0, 0.0, width, height).inset(GRAZE_MM - margin.to_mm());
        let words = self.words();
        let mut found = Vec::new();
        for (place, Set { text, ink }) in words.iter().enumerate() {
            let said = || text.words().to_owned();
            let airy = |set: &Set<'_>| set.ink.inflate(0.0, AIR * set.text.em().to_mm());
            let own = airy(&words[place]);
            let overlaps = words[..place].iter().filter(|other| airy(other).intersect(own).area() > 0.0);
            found.extend(overlaps.map(|other| Crowding::Overlap(said(), other.text.words().into())));
            found.extend((!sheet.contains_rect(*ink)).then(|| Crowding::Outside(said())));
            let is_small = text.em().to_mm() < least.to_mm() * 0.999;
            found.extend(is_small.then(|| Crowding::Small(said(), text.em())));
            found.extend(self.is_crossed(*ink).then(|| Crowding::Crossed(said())));
            found.extend(self.is_on_picture(*ink).then(|| Crowding::OnPicture(said())));
        }
        found
    }

    fn words(&self) -> Vec<Set<'_>> {
        let texts = self.shapes.iter().filter_map(|shape| match &shape.geometry {
            Geometry::Text(text) => Some(text),
            Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Image(_) => None,
        });
        let sets = texts.map(|text| Set { text, ink: text.outline().bounding_box() });
        sets.filter(|set| set.ink.area() > 0.0).collect()
    }

    fn is_crossed(&self, ink: Rect) -> bool {
        let ink = ink.inset(-GRAZE_MM);
        self.shapes.iter().filter(|shape| !is_grid(shape.paint)).any(|shape| match &shape.geometry {
            Geometry::Line(line) => pieces(&line.path).any(|piece| crosses(piece, ink)),
            Geometry::Rect(_) | Geometry::Path(_) | Geometry::Text(_) | Geometry::Image(_) => false,
        })
    }

    fn is_on_picture(&self, ink: Rect) -> bool {
        self.shapes.iter().any(|shape| match &shape.geometry {
            Geometry::Image(image) => image.place.intersect(ink).area() > 0.0,
            Geometry::Rect(_) | Geometry::Path(_) | Geometry::Text(_) | Geometry::Line(_) => false,
        })
    }
}

/// Whether a paint is that of quiet grids, by day or by night.
fn is_grid(paint: Paint) -> bool {
    [HAIRLINE, HAIRLINE_AT_NIGHT].contains(&paint)
}

/// A path in straight pieces.
fn pieces(path: &BezPath) -> impl Iterator<Item = Straight> {
    path.segments().flat_map(|segment| {
        let count = if matches!(segment, PathSeg::Line(_)) { 1 } else { PIECES };
        let at = move |place: u8| -> Point { segment.eval(f64::from(place) / f64::from(count)) };
        (0..count).map(move |place| Straight::new(at(place), at(place + 1)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::look::{BARE, BODY, INK};
    use crate::scene::{Anchor, Canvas, Metadata};

    fn found(draw: impl Fn(&mut Canvas)) -> Vec<String> {
        let mut canvas = Canvas::default();
        canvas.write("name", BODY, Anchor::Left, [40.0, 50.0]);
        draw(&mut canvas);
        let size = [Length::mm(100.0); 2];
        let scene = Scene { size, background: BARE, shapes: canvas.shapes, metadata: Metadata::default() };
        scene.crowding(Length::mm(14.0), Length::points(8.0)).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_page_with_air_has_nothing() {
        let air = |canvas: &mut Canvas| {
            canvas.write("name", BODY, Anchor::Left, [40.0, 50.0 + BODY.leading()]);
            canvas.straight((20.0, 51.5), (80.0, 51.5), 0.25, INK);
            canvas.rule(20.0, 80.0, 49.0);
        };
        assert_eq!(found(air), Vec::<String>::new());
    }

    #[test]
    fn each_kind_is_found() {
        assert_eq!(
            found(|canvas| canvas.straight((20.0, 40.0), (80.0, 60.0), 0.25, INK)),
            [r#"a line runs through "name""#]
        );
        assert_eq!(
            found(|canvas| canvas.write("edge", BODY, Anchor::Left, [80.0, 30.0])),
            [r#""edge" leaves the margin"#]
        );
        let small = crate::scene::look::Style { em: Length::points(7.6), ..BODY };
        assert_eq!(
            found(|canvas| canvas.write("small", small, Anchor::Left, [40.0, 30.0])),
            [r#""small" has only 7.6 pt"#]
        );
    }
}
