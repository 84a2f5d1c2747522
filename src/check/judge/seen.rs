use image::RgbImage;

use crate::check::alphabet::{Edge, Letter};
use crate::check::glyph::Glyph;
use crate::check::identify;
use crate::check::locate::{Fields, Ink};
use crate::check::measure::{self, Extent};
use crate::room::Display;

/// Everything on a chart that is measured.
pub(super) struct Seen {
    pub(super) size: [u32; 2],
    pub(super) fields: Fields,
    pub(super) rows: Vec<SeenRow>,
    pub(super) specks: usize,
    pub(super) stray: u64,
    /// How many letters a mirror would make readable or keep so, and how many are readable as they are.
    pub(super) readable_mirrored: usize,
    pub(super) readable: usize,
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
    /// Its left and right ends in the picture's columns.
    pub(super) ends: [f64; 2],
    pub(super) ink_cd_m2: f64,
}

impl SeenLetter {
    fn new(glyph: &Glyph, letter: Option<&'static Letter>) -> Self {
        let extent =
            letter.map_or_else(|| Extent::roughly(glyph), |letter| Extent::measure(glyph, letter.sides));
        let left = glyph.left + extent.left;
        Self {
            letter,
            extent,
            detail: letter.and_then(|letter| measure::detail(glyph, &extent, letter)),
            ends: [left, left + extent.width],
            ink_cd_m2: glyph.ink_cd_m2,
        }
    }

    /// Its name, or a question mark.
    pub(super) fn name(&self) -> &'static str {
        self.letter.map_or("?", |letter| letter.name)
    }

    /// Width and height in pixels; none where a gap opens to a side across, since nothing reaches it.
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
    pub(super) fn find(image: &RgbImage, display: &Display, alphabet: Option<&str>) -> Self {
        let fields = Fields::find(image);
        let ink = Ink::find(image, &fields, display);
        let cut = |field: usize, place| Glyph::cut(image, place, fields.codes[field], display);
        let glyphs: Vec<Vec<Vec<Glyph>>> = ink
            .rows
            .iter()
            .map(|row| {
                let in_field = |(field, places): (usize, &Vec<_>)| {
                    places.iter().map(|place| cut(field, *place)).collect()
                };
                row.letters.iter().enumerate().map(in_field).collect()
            })
            .collect();
        let all: Vec<Glyph> = glyphs.iter().flatten().flatten().cloned().collect();
        let mirrored: Vec<Glyph> = all.iter().map(Glyph::mirrored).collect();
        let readable = |glyphs: &[Glyph]| {
            let alphabet = identify::alphabet(glyphs, alphabet);
            glyphs.iter().filter(|glyph| identify::read(glyph, alphabet).is_some()).count()
        };
        let alphabet = identify::alphabet(&all, alphabet);
        let letter = |glyph: &Glyph| SeenLetter::new(glyph, identify::read(glyph, alphabet));
        let row = |fields: &Vec<Vec<Glyph>>| SeenRow {
            fields: fields.iter().map(|glyphs| glyphs.iter().map(letter).collect()).collect(),
        };
        Self {
            size: [image.width(), image.height()],
            rows: glyphs.iter().map(row).collect(),
            specks: ink.specks,
            stray: ink.stray,
            readable_mirrored: readable(&mirrored),
            readable: readable(&all),
            fields,
        }
    }

    /// Every letter with the number of its field.
    pub(super) fn letters(&self) -> impl Iterator<Item = (usize, &SeenLetter)> {
        self.rows.iter().flat_map(SeenRow::letters)
    }
}

impl SeenRow {
    /// Every letter of the row with the number of its field.
    pub(super) fn letters(&self) -> impl Iterator<Item = (usize, &SeenLetter)> {
        self.fields
            .iter()
            .enumerate()
            .flat_map(|(field, letters)| letters.iter().map(move |letter| (field, letter)))
    }
}
