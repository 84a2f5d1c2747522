//! The letters as a reader knows them: which parts of a box of five by five strokes are ink.
//!
//! Written by hand as boxes, circles and slanted cuts, not computed from the outlines of the drawing.
//!
//! For each letter: its ink, how each of its sides ends (flat, round or open), and where its critical detail is crossed. Whoever
//! adds a set writes all three by hand; the tests then hold that no two letters look alike.

/// A letter, what it looks like, and where its critical detail lies.
#[derive(Debug)]
pub(super) struct Letter {
    pub(super) name: &'static str,
    pub(super) shape: &'static [Piece],
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
    /// Nothing that could be measured reaches the side: a gap opens to it, or only the corner of a slanted stroke
    /// touches it.
    Open,
}

/// The four sides in the order of [`super::glyph::Border`]: top, right, bottom, left.
pub(super) type Sides = [Edge; 4];

/// Where the critical detail lies, in strokes from the upper left of the box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Detail {
    /// A stroke, crossed along rows or columns.
    Stroke(Path),
    /// The gap of a ring, towards the signs of x and y.
    #[allow(missing_docs, reason = "the variant’s sentence says what each is")]
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

use super::piece::{Cut, Piece};
use Across::{Columns, Rows};
use Cut::{Inside, NotTowards, Outside, RightOf};
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

const fn letter(name: &'static str, shape: &'static [Piece], sides: Sides, detail: Detail) -> Letter {
    Letter { name, shape, sides, detail }
}

const fn block(left: f64, top: f64, right: f64, bottom: f64) -> Piece {
    Piece { within: [left, top, right, bottom], cuts: &[] }
}

const fn cut(left: f64, top: f64, right: f64, bottom: f64, cuts: &'static [Cut]) -> Piece {
    Piece { within: [left, top, right, bottom], cuts }
}

/// A ring with one more cut. Its box reaches beyond its circles, so that their edges are not cut twice.
macro_rules! ring {
    ($($gap:expr)?) => {
        &[cut(-1.0, -1.0, 6.0, 6.0, &[Inside(2.5, 2.5, 2.5), Outside(2.5, 2.5, 1.5), $($gap)?])]
    };
}

/// How far a diagonal one stroke thick drops over three strokes across, from the inner corner of one stem to that of the
/// other: 3m with (5 − 3m)² = 1 + m², m = (15 − √33)/8.
const DROP: f64 = 3.470_8;

