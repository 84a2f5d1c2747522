//! The optotypes as a TrueType font, for slides and handouts.
//!
//! A font carries sizes as its user sets them: nothing in a document made with it is proved, and no screen has shown it. For a
//! letter of height h set the type at size h, since a letter fills its em, and let the program scale nothing.

use kurbo::{Affine, BezPath, CubicBez, PathEl, Point};
use write_fonts::tables::cmap::Cmap;
use write_fonts::tables::glyf::{GlyfLocaBuilder, Glyph, SimpleGlyph};
use write_fonts::tables::head::{Flags, Head};
use write_fonts::tables::hhea::Hhea;
use write_fonts::tables::hmtx::{Hmtx, LongMetric};
use write_fonts::tables::loca::LocaFormat;
use write_fonts::tables::maxp::Maxp;
use write_fonts::tables::name::{Name, NameRecord};
use write_fonts::tables::os2::{Os2, SelectionFlags};
use write_fonts::tables::post::Post;
use write_fonts::types::{FWord, Fixed, GlyphId, LongDateTime, NameId, Tag, UfWord};
use write_fonts::{FontBuilder, OffsetMarker};

use crate::optotype::{Compass, LetterSet, Optotype, STROKES_A_SIDE};

/// Units in an em, which is a letter's height: every corner on the grid of strokes is a whole number of them.
const AN_EM: u16 = 16_000;

/// How far a quadratic curve may stray from a letter's arc, in units: a hundred-thousandth of the height.
const TOLERANCE: f64 = 0.16;

/// The start of 2026 in seconds from 1904: always the same, so that the same letters give the same bytes.
const MADE: i64 = 3_850_070_400;

/// Letters stand their own width apart.
const ADVANCE: u16 = 2 * AN_EM;

const FAMILY: &str = "evenfield letters";

/// Why no font was made.
#[derive(Debug, thiserror::Error)]
pub enum FontError {
    /// The writer refused an outline or a table, which no letter of this crate makes it do.
    #[error("the letters cannot be written as a font ({0}): use an SVG chart instead")]
    Refused(String),
}

fn refused(problem: impl std::fmt::Display) -> FontError {
    FontError::Refused(problem.to_string())
}

/// Each letter with the characters that stand for it, capitals first.
///
/// Capitals and small letters are the Sloan letters, and T; E is the tumbling one with its bars to the right, and double
/// arrows turn it. Arrows are Landolt rings with the gap there; so are 1 to 8, clockwise from the right.
///
/// ```
/// # use evenfield::{export::font::characters, optotype::{Compass, Optotype}};
/// // The third direction clockwise from the right is down.
/// let down = characters().into_iter().find(|(letter, _)| *letter == Optotype::Ring(Compass::Down)).unwrap();
/// assert_eq!(down.1, ['↓', '3']);
/// ```
#[must_use]
pub fn characters() -> Vec<(Optotype, Vec<char>)> {
    let mut all: Vec<_> =
        LetterSet::letters().into_iter().map(|letter| (letter, characters_of(letter))).collect();
    all.sort_by_key(|(letter, _)| !matches!(letter, Optotype::Capital(_)));
    all
}

fn characters_of(letter: Optotype) -> Vec<char> {
    let both = |letter: char| vec![letter, letter.to_ascii_lowercase()];
    match letter {
        Optotype::Capital(capital) => both(capital),
        Optotype::Ring(gap) => vec![gap.arrow(), pointing(gap).0],
        Optotype::TumblingE(bars @ Compass::Right) => [vec![pointing(bars).1], both('E')].concat(),
        Optotype::TumblingE(bars) => vec![pointing(bars).1],
    }
}

/// The digit and the double arrow of a direction.
const fn pointing(way: Compass) -> (char, char) {
    match way {
        Compass::Right => ('1', '⇒'),
        Compass::DownRight => ('2', '⇘'),
        Compass::Down => ('3', '⇓'),
        Compass::DownLeft => ('4', '⇙'),
        Compass::Left => ('5', '⇐'),
        Compass::UpLeft => ('6', '⇖'),
        Compass::Up => ('7', '⇑'),
        Compass::UpRight => ('8', '⇗'),
    }
}

