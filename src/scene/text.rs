//! Words as outlines, measured before they are set.
//!
//! The caption font comes with a crate, so that every machine draws the same words. Letters of charts never come from it.

use ab_glyph::{Font, FontRef, GlyphId, OutlineCurve, Point as GlyphPoint};
use kurbo::{Affine, BezPath, Point};

use crate::quantity::Length;

/// A cut of DejaVu Sans, which a crate carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// For all that is read.
    Regular,
    /// For what is read first.
    Bold,
}

impl Face {
    /// The font file.
    #[must_use]
    pub fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => dejavu::sans::regular(),
            Self::Bold => dejavu::sans::bold(),
        }
    }

    /// The font, read.
    ///
    /// # Panics
    /// Never: a test reads both.
    #[must_use]
    pub fn font(self) -> FontRef<'static> {
        FontRef::try_from_slice(self.bytes()).expect("the crate carries whole fonts")
    }

    /// The em of which a digit is `height` high.
    ///
    /// Captions are specified by the height of a digit, which is what is read; a font by its em, which has air above and below.
    #[must_use]
    pub fn em_of_digits(self, height: Length) -> Length {
        let font = self.font();
        let digit = font
            .outline(font.glyph_id('0'))
            .map_or(1.0, |glyph| f64::from(glyph.bounds.height().abs()) / units_an_em(&font));
        Length::mm(height.to_mm() / digit)
    }
}

/// A glyph of a caption: the letter that it stands for, which glyph of the font, and how far to the next, in ems.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glyph {
    /// The letter.
    pub letter: char,
    /// Its number in the font.
    pub number: u16,
    /// Its advance in ems.
    pub advance: f64,
}

/// Words on one line, as they stand in the picture.
#[derive(Debug, Clone)]
pub struct Text {
    words: String,
    face: Face,
    em: f64,
    /// From millimetres right of the baseline's left end, and down from it, to the picture's.
    place: Affine,
}

impl Text {
    /// Words in a face whose em is `em` high, at the picture's origin.
    #[must_use]
    pub fn new(words: &str, face: Face, em: Length) -> Self {
        Self { words: words.into(), face, em: em.to_mm(), place: Affine::IDENTITY }
    }

    /// The same with the left end of its baseline at a place in millimetres.
    #[must_use]
    pub fn at(self, left: f64, baseline: f64) -> Self {
        Self { place: Affine::translate((left, baseline)), ..self }
    }

    /// The same after a change of place.
    #[must_use]
    pub fn moved(self, by: Affine) -> Self {
        Self { place: by * self.place, ..self }
    }

    /// What it says.
    #[must_use]
    pub fn words(&self) -> &str {
        &self.words
    }

    /// Its face.
    #[must_use]
    pub const fn face(&self) -> Face {
        self.face
    }

    /// The height of its em.
    #[must_use]
    pub const fn em(&self) -> Length {
        Length::mm(self.em)
    }

    /// Where it stands: from millimetres right of and below the left end of its baseline to the picture's.
    #[must_use]
    pub const fn place(&self) -> Affine {
        self.place
    }

    /// How far the words run.
    ///
    /// The sum of advances, so with the air that the last letter keeps to its right.
    #[must_use]
    pub fn width(&self) -> Length {
        Length::mm(self.glyphs().map(|glyph| glyph.advance).sum::<f64>() * self.em)
    }

    /// Its glyphs from left to right; they are not kerned.
    pub fn glyphs(&self) -> impl Iterator<Item = Glyph> {
        let font = self.face.font();
        self.words.chars().map(move |letter| {
            let id = font.glyph_id(letter);
            let advance = f64::from(font.h_advance_unscaled(id)) / units_an_em(&font);
            Glyph { letter, number: id.0, advance }
        })
    }

    /// Its outline, where it stands.
    #[must_use]
    pub fn outline(&self) -> BezPath {
        let font = self.face.font();
        let scale = self.em / units_an_em(&font);
        let mut outline = BezPath::new();
        let mut pen = 0.0;
        for glyph in self.glyphs() {
            // Font units grow upward; the scene grows downward.
            let place = self.place * Affine::new([scale, 0.0, 0.0, -scale, pen, 0.0]);
            if let Some(drawn) = font.outline(GlyphId(glyph.number)) {
                outline.extend(place * contours(&drawn.curves));
            }
            pen += glyph.advance * self.em;
        }
        outline
    }
}

fn units_an_em(font: &FontRef<'_>) -> f64 {
    f64::from(font.units_per_em().unwrap_or(1.0))
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

    fn of_digits(words: &str, height: f64) -> Text {
        Text::new(words, Face::Regular, Face::Regular.em_of_digits(Length::mm(height)))
    }

    #[test]
    fn digits_have_the_height_asked_for_and_stand_on_the_baseline() {
        let text = of_digits("00", 3.0).at(10.0, 20.0);
        let bounds = text.outline().bounding_box();
        assert!((bounds.height() - 3.0).abs() < 1e-6);
        // The nought of DejaVu Sans hangs 29 of its 1520 units below the line.
        assert!((bounds.y1 - 20.0).abs() < 0.1);
        assert!(bounds.x0 > 10.0 && bounds.x1 < 10.0 + text.width().to_mm());
    }

    #[test]
    fn a_nought_has_its_hole() {
        let nought = of_digits("0", 10.0).at(0.0, 10.0).outline();
        let middle = nought.bounding_box().center();
        assert_eq!(nought.winding(middle), 0);
    }

    #[test]
    fn both_faces_have_every_letter_that_reports_use() {
        for face in [Face::Regular, Face::Bold] {
            let text = Text::new("Aé0.31 D − ± × ′ λ cd/m² “the same” …", face, Length::mm(3.0));
            let missing: Vec<char> =
                text.glyphs().filter(|glyph| glyph.number == 0).map(|glyph| glyph.letter).collect();
            assert!(missing.is_empty(), "{face:?}: {missing:?}");
        }
    }
}
