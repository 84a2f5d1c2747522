//! The ledger: what is required of a chart, from which source, and how this project sees to it.
//!
//! No standard has a clause for coloured fields. The chart-display standard's clauses on size, contrast and edges
//! are borrowed, which is no claim of conformity; its background luminance does not apply.
//!
//! Each constant is one line of the ledger, and the check names it in its findings. A requirement that the check does not measure
//! is there as well, with how it is held, so that nothing is passed over in silence: [`LEDGER`] has all of them, and a test holds
//! that each names a test that is there.

use crate::bibliography::{
    BAILEY_LOVIE_1976, CIE_2008, COMMON_PRACTICE, DESIGN, ISO_8596, ISO_10938, PNG_SPECIFICATION, Z80_21,
};

/// How a requirement is seen to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// The check measures it.
    Checked,
    /// The drawing cannot do otherwise.
    ByConstruction,
    /// Only the person in the room can.
    LeftToTheUser,
    /// It does not concern coloured fields.
    NotApplicable,
}

/// One requirement.
#[derive(Debug, PartialEq, Eq)]
pub struct Clause {
    /// Its name for programs, such as `size.letter`: a group and a word. It stays the same from version to version.
    pub id: &'static str,
    /// Its name for people.
    pub what: &'static str,
    /// The unit of its values; empty for counts and for words.
    pub unit: &'static str,
    /// How many decimals of its values are significant, and are shown; judged is the whole value.
    pub decimals: u8,
    /// Where it comes from: a clause of a standard, *common practice, no source*, or this project's own decision.
    pub source: &'static str,
    /// What it requires, in this project's words.
    pub requirement: &'static str,
    /// How it is seen to.
    pub how: How,
    /// The file of the test that holds it, from the top of the repository.
    pub test: &'static str,
}

const fn checked(
    id: &'static str,
    what: &'static str,
    unit: &'static str,
    decimals: u8,
    source: &'static str,
    requirement: &'static str,
    test: &'static str,
) -> Clause {
    Clause { id, what, unit, decimals, source, requirement, how: How::Checked, test }
}

/// The letters' height and width.
///
/// Both sides of every letter, as angles from the eye, and the worst of a row counts.
pub const LETTER_SIZE: Clause = checked(
    "size.letter",
    "letter size",
    "′",
    3,
    ISO_10938.clause_4_1_1,
    "a letter subtends five times its MAR within 5 %",
    "tests/spoilt.rs",
);
/// The gap of a ring, the stroke of a letter.
///
/// What an eye must resolve to tell the letter: a letter of the right height with thick strokes fails here.
pub const CRITICAL_DETAIL: Clause = checked(
    "size.detail",
    "gap or stroke",
    "′",
    3,
    ISO_10938.clause_4_1_1,
    "the critical detail subtends its MAR within 5 %",
    "tests/spoilt.rs",
);
/// How many pixels a stroke has.
///
/// One edge of a stroke under 2 px is always grey. Not asked of paths, which have no pixels.
pub const STROKE: Clause = checked(
    "size.stroke",
    "stroke in pixels",
    "px",
    2,
    DESIGN,
    "a stroke has at least 2 pixels, and 3 to be free of doubt",
    "tests/command_line.rs",
);
/// How obliquely the outermost letters are seen.
///
/// At an angle θ to the side a letter is narrower by cos² θ; 5 % is reached at 13° from the middle.
pub const OBLIQUITY: Clause = checked(
    "size.obliquity",
    "narrowed by slant",
    "%",
    1,
    DESIGN,
    "a letter is seen at most 5 % narrower than opposite the eye, which is taken to be the picture’s middle",
    "src/check/tests.rs",
);
/// How fine the pixels are for the eye.
pub const RESOLUTION: Clause = checked(
    "picture.resolution",
    "pixels per arcminute",
    "px/′",
    2,
    DESIGN,
    "no requirement: the standard asks for equal performance, which is not a number of pixels",
    "tests/command_line.rs",
);
/// How many letters stand in a line.
///
/// Only a warning: with fewer letters a line still measures, but less finely.
pub const LETTERS_A_LINE: Clause = checked(
    "letters.count",
    "letters in the line",
    "",
    0,
    ISO_8596.five_a_grade,
    "five letters in a line where they fit",
    "tests/command_line.rs",
);
/// Which letters stand on the fields.
///
/// Read by the check's own table. What differs between the fields, or from what the file names, fails.
pub const LETTERS: Clause = checked(
    "letters.read",
    "letters",
    "",
    0,
    DESIGN,
    "each letter is one of its set, and both fields show the same in the same order",
    "tests/spoilt.rs",
);
/// The air between letters.
///
/// Letters that stand closer crowd each other.
pub const SPACING: Clause = checked(
    "letters.spacing",
    "gap between letters",
    "widths",
    2,
    Z80_21.spacing,
    "a gap of at least one letter width",
    "src/check/tests.rs",
);
/// The ink of each letter, everywhere.
///
/// Any place as large as a square stroke, so that a smear or a missing corner is found wherever it is.
pub const SHAPE: Clause = checked(
    "letters.shape",
    "ink out of place",
    "%",
    1,
    DESIGN,
    "any area one stroke square, on or beside a letter, lacks at most 15 % of its ink and has at most 15 % too much; 25 % where strokes have under 3 px",
    "tests/spoilt.rs",
);
/// How level the letters of a row stand.
///
/// Of the middles of one row's letters over both fields, in heights of a letter.
pub const LEVEL: Clause = checked(
    "letters.level",
    "unevenness of the row",
    "%",
    1,
    DESIGN,
    "the middles of a row’s letters, on both fields, lie within 5 % of their height",
    "tests/spoilt.rs",
);
/// The air between rows.
///
/// In heights of the lower row, whose letters are the smaller ones.
pub const ROW_GAP: Clause = checked(
    "rows.gap",
    "gap to the row above",
    "heights",
    2,
    BAILEY_LOVIE_1976,
    "a gap as high as the lower row",
    "tests/spoilt.rs",
);
/// The air around the letters.
///
/// From the outermost letters to the edges of the picture and to the seam, which crowd a letter as its neighbours do.
pub const AIR: Clause = checked(
    "letters.air",
    "air around the letters",
    "heights",
    2,
    DESIGN,
    "a letter’s height of bare field to the picture’s edges and to the other field, less one pixel",
    "tests/spoilt.rs",
);
/// How many lines there are.
pub const LINES: Clause =
    checked("lines", "lines", "", 0, DESIGN, "every line asked for, and no other", "tests/spoilt.rs");
