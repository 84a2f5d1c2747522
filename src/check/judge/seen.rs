//! What was seen in a picture, before it is judged.

use image::RgbImage;

use crate::check::alphabet::{Alphabet, Edge, Letter};
use crate::check::glyph::Glyph;
use crate::check::identify::{self, Look, Readable};
use crate::check::locate::{Fields, Ink, Mark, Row};
use crate::check::measure::{self, Extent, FirstEdges};
use crate::check::patch::Patch;
use crate::check::shape;
use crate::room::Display;

/// Everything on a chart that is measured.
pub(super) struct Seen {
    pub(super) size: [u32; 2],
    pub(super) fields: Fields,
    /// The share of each field's light that one code makes, which limits how exactly edges can be placed.
    pub(super) code_step: Vec<f64>,
    pub(super) rows: Vec<SeenRow>,
    pub(super) marks: Vec<Mark>,
    pub(super) tinted: u64,
    pub(super) crowded: bool,
    pub(super) readable: Readable,
}

/// A row of letters, by field from the left.
pub(super) struct SeenRow {
    pub(super) fields: Vec<Vec<SeenLetter>>,
}

/// One letter.
pub(super) struct SeenLetter {
    pub(super) letter: Option<&'static Letter>,
    pub(super) extent: Extent,
    /// The critical detail in pixels and its axis.
    pub(super) detail: Option<(f64, Option<usize>)>,
    /// Its left and right ends in the picture's columns, its upper and lower in its rows.
    pub(super) ends: [f64; 2],
    pub(super) tips: [f64; 2],
    /// Where ink is missing (below zero) or surplus, as a share of a square stroke.
    pub(super) departure: Option<f64>,
    pub(super) ink_cd_m2: f64,
}

/// A letter cut out of the picture, before it is read.
struct Cut {
    glyph: Glyph,
    edges: FirstEdges,
    look: Option<Look>,
}

impl Cut {
    /// The letters of a row, by field.
    fn row(image: &RgbImage, row: &Row, fields: &Fields, display: &Display) -> Vec<Vec<Self>> {
        let cut = |place: &Patch, field: [u8; 3]| {
            let glyph = Glyph::cut(image, *place, field, display);
            let edges = FirstEdges::find(&glyph);
            Self { look: Look::at(&glyph, &edges), glyph, edges }
        };
        let in_field = |(places, field): (&Vec<Patch>, &[u8; 3])| {
            places.iter().map(|place| cut(place, *field)).collect()
        };
        row.letters.iter().zip(&fields.codes).map(in_field).collect()
    }
}

impl SeenLetter {
    fn new(Cut { glyph, edges, look }: &Cut, alphabet: &'static Alphabet, aspect: f64) -> Self {
        let letter = look.as_ref().and_then(|look| look.read(alphabet));
        let extent = letter.map_or_else(
            || Extent::roughly(glyph, edges),
            |letter| Extent::measure(glyph, edges, letter.sides),
        );
        let whole = letter.map_or(extent, |letter| extent.squared(glyph, letter.sides, aspect));
        let (left, top) = (glyph.left + extent.left, glyph.top + whole.top);
        Self {
            letter,
            extent,
            detail: letter.and_then(|letter| measure::detail(glyph, &extent, letter)),
            ends: [left, left + extent.width],
            tips: [top, top + whole.height],
            departure: letter.map(|letter| shape::departure(glyph, &whole, letter)),
            ink_cd_m2: glyph.ink_cd_m2,
        }
    }

    /// Its name, or a question mark.
    pub(super) fn name(&self) -> &'static str {
        self.letter.map_or("?", |letter| letter.name)
    }

    /// Width and height in pixels; none along an axis on which a gap opens to a side, since no ink reaches that side.
    pub(super) fn sizes(&self) -> [Option<f64>; 2] {
        let open = |border: usize| self.letter.is_some_and(|letter| letter.sides[border] == Edge::Open);
        let width = if open(1) || open(3) { None } else { Some(self.extent.width) };
        let height = if open(0) || open(2) { None } else { Some(self.extent.height) };
        [width, height]
    }

    /// The stroke that its size implies, in pixels.
    pub(super) fn stroke_px(&self) -> f64 {
        let sizes: Vec<f64> = self.sizes().into_iter().flatten().collect();
        sizes.iter().copied().fold(f64::INFINITY, f64::min) / measure::GRID
    }
}