/// The font file. The same letters give the same bytes.
///
/// A font of size s shows letters s high, with gaps of their own width between them.
///
/// # Errors
/// Only where the writer refuses, which a test rules out.
pub fn truetype() -> Result<Vec<u8>, FontError> {
    let letters = characters();
    let outlines =
        letters.iter().map(|(letter, _)| glyph(&letter.outline())).collect::<Result<Vec<_>, _>>()?;
    let mut glyphs = GlyfLocaBuilder::new();
    // What no letter stands for, and the space, are empty.
    for _ in 0..2 {
        glyphs.add_glyph(&Glyph::Empty).map_err(refused)?;
    }
    for outline in &outlines {
        glyphs.add_glyph(outline).map_err(refused)?;
    }
    let (glyf, loca, format) = glyphs.build();
    let count = u16::try_from(outlines.len() + 2).map_err(refused)?;
    let mut font = FontBuilder::new();
    font.add_table(&head(&outlines, format)).map_err(refused)?;
    font.add_table(&hhea(count)).map_err(refused)?;
    font.add_table(&maxp(&outlines, count)).map_err(refused)?;
    font.add_table(&hmtx(&outlines)).map_err(refused)?;
    font.add_table(&cmap(&letters)?).map_err(refused)?;
    font.add_table(&glyf).map_err(refused)?;
    font.add_table(&loca).map_err(refused)?;
    font.add_table(&name()).map_err(refused)?;
    font.add_table(&os2(&letters)).map_err(refused)?;
    font.add_table(&Post::new_v2(names(&letters).iter().map(String::as_str))).map_err(refused)?;
    Ok(font.build())
}

/// An outline of five strokes a side, growing down, as quadratic curves in units that grow up from the baseline.
fn glyph(outline: &BezPath) -> Result<SimpleGlyph, FontError> {
    let unit = f64::from(AN_EM) / STROKES_A_SIDE;
    let outline = Affine::new([unit, 0.0, 0.0, -unit, 0.0, f64::from(AN_EM)]) * outline;
    let mut quadratic = BezPath::new();
    let mut pen = Point::ZERO;
    for element in outline.elements() {
        match *element {
            PathEl::CurveTo(first, second, to) => {
                for (_, _, part) in CubicBez::new(pen, first, second, to).to_quads(TOLERANCE) {
                    quadratic.quad_to(part.p1.round(), part.p2.round());
                }
            }
            PathEl::MoveTo(to) => quadratic.move_to(to.round()),
            PathEl::LineTo(to) => quadratic.line_to(to.round()),
            PathEl::QuadTo(control, to) => quadratic.quad_to(control.round(), to.round()),
            PathEl::ClosePath => quadratic.close_path(),
        }
        pen = element.end_point().unwrap_or(pen);
    }
    SimpleGlyph::from_bezpath(&quadratic).map_err(|problem| refused(format!("{problem:?}")))
}

fn head(outlines: &[SimpleGlyph], format: LocaFormat) -> Head {
    let end = |of: fn(&SimpleGlyph) -> i16, which: fn(i16, i16) -> i16| {
        outlines.iter().map(of).reduce(which).unwrap_or_default()
    };
    Head {
        font_revision: Fixed::from_f64(1.0),
        flags: Flags::BASELINE_AT_Y_0 | Flags::LSB_AT_X_0,
        units_per_em: AN_EM,
        created: LongDateTime::new(MADE),
        modified: LongDateTime::new(MADE),
        x_min: end(|glyph| glyph.bbox.x_min, i16::min),
        y_min: end(|glyph| glyph.bbox.y_min, i16::min),
        x_max: end(|glyph| glyph.bbox.x_max, i16::max),
        y_max: end(|glyph| glyph.bbox.y_max, i16::max),
        lowest_rec_ppem: 10,
        index_to_loc_format: match format {
            LocaFormat::Short => 0,
            LocaFormat::Long => 1,
        },
        ..Head::default()
    }
}

