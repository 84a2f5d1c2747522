//! The letters as a reader knows them: which cells of a five-by-five grid are ink.
//!
//! Written by hand from the shapes that the trade agrees on, not computed from the drawing: `#` is ink at the cell's
//! centre, `.` is paper, `?` is near an edge or differs between drawings. A last row holds the four places on the
//! middle of a ring's stroke towards the corners: down-right, down-left, up-left, up-right.

/// A letter, what it looks like, and where its critical detail lies.
#[derive(Debug)]
pub(super) struct Letter {
    pub(super) name: &'static str,
    pub(super) cells: [&'static str; 6],
    pub(super) sides: Sides,
    pub(super) detail: Detail,
}

/// The shape of a letter's outermost parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Edge {
    /// A straight piece along the side.
    Flat,
    /// An arc that touches the side.
    Round,
    /// Nothing that could be measured reaches the side: a gap opens to it, or only the corner of a slanted stroke.
    Open,
}

/// The four sides in the order of [`super::glyph::Border`].
pub(super) type Sides = [Edge; 4];

/// Where the critical detail lies, in strokes from the upper left of the box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Detail {
    /// A stroke, crossed along rows or columns.
    Stroke(Path),
    /// The gap of a ring, towards the signs of x and y.
    #[allow(missing_docs, reason = "the variant's sentence says what each is")]
    Gap { x: f64, y: f64 },
}

/// A straight way across a detail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Path {
    pub(super) across: Across,
    /// The row or column that it follows.
    pub(super) at: f64,
    /// How far to either side of `at` the detail is the same.
    pub(super) spread: f64,
    /// Where it starts, beyond the detail.
    pub(super) from: f64,
    /// Where it ends, beyond the detail.
    pub(super) to: f64,
}

/// Which way a path runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Across {
    /// From left to right.
    Columns,
    /// From top to bottom.
    Rows,
}

/// A set of letters that belong on one chart.
#[derive(Debug)]
pub(super) struct Alphabet {
    pub(super) name: &'static str,
    pub(super) letters: &'static [Letter],
}

use Across::{Columns, Rows};
use Edge::{Flat, Open, Round};

const FLAT: Sides = [Flat; 4];
const V_SIDES: Sides = [Flat, Open, Flat, Open];
const ROUND: Sides = [Round; 4];

const fn stroke(across: Across, at: f64, spread: f64, from: f64, to: f64) -> Detail {
    Detail::Stroke(Path { across, at, spread, from, to })
}

const fn gap(x: f64, y: f64) -> Detail {
    Detail::Gap { x, y }
}

const fn letter(name: &'static str, cells: [&'static str; 6], sides: Sides, detail: Detail) -> Letter {
    Letter { name, cells, sides, detail }
}

const OPEN_RIGHT: [&str; 6] = [".###.", "#?.?#", "#....", "#?.?#", ".###.", "####"];
const CLOSED: [&str; 6] = [".###.", "#?.?#", "#...#", "#?.?#", ".###.", "####"];
const H: [&str; 6] = ["#...#", "#...#", "#####", "#...#", "#...#", "????"];
const V: [&str; 6] = ["#?.?#", "??.??", ".#.#.", ".???.", "..#..", "????"];

const SIDES_OPEN_RIGHT: Sides = [Round, Open, Round, Round];
const GAP_RIGHT: Detail = gap(1.0, 0.0);
const RING_STROKE: Detail = stroke(Columns, 2.5, 0.0, -0.45, 2.0);
const H_BAR: Detail = stroke(Rows, 2.5, 1.0, 0.7, 4.3);
const V_ARM: Detail = stroke(Columns, 1.0, 0.6, -0.4, 2.5);