const OPEN_RIGHT: &[Piece] = ring![NotTowards(1.0, 0.0)];
const CLOSED: &[Piece] = ring![];
const D: &[Piece] = &[
    block(0.0, 0.0, 1.0, 5.0),
    block(1.0, 0.0, 2.5, 1.0),
    block(1.0, 4.0, 2.5, 5.0),
    cut(2.5, -1.0, 6.0, 6.0, &[Inside(2.5, 2.5, 2.5), Outside(2.5, 2.5, 1.5)]),
];
const H: &[Piece] = &[block(0.0, 0.0, 1.0, 5.0), block(4.0, 0.0, 5.0, 5.0), block(1.0, 2.0, 4.0, 3.0)];
const K: &[Piece] = &[
    block(0.0, 0.0, 1.0, 5.0),
    cut(1.0, 0.0, 5.0, 2.5, &[RightOf([1.0, 2.25], [4.0, 0.0]), RightOf([5.0, 0.5], [1.0, 3.5])]),
    cut(1.0, 2.5, 5.0, 5.0, &[RightOf([4.0, 5.0], [1.0, 2.75]), RightOf([1.0, 1.5], [5.0, 4.5])]),
];
const N: &[Piece] = &[
    block(0.0, 0.0, 1.0, 5.0),
    block(4.0, 0.0, 5.0, 5.0),
    cut(1.0, 0.0, 4.0, 5.0, &[RightOf([1.0, 0.0], [4.0, DROP]), RightOf([4.0, 5.0], [1.0, 5.0 - DROP])]),
];
const R: &[Piece] = &[
    block(0.0, 0.0, 1.0, 5.0),
    block(1.0, 0.0, 3.5, 1.0),
    block(1.0, 2.0, 3.5, 3.0),
    cut(3.5, -1.0, 6.0, 4.0, &[Inside(3.5, 1.5, 1.5), Outside(3.5, 1.5, 0.5)]),
    cut(2.5, 3.0, 5.0, 5.0, &[RightOf([4.0, 5.0], [2.5, 3.0]), RightOf([3.5, 2.666_667], [5.0, 4.666_667])]),
];
const S: &[Piece] = &[
    cut(-1.0, -1.0, 1.5, 4.0, &[Inside(1.5, 1.5, 1.5), Outside(1.5, 1.5, 0.5)]),
    block(1.5, 0.0, 3.5, 1.0),
    cut(3.5, -1.0, 6.0, 1.5, &[Inside(3.5, 1.5, 1.5), Outside(3.5, 1.5, 0.5)]),
    block(1.5, 2.0, 3.5, 3.0),
    cut(3.5, 1.0, 6.0, 6.0, &[Inside(3.5, 3.5, 1.5), Outside(3.5, 3.5, 0.5)]),
    block(1.5, 4.0, 3.5, 5.0),
    cut(-1.0, 3.5, 1.5, 6.0, &[Inside(1.5, 3.5, 1.5), Outside(1.5, 3.5, 0.5)]),
];
const T: &[Piece] = &[block(0.0, 0.0, 5.0, 1.0), block(2.0, 1.0, 3.0, 5.0)];
const V: &[Piece] = &[
    cut(-1.0, 0.0, 2.5, 3.75, &[RightOf([2.0, 5.0], [0.0, 0.0]), RightOf([1.0, 0.0], [2.5, 3.75])]),
    cut(2.5, 0.0, 6.0, 3.75, &[RightOf([2.5, 3.75], [4.0, 0.0]), RightOf([5.0, 0.0], [3.0, 5.0])]),
    cut(-1.0, 3.75, 6.0, 5.0, &[RightOf([2.0, 5.0], [0.0, 0.0]), RightOf([5.0, 0.0], [3.0, 5.0])]),
];
const Z: &[Piece] = &[
    block(0.0, 0.0, 5.0, 1.0),
    block(0.0, 4.0, 5.0, 5.0),
    cut(0.0, 1.0, 5.0, 4.0, &[RightOf([0.0, 4.0], [DROP, 1.0]), RightOf([5.0, 1.0], [5.0 - DROP, 4.0])]),
];

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
            letter("D", D, [Flat, Round, Flat, Flat], stroke(Columns, 2.5, 0.5, -0.45, 2.0)),
            letter("H", H, FLAT, H_BAR),
            letter("K", K, [Flat, Open, Flat, Flat], stroke(Columns, 0.6, 0.4, -0.45, 2.2)),
            letter("N", N, FLAT, stroke(Columns, 4.4, 0.4, -0.45, 2.4)),
            letter("O", CLOSED, ROUND, RING_STROKE),
            letter("R", R, [Flat, Open, Flat, Flat], stroke(Columns, 4.3, 0.4, -0.45, 2.4)),
            letter("S", S, [Flat, Round, Flat, Round], stroke(Rows, 2.5, 0.5, 1.2, 3.8)),
            letter("V", V, V_SIDES, V_ARM),
            letter("Z", Z, FLAT, stroke(Rows, 1.0, 0.5, -0.45, 2.2)),
        ],
    },
    Alphabet {
        name: "hotv",
        letters: &[
            letter("H", H, FLAT, H_BAR),
            letter("O", CLOSED, ROUND, RING_STROKE),
            letter("T", T, FLAT, stroke(Columns, 3.5, 0.8, 1.0, 4.0)),
            letter("V", V, V_SIDES, V_ARM),
        ],
    },
    Alphabet {
        name: "rings",
        letters: &[
            letter("→", OPEN_RIGHT, SIDES_OPEN_RIGHT, GAP_RIGHT),
            letter("↘", ring![NotTowards(1.0, 1.0)], ROUND, gap(1.0, 1.0)),
            letter("↓", ring![NotTowards(0.0, 1.0)], [Round, Round, Open, Round], gap(0.0, 1.0)),
            letter("↙", ring![NotTowards(-1.0, 1.0)], ROUND, gap(-1.0, 1.0)),
            letter("←", ring![NotTowards(-1.0, 0.0)], [Round, Round, Round, Open], gap(-1.0, 0.0)),
            letter("↖", ring![NotTowards(-1.0, -1.0)], ROUND, gap(-1.0, -1.0)),
            letter("↑", ring![NotTowards(0.0, -1.0)], [Open, Round, Round, Round], gap(0.0, -1.0)),
            letter("↗", ring![NotTowards(1.0, -1.0)], ROUND, gap(1.0, -1.0)),
        ],
    },
    Alphabet {
        name: "tumbling-e",
        letters: &[
            letter(
                "E→",
                &[
                    block(0.0, 0.0, 1.0, 5.0),
                    block(1.0, 0.0, 5.0, 1.0),
                    block(1.0, 2.0, 5.0, 3.0),
                    block(1.0, 4.0, 5.0, 5.0),
                ],
                FLAT,
                stroke(Rows, 4.0, 0.5, 1.2, 3.8),
            ),
            letter(
                "E↓",
                &[
                    block(0.0, 0.0, 5.0, 1.0),
                    block(0.0, 1.0, 1.0, 5.0),
                    block(2.0, 1.0, 3.0, 5.0),
                    block(4.0, 1.0, 5.0, 5.0),
                ],
                FLAT,
                stroke(Columns, 4.0, 0.5, 1.2, 3.8),
            ),
            letter(
                "E←",
                &[
                    block(4.0, 0.0, 5.0, 5.0),
                    block(0.0, 0.0, 4.0, 1.0),
                    block(0.0, 2.0, 4.0, 3.0),
                    block(0.0, 4.0, 4.0, 5.0),
                ],
                FLAT,
                stroke(Rows, 1.0, 0.5, 1.2, 3.8),
            ),
            letter(
                "E↑",
                &[
                    block(0.0, 4.0, 5.0, 5.0),
                    block(0.0, 0.0, 1.0, 4.0),
                    block(2.0, 0.0, 3.0, 4.0),
                    block(4.0, 0.0, 5.0, 4.0),
                ],
                FLAT,
                stroke(Columns, 1.0, 0.5, 1.2, 3.8),
            ),
        ],
    },
];