impl Seen {
    /// `aspect` is a pixel's height over its width.
    pub(super) fn find(image: &RgbImage, display: &Display, alphabet: Option<&str>, aspect: f64) -> Self {
        let fields = Fields::find(image);
        let ink = Ink::find(image, &fields, display);
        let cuts: Vec<Vec<Vec<Cut>>> =
            ink.rows.iter().map(|row| Cut::row(image, row, &fields, display)).collect();
        let looks: Vec<&Look> = cuts.iter().flatten().flatten().filter_map(|cut| cut.look.as_ref()).collect();
        let (alphabet, readable) = identify::alphabet(&looks, alphabet);
        let letters =
            |cuts: &Vec<Cut>| cuts.iter().map(|cut| SeenLetter::new(cut, alphabet, aspect)).collect();
        let row = |row: &Vec<Vec<Cut>>| SeenRow { fields: row.iter().map(letters).collect() };
        Self {
            size: [image.width(), image.height()],
            rows: cuts.iter().map(row).collect(),
            marks: ink.marks,
            tinted: ink.tinted,
            crowded: ink.crowded,
            readable,
            code_step: fields.codes.iter().map(|codes| code_step(*codes, display)).collect(),
            fields,
        }
    }

    /// Every letter with the number of its field.
    pub(super) fn letters(&self) -> impl Iterator<Item = (usize, &SeenLetter)> {
        self.rows.iter().flat_map(SeenRow::letters)
    }
}

/// By how much the next darker codes are darker than a field, as a share of its light.
fn code_step(codes: [u8; 3], display: &Display) -> f64 {
    let darker = codes.map(|code| code.saturating_sub(1));
    1.0 - display.luminance(darker) / display.luminance(codes)
}

impl SeenRow {
    /// Every letter of the row with the number of its field.
    pub(super) fn letters(&self) -> impl Iterator<Item = (usize, &SeenLetter)> {
        self.fields
            .iter()
            .enumerate()
            .flat_map(|(field, letters)| letters.iter().map(move |letter| (field, letter)))
    }

    /// The least of a measure over its letters, and the largest.
    fn range(&self, measure: impl Fn(&SeenLetter) -> f64) -> [f64; 2] {
        self.letters().fold([f64::INFINITY, f64::NEG_INFINITY], |[least, most], (_, letter)| {
            let value = measure(letter);
            [least.min(value), most.max(value)]
        })
    }

    /// The left end of its first letter and the right end of its last, on whichever fields.
    pub(super) fn ends(&self) -> [f64; 2] {
        [self.range(|letter| letter.ends[0])[0], self.range(|letter| letter.ends[1])[1]]
    }

    /// Its upper and its lower end.
    pub(super) fn tips(&self) -> [f64; 2] {
        [self.range(|letter| letter.tips[0])[0], self.range(|letter| letter.tips[1])[1]]
    }

    pub(super) fn height(&self) -> f64 {
        let [top, bottom] = self.tips();
        bottom - top
    }

    pub(super) fn middle(&self) -> f64 {
        let [top, bottom] = self.tips();
        (top + bottom) / 2.0
    }

    /// How far its letters' middles lie apart up and down, in pixels.
    pub(super) fn unevenness(&self) -> f64 {
        let [highest, lowest] = self.range(|letter| (letter.tips[0] + letter.tips[1]) / 2.0);
        lowest - highest
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::room::Room;

    #[test]
    fn a_step_of_codes_takes_its_share_of_the_light() {
        let display = &Room::demo().display;
        for code in [1, 10, 100, 255_u8] {
            let step = code_step([code; 3], display);
            let [light, darker] = [code, code - 1].map(|code| display.luminance([code; 3]).to_cd_m2());
            assert!(step > 0.0 && (light * (1.0 - step) - darker).abs() < 1e-9, "{code}: {step}");
        }
        // A whole step of light is less where there is more of it, and there is none below black.
        assert!(code_step([10; 3], display) > code_step([100; 3], display));
        assert!(code_step([0; 3], display).abs() < 1e-12);
    }
}
