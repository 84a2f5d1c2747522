//! Reading letters by which cells of the grid are ink.

use super::alphabet::{ALPHABETS, Alphabet, Letter};
use super::glyph::Glyph;
use super::measure::Extent;

/// Coverage at a cell's centre from which it is surely ink, and up to which it is surely paper.
const SURE: (f64, f64) = (0.65, 0.35);

/// How far the box of a letter may be from square; a ring's gap takes one part in a hundred.
const SQUARE: f64 = 0.25;

/// Where the middle of a ring's stroke lies towards a corner: 2 strokes from the centre, on the diagonal.
const ON_THE_DIAGONAL: f64 = 2.0 * std::f64::consts::FRAC_1_SQRT_2;

/// The places where a letter is probed, in strokes, in the order of its cells' characters.
fn probes() -> impl Iterator<Item = (f64, f64)> {
    let centre = |cell: u8| f64::from(cell) + 0.5;
    let grid = (0..5).flat_map(move |row| (0..5).map(move |column| (centre(column), centre(row))));
    let corners = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)];
    grid.chain(corners.map(|(x, y)| (2.5 + x * ON_THE_DIAGONAL, 2.5 + y * ON_THE_DIAGONAL)))
}

/// The letters of one alphabet that a glyph can be: one, if it is written well.
fn candidates<'a>(glyph: &Glyph, alphabet: &'a Alphabet) -> impl Iterator<Item = &'a Letter> {
    let extent = Extent::roughly(glyph);
    let square = (extent.width / extent.height - 1.0).abs() < SQUARE;
    let seen: Vec<f64> =
        probes().map(|(x, y)| extent.place(x, y)).map(|(x, y)| glyph.between(x, y)).collect();
    alphabet.letters.iter().filter(move |letter| square && looks_like(letter, &seen))
}

fn looks_like(letter: &Letter, seen: &[f64]) -> bool {
    letter.cells.iter().flat_map(|row| row.chars()).zip(seen).all(|(cell, coverage)| match cell {
        '#' => *coverage >= SURE.0,
        '.' => *coverage <= SURE.1,
        _ => true,
    })
}

/// What a glyph is in an alphabet; nothing where it is none or could be several.
pub(super) fn read(glyph: &Glyph, alphabet: &'static Alphabet) -> Option<&'static Letter> {
    let mut found = candidates(glyph, alphabet);
    found.next().filter(|_| found.next().is_none())
}

/// The alphabet of that name, or else the first of those that read most of the glyphs.
pub(super) fn alphabet(glyphs: &[Glyph], name: Option<&str>) -> &'static Alphabet {
    let named = name.and_then(|name| ALPHABETS.iter().find(|alphabet| alphabet.name == name));
    let read_by =
        |alphabet: &'static Alphabet| glyphs.iter().filter(|glyph| read(glyph, alphabet).is_some()).count();
    named.unwrap_or_else(|| {
        ALPHABETS.iter().rev().max_by_key(|alphabet| read_by(alphabet)).expect("there are alphabets")
    })
}