/// Every alphabet that a chart may use.
pub(super) const ALPHABETS: [Alphabet; 4] = [
    Alphabet {
        name: "sloan",
        letters: &[
            letter("C", OPEN_RIGHT, SIDES_OPEN_RIGHT, GAP_RIGHT),
            letter(
                "D",
                ["####.", "#..?#", "#...#", "#..?#", "####.", "????"],
                [Flat, Round, Flat, Flat],
                stroke(Columns, 2.5, 0.5, -0.45, 2.0),
            ),
            letter("H", H, FLAT, H_BAR),
            letter(
                "K",
                ["#..?#", "#.#?.", "##?..", "#.#?.", "#..?#", "????"],
                [Flat, Open, Flat, Flat],
                stroke(Columns, 0.6, 0.4, -0.45, 2.2),
            ),
            letter(
                "N",
                ["#?..#", "##?.#", "#?#?#", "#.?##", "#..?#", "????"],
                FLAT,
                stroke(Columns, 4.4, 0.4, -0.45, 2.4),
            ),
            letter("O", CLOSED, ROUND, RING_STROKE),
            letter(
                "R",
                ["####?", "#...#", "####?", "#.?#?", "#..?#", "????"],
                [Flat, Open, Flat, Flat],
                stroke(Columns, 4.3, 0.4, -0.45, 2.4),
            ),
            letter(
                "S",
                ["?###?", "#...?", "?###?", "?...#", "?###?", "????"],
                [Flat, Round, Flat, Round],
                stroke(Rows, 2.5, 0.5, 1.2, 3.8),
            ),
            letter("V", V, V_SIDES, V_ARM),
            letter(
                "Z",
                ["#####", "..?#?", ".?#?.", "?#?..", "#####", "????"],
                FLAT,
                stroke(Rows, 1.0, 0.5, -0.45, 2.2),
            ),
        ],
    },
    Alphabet {
        name: "hotv",
        letters: &[
            letter("H", H, FLAT, H_BAR),
            letter("O", CLOSED, ROUND, RING_STROKE),
            letter(
                "T",
                ["#####", "..#..", "..#..", "..#..", "..#..", "????"],
                FLAT,
                stroke(Columns, 3.5, 0.8, 1.0, 4.0),
            ),
            letter("V", V, V_SIDES, V_ARM),
        ],
    },
    Alphabet {
        name: "rings",
        letters: &[
            letter("→", OPEN_RIGHT, SIDES_OPEN_RIGHT, GAP_RIGHT),
            letter("↘", [".###.", "#?.?#", "#...#", "#?.??", ".##?.", ".###"], ROUND, gap(1.0, 1.0)),
            letter(
                "↓",
                [".###.", "#?.?#", "#...#", "#?.?#", ".#.#.", "####"],
                [Round, Round, Open, Round],
                gap(0.0, 1.0),
            ),
            letter("↙", [".###.", "#?.?#", "#...#", "??.?#", ".?##.", "#.##"], ROUND, gap(-1.0, 1.0)),
            letter(
                "←",
                [".###.", "#?.?#", "....#", "#?.?#", ".###.", "####"],
                [Round, Round, Round, Open],
                gap(-1.0, 0.0),
            ),
            letter("↖", [".?##.", "??.?#", "#...#", "#?.?#", ".###.", "##.#"], ROUND, gap(-1.0, -1.0)),
            letter(
                "↑",
                [".#.#.", "#?.?#", "#...#", "#?.?#", ".###.", "####"],
                [Open, Round, Round, Round],
                gap(0.0, -1.0),
            ),
            letter("↗", [".##?.", "#?.??", "#...#", "#?.?#", ".###.", "###."], ROUND, gap(1.0, -1.0)),
        ],
    },
    Alphabet {
        name: "tumbling-e",
        letters: &[
            letter(
                "E→",
                ["#####", "#....", "#####", "#....", "#####", "????"],
                FLAT,
                stroke(Rows, 4.0, 0.5, 1.2, 3.8),
            ),
            letter(
                "E↓",
                ["#####", "#.#.#", "#.#.#", "#.#.#", "#.#.#", "????"],
                FLAT,
                stroke(Columns, 4.0, 0.5, 1.2, 3.8),
            ),
            letter(
                "E←",
                ["#####", "....#", "#####", "....#", "#####", "????"],
                FLAT,
                stroke(Rows, 1.0, 0.5, 1.2, 3.8),
            ),
            letter(
                "E↑",
                ["#.#.#", "#.#.#", "#.#.#", "#.#.#", "#####", "????"],
                FLAT,
                stroke(Columns, 1.0, 0.5, 1.2, 3.8),
            ),
        ],
    },
];