/// How many pixels the picture has.
///
/// Other than the screen's own means that somebody scales the picture, and every size is wrong.
pub const PIXELS: Clause = checked(
    "picture.pixels",
    "pixels",
    "px",
    0,
    DESIGN,
    "the picture has the screen’s pixels, so that nothing scales it",
    "tests/spoilt.rs",
);
/// The scale that the file states.
///
/// For print and other programs only; on the screen itself a pixel is a pixel whatever a file states.
pub const SCALE: Clause = checked(
    "picture.scale",
    "scale in the file",
    "px/m",
    0,
    PNG_SPECIFICATION,
    "the pHYs chunk agrees with the room’s pixel pitch within 0.1 %; its rounding takes 0.04 % at most",
    "tests/spoilt.rs",
);
/// Which fields there are, and where.
pub const FIELDS: Clause = checked(
    "fields.layout",
    "fields",
    "",
    0,
    DESIGN,
    "the fields asked for fill the picture and meet at its middle column",
    "tests/spoilt.rs",
);
/// The codes of the fields, as the file names them.
///
/// A changed code is the trace of colour management, of a converter, or of a hand.
pub const FIELD_CODES: Clause = checked(
    "fields.codes",
    "codes of the fields",
    "",
    0,
    DESIGN,
    "the codes that the file names, from the patient’s left",
    "tests/spoilt.rs",
);
/// What the file says of its colours.
///
/// A tag that is not the screen's makes a program that obeys it change the codes.
pub const COLOUR_TAG: Clause = checked(
    "picture.colour_tag",
    "colour tag",
    "",
    0,
    PNG_SPECIFICATION,
    "the tag of the room’s own profile or curve, or none, so that no program changes the codes",
    "tests/spoilt.rs",
);
/// Nothing but letters and labels on the fields.
///
/// A mark, a tint or a stain beside the letters could draw an eye to one side.
pub const EVENNESS: Clause = checked(
    "fields.even",
    "beside the letters",
    "",
    0,
    DESIGN,
    "nothing but letters, and labels where they were asked for, stands on a field",
    "src/check/tests.rs",
);
/// Whether left and right are the right way round.
///
/// A chart for a mirror must be turned round, any other must not. Letters tell it, as far as they are not symmetrical.
pub const MIRRORING: Clause = checked(
    "picture.mirroring",
    "mirroring",
    "",
    0,
    DESIGN,
    "the patient sees the letters the right way round",
    "src/check/tests.rs",
);
/// Whether both fields are equally bright, by their codes.
///
/// By the room file's luminances and tone curve alone: whether the drawing did what it should.
pub const MATCH_AS_CODED: Clause = checked(
    "light.match_as_coded",
    "red against green, as coded",
    "%",
    2,
    COMMON_PRACTICE,
    "the fields’ luminances differ by at most 2 %; one green code is about 1.5 %",
    "tests/spoilt.rs",
);
/// Whether both fields are equally bright, as seen.
///
/// With the room's light, and with how well all of it is known. Unequal fields bias the answer to the brighter side.
pub const MATCH_AS_SEEN: Clause = checked(
    "light.match_as_seen",
    "red against green, as seen",
    "%",
    1,
    CIE_2008,
    "the match at the eye is known to its uncertainty, or not established",
    "src/check/tests.rs",
);
/// The luminance of letters against that of their field.
///
/// Of all letters on a field the one with the lightest ink counts.
pub const CONTRAST: Clause = checked(
    "light.contrast",
    "letter over field",
    "%",
    1,
    ISO_10938.clause_4_1_3,
    "a letter has at most 15 % of its field’s luminance, reflected light included; over 5 % is a warning of this project",
    "src/check/tests.rs",
);
/// Whether the fields are bright enough for cones alone to see.
///
/// In dimmer light rods see as well, and a photometer no longer says how bright a colour is.
pub const FIELD_LUMINANCE: Clause = checked(
    "light.field",
    "field luminance",
    "cd/m²",
    1,
    COMMON_PRACTICE,
    "a field has at least 10 cd/m², below which V(λ) no longer holds",
    "src/check/tests.rs",
);
/// What the file says about itself.
///
/// A text of this project that cannot be read; then only flags say what the chart should be.
pub const METADATA: Clause = checked(
    "file.metadata",
    "what the file says",
    "",
    0,
    DESIGN,
    "the file’s text is understood",
    "src/check/tests.rs",
);

