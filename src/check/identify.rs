//! Reading letters by which places of the grid are ink.
//!
//! A place counts for a letter only where all around it that letter is ink, or all is paper; slants and arcs leave it open.
//! A glyph that fits several letters, or none, is not read, and a mirror image is looked at as well, by which a picture that
//! was turned round is known.

use super::alphabet::{ALPHABETS, Alphabet, Letter};
use super::glyph::Glyph;
use super::measure::{Extent, FirstEdges, GRID};

/// The coverage from which a place is certainly ink, and the coverage up to which it is certainly paper.
const SURE: (f64, f64) = (0.65, 0.35);

/// A place tells two letters apart only if all of a patch this wide about it, in strokes, is ink or paper.
const PATCH: f64 = 0.6;

/// How far the box of a letter may be from square; a ring's gap takes one part in a hundred.
const SQUARE: f64 = 0.25;

/// Where the middle of a ring's stroke lies towards a corner: 2 strokes from the centre, on the diagonal.
const ON_THE_DIAGONAL: f64 = 2.0 * std::f64::consts::FRAC_1_SQRT_2;

/// The places where a letter is probed, in strokes.
fn probes() -> impl Iterator<Item = [f64; 2]> {
    let centre = |cell: u8| f64::from(cell) + 0.5;
    let grid = (0..5).flat_map(move |row| (0..5).map(move |column| [centre(column), centre(row)]));
    let corners = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)];
    grid.chain(corners.map(|(x, y)| [2.5 + x * ON_THE_DIAGONAL, 2.5 + y * ON_THE_DIAGONAL]))
}

/// What a letter has at the probes: ink, paper, or neither for certain.
pub(super) fn cells(letter: &Letter) -> impl Iterator<Item = Option<bool>> {
    let sure = |ink: f64| if ink > 0.99 { Some(true) } else { (ink < 0.01).then_some(false) };
    probes().map(move |place| sure(letter.ink(place, [PATCH; 2])))
}

/// What is seen of a glyph at the probes, as it stands and as a mirror shows it.
pub(super) struct Look {
    plain: Vec<f64>,
    mirrored: Vec<f64>,
}

impl Look {
    /// Probes a glyph; nothing where it is too far from square to be a letter.
    pub(super) fn at(glyph: &Glyph, edges: &FirstEdges) -> Option<Self> {
        let extent = Extent::roughly(glyph, edges);
        let seen = |x: f64, y: f64| {
            let (x, y) = extent.place(x, y);
            glyph.between(x, y)
        };
        let square = (extent.width / extent.height - 1.0).abs() < SQUARE;
        square.then(|| Self {
            plain: probes().map(|[x, y]| seen(x, y)).collect(),
            mirrored: probes().map(|[x, y]| seen(GRID - x, y)).collect(),
        })
    }

    /// Which letter of an alphabet the glyph is; none if it matches no letter or several.
    pub(super) fn read(&self, alphabet: &'static Alphabet) -> Option<&'static Letter> {
        only_match(&self.plain, alphabet)
    }

    /// Which letter its mirror image is.
    fn read_mirrored(&self, alphabet: &'static Alphabet) -> Option<&'static Letter> {
        only_match(&self.mirrored, alphabet)
    }
}

fn only_match(seen: &[f64], alphabet: &'static Alphabet) -> Option<&'static Letter> {
    let mut found = alphabet.letters.iter().filter(|letter| looks_like(letter, seen));
    found.next().filter(|_| found.next().is_none())
}

fn looks_like(letter: &Letter, seen: &[f64]) -> bool {
    cells(letter).zip(seen).all(|(cell, coverage)| match cell {
        Some(true) => *coverage >= SURE.0,
        Some(false) => *coverage <= SURE.1,
        None => true,
    })
}

/// How many of the glyphs can be read in their best alphabet, as they stand and mirrored.
pub(super) struct Readable {
    pub(super) plain: usize,
    pub(super) mirrored: usize,
}

/// The alphabet of that name, or else the first of those that read most of the glyphs; and how well they read.
pub(super) fn alphabet(looks: &[&Look], name: Option<&str>) -> (&'static Alphabet, Readable) {
    let named = name.and_then(|name| ALPHABETS.iter().position(|alphabet| alphabet.name == name));
    let possible = named.map_or(&ALPHABETS[..], |place| &ALPHABETS[place..=place]);
    let plain = |one: &'static Alphabet| looks.iter().filter(|look| look.read(one).is_some()).count();
    let mirrored =
        |one: &'static Alphabet| looks.iter().filter(|look| look.read_mirrored(one).is_some()).count();
    let best = possible.iter().rev().max_by_key(|one| plain(one)).expect("there are alphabets");
    let most_mirrored = possible.iter().map(mirrored).max().unwrap_or(0);
    (best, Readable { plain: plain(best), mirrored: most_mirrored })
}