fn hhea(count: u16) -> Hhea {
    Hhea {
        ascender: FWord::new(16_000),
        descender: FWord::new(0),
        // Rows have their own height between them.
        line_gap: FWord::new(16_000),
        advance_width_max: UfWord::new(ADVANCE),
        caret_slope_rise: 1,
        number_of_h_metrics: count,
        ..Hhea::default()
    }
}

fn maxp(outlines: &[SimpleGlyph], count: u16) -> Maxp {
    let most = |of: &dyn Fn(&SimpleGlyph) -> usize| {
        outlines.iter().map(of).max().and_then(|most| u16::try_from(most).ok())
    };
    Maxp {
        num_glyphs: count,
        max_points: most(&|glyph| glyph.contours.iter().map(write_fonts::tables::glyf::Contour::len).sum()),
        max_contours: most(&|glyph| glyph.contours.len()),
        max_composite_points: Some(0),
        max_composite_contours: Some(0),
        max_zones: Some(2),
        max_twilight_points: Some(0),
        max_storage: Some(0),
        max_function_defs: Some(0),
        max_instruction_defs: Some(0),
        max_stack_elements: Some(0),
        max_size_of_instructions: Some(0),
        max_component_elements: Some(0),
        max_component_depth: Some(0),
    }
}

fn hmtx(outlines: &[SimpleGlyph]) -> Hmtx {
    let empty = std::iter::repeat_n(LongMetric::new(ADVANCE, 0), 2);
    let metrics = outlines.iter().map(|glyph| LongMetric::new(ADVANCE, glyph.bbox.x_min));
    Hmtx::new(empty.chain(metrics).collect(), Vec::new())
}

fn cmap(letters: &[(Optotype, Vec<char>)]) -> Result<Cmap, FontError> {
    let numbered = (2_u32..).zip(letters);
    let stands = numbered.flat_map(|(number, (_, stands))| {
        stands.iter().map(move |character| (*character, GlyphId::new(number)))
    });
    Cmap::from_mappings(std::iter::once((' ', GlyphId::new(1))).chain(stands)).map_err(refused)
}

fn names(letters: &[(Optotype, Vec<char>)]) -> Vec<String> {
    let own = letters.iter().map(|(_, stands)| format!("u{:04X}", u32::from(stands[0])));
    [".notdef".to_owned(), "space".to_owned()].into_iter().chain(own).collect()
}

fn name() -> Name {
    let record =
        |id: NameId, text: &str| NameRecord::new(3, 1, 0x0809, id, OffsetMarker::new(text.to_owned()));
    Name::new(vec![
        record(NameId::FAMILY_NAME, FAMILY),
        record(NameId::SUBFAMILY_NAME, "Regular"),
        record(NameId::UNIQUE_ID, "evenfield letters 1"),
        record(NameId::FULL_NAME, FAMILY),
        record(NameId::VERSION_STRING, "Version 1.0"),
        record(NameId::POSTSCRIPT_NAME, "evenfield-letters"),
        record(
            NameId::DESCRIPTION,
            "For slides and handouts, not for examination: what shows it draws its edges.",
        ),
    ])
}

fn os2(letters: &[(Optotype, Vec<char>)]) -> Os2 {
    let last = letters.iter().flat_map(|(_, stands)| stands).max().copied().unwrap_or(' ');
    Os2 {
        x_avg_char_width: 32_000,
        us_weight_class: 400,
        us_width_class: 5,
        ach_vend_id: Tag::new(b"    "),
        fs_selection: SelectionFlags::REGULAR,
        us_first_char_index: 0x20,
        us_last_char_index: u16::try_from(u32::from(last)).unwrap_or(u16::MAX),
        s_typo_ascender: 16_000,
        s_typo_descender: 0,
        s_typo_line_gap: 16_000,
        us_win_ascent: AN_EM,
        us_win_descent: 0,
        sx_height: Some(16_000),
        s_cap_height: Some(16_000),
        us_default_char: Some(0),
        us_break_char: Some(0x20),
        us_max_context: Some(1),
        ul_code_page_range_1: Some(1),
        ul_code_page_range_2: Some(0),
        ..Os2::default()
    }
}