const fn other(
    id: &'static str,
    what: &'static str,
    source: &'static str,
    requirement: &'static str,
    how: How,
    test: &'static str,
) -> Clause {
    Clause { id, what, unit: "", decimals: 0, source, requirement, how, test }
}

/// Every requirement, checked or not.
pub const LEDGER: [&Clause; 29] = [
    &LETTER_SIZE,
    &CRITICAL_DETAIL,
    &STROKE,
    &RESOLUTION,
    &OBLIQUITY,
    &LETTERS_A_LINE,
    &LETTERS,
    &SPACING,
    &SHAPE,
    &LEVEL,
    &ROW_GAP,
    &AIR,
    &LINES,
    &PIXELS,
    &SCALE,
    &COLOUR_TAG,
    &FIELDS,
    &FIELD_CODES,
    &EVENNESS,
    &MIRRORING,
    &MATCH_AS_CODED,
    &MATCH_AS_SEEN,
    &CONTRAST,
    &FIELD_LUMINANCE,
    &METADATA,
    &other(
        "edges",
        "edge quality",
        ISO_10938.clause_4_1_4,
        "smoothing leaves the perceived size within 5 %: in this project’s charts edges are exact areas blended in linear light; in charts of other programs the check measures the size, not the blur",
        How::ByConstruction,
        "src/raster/tests.rs",
    ),
    &other(
        "shown",
        "the screen as it is",
        DESIGN,
        "native resolution, no scaling, no night colour, no dynamic contrast, the distance as measured",
        How::LeftToTheUser,
        "",
    ),
    &other(
        "background",
        "background luminance",
        ISO_10938.clause_4_1_2,
        "80 to 320 cd/m² (from memory) is for black on white; a red field on an ordinary screen cannot reach it",
        How::NotApplicable,
        "",
    ),
    &other(
        "resolution",
        "performance as in print",
        ISO_10938.clause_4_1_5,
        "no difference in performance from a printed chart: it needs people, not a file",
        How::LeftToTheUser,
        "",
    ),
];
