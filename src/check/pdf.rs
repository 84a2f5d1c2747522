//! Reading a PDF of filled paths.
//!
//! Three gates, one behind the other: the file as a whole ([`syntax`](super::syntax)), what its pages may be made of
//! (`known_alone`), and every instruction of the page ([`content`](super::content)). Only then is anything drawn. A near chart's
//! words are not measured; where they may stand is kept, so that they are known not to lie on letters.

use std::sync::{Mutex, PoisonError};

use hayro_syntax::object::{Array, Dict, Name, Object, Stream, String as PdfString};
use hayro_syntax::{Filter, LoadPdfError, Pdf};
use kurbo::{Affine, BezPath, Rect, Shape};

use super::content::{Instruction, Operator, instructions};
use super::drawing::Drawing;
use super::inflate;
use super::numeral::code;
use super::png::ReadError;
use super::syntax;
use crate::claim::Claim;
use crate::quantity::Length;

/// How much of a page's edge may be cropped away, in points: programs round its sides to hundredths.
const CROPPED_POINTS: f64 = 0.01;

/// What is painted with as a page is read.
#[derive(Clone)]
struct Brush {
    place: Affine,
    codes: [u8; 3],
    /// The size of its letters, in the units of the place where they stand.
    font: f64,
}

/// How wide a letter is at most, and how far above and below its line it reaches, in its font's sizes: a little more than any
/// of the crate's fonts.
const LETTER_WIDE: f64 = 1.5;
const LETTER_ABOVE: f64 = 1.0;
const LETTER_BELOW: f64 = 0.3;

pub(super) fn decode(bytes: Vec<u8>, name: &str) -> Result<Drawing, ReadError> {
    let refused = |problem: String| ReadError::NotADrawing { path: name.into(), problem };
    let root = inflate::bounded(&bytes).and_then(|()| syntax::whole(&bytes)).map_err(refused)?;
    let read = fenced(|| read(bytes, root));
    read.unwrap_or_else(|| Err("the library that reads it gave up".into())).map_err(refused)
}

/// Runs what may stop with a panic on what nobody foresaw, without a word on the terminal; none where it did.
pub(super) fn fenced<T>(work: impl FnOnce() -> T + std::panic::UnwindSafe) -> Option<T> {
    static HOOK: Mutex<()> = Mutex::new(());
    let _alone = HOOK.lock().unwrap_or_else(PoisonError::into_inner);
    let loud = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| {}));
    let done = std::panic::catch_unwind(work).ok();
    std::panic::set_hook(loud);
    done
}

fn read(bytes: Vec<u8>, root: u32) -> Result<Drawing, String> {
    const NOT_WHOLE: &str = "it is not a whole PDF";
    let pdf = Pdf::new(bytes).map_err(|problem| match problem {
        LoadPdfError::Decryption(_) => "it is locked",
        LoadPdfError::Invalid => NOT_WHOLE,
    })?;
    let page = pdf.pages().first().ok_or(NOT_WHOLE)?;
    let sheet = page.media_box();
    known_alone(&pdf, root)?;
    let shown = page.crop_box();
    let moved = [shown.x0 - sheet.x0, shown.y0 - sheet.y0, shown.x1 - sheet.x1, shown.y1 - sheet.y1];
    if moved.into_iter().any(|side| side.abs() > CROPPED_POINTS) {
        return Err("part of its page is cropped away".into());
    }
    let claim = claim(&pdf);
    // A near chart's second page matches its inks and has no letters; a chart has one.
    let near =
        claim.as_ref().and_then(|claim| claim.as_ref().ok()).is_some_and(|claim| claim.distance.is_some());
    let most = if near { 2 } else { 1 };
    if pdf.pages().len() > most {
        return Err(format!("it has {} pages and not {most}", pdf.pages().len()));
    }
    let [width, height] = [sheet.x1 - sheet.x0, sheet.y1 - sheet.y0].map(Length::points);
    // Points from the lower left corner become millimetres from the upper left one.
    let mm = Length::points(1.0).to_mm();
    let place = Affine::new([mm, 0.0, 0.0, -mm, -sheet.x0 * mm, sheet.y1 * mm]);
    let mut drawn = Page {
        brush: Brush { place, codes: [0; 3], font: 0.0 },
        word: Affine::IDENTITY,
        run: 0.0,
        states: opaque_states(page.raw()),
        kept: Vec::new(),
        path: BezPath::new(),
        areas: Vec::new(),
        words: Vec::new(),
    };
    for instruction in instructions(&stream(page.raw())?)? {
        drawn.take(&instruction)?;
    }
    Ok(Drawing { size: [width, height], areas: drawn.areas, words: drawn.words, claim })
}

/// What a page is drawn by: one stream, or several one behind the other.
fn stream(page: &Dict<'_>) -> Result<Vec<u8>, String> {
    const UNREADABLE: &str = "what its page is drawn by cannot be unpacked";
    let unpacked = |stream: &Stream<'_>| -> Result<Vec<u8>, String> {
        let plain = stream.filters().iter().all(|filter| matches!(filter, Filter::FlateDecode));
        if !plain || stream.filters().len() > 1 || stream.dict().keys().any(|key| PACKED.contains(&&*key)) {
            return Err(UNREADABLE.into());
        }
        let raw = stream.raw_data();
        // A reader goes by the length, another one by the end of what is packed, and one mends what is damaged.
        let length = stream.dict().get::<i32>("Length").and_then(|length| usize::try_from(length).ok());
        let whole = stream.filters().is_empty() || miniz_oxide::inflate::decompress_to_vec_zlib(&raw).is_ok();
        if length != Some(raw.len()) || !whole {
            return Err("what its page is drawn by is damaged".into());
        }
        Ok(stream.decoded_data().map_err(|_| UNREADABLE)?.into_owned())
    };
    if let Some(one) = page.get::<Stream<'_>>("Contents") {
        return unpacked(&one);
    }
    let Some(all) = page.get::<Array<'_>>("Contents") else { return Ok(Vec::new()) };
    let mut joined = Vec::new();
    for part in all.iter::<Object<'_>>() {
        let part = part.into_stream().ok_or(UNREADABLE)?;
        joined.extend(unpacked(&part)?);
        joined.push(b'\n');
    }
    Ok(joined)
}

/// What would change a stream after it is unpacked, or fetch it from elsewhere.
const PACKED: [&[u8]; 6] = [b"DecodeParms", b"DP", b"F", b"FFilter", b"FDecodeParms", b"DL"];

/// All that may stand on a page and on what holds pages: anything else could turn, scale, cover or run something.
const KNOWN: [(&[u8], &[&[u8]]); 3] = [
    (b"Catalog", &[b"Type", b"Pages", b"Lang", b"ViewerPreferences", b"Metadata"]),
    (b"Pages", &[b"Type", b"Kids", b"Count"]),
    (
        b"Page",
        &[
            b"Type",
            b"Parent",
            b"MediaBox",
            b"CropBox",
            b"TrimBox",
            b"Contents",
            b"Resources",
            b"Rotate",
            b"Group",
        ],
    ),
];

/// Whether a page is neither turned nor mixed with what lies under it in another way than an opaque one is.
fn is_plain(page: &Dict<'_>) -> bool {
    let is_upright = !page.contains_key("Rotate") || page.get::<i32>("Rotate") == Some(0);
    let is_opaque = |group: &Dict<'_>| {
        entries(group).is_some_and(|entries| {
            entries.iter().all(|entry| {
                matches!(
                    entry,
                    ("Type", "/Group")
                        | ("S", "/Transparency")
                        | ("CS", "/DeviceRGB")
                        | ("I", "true" | "false")
                )
            })
        })
    };
    is_upright
        && (!page.contains_key("Group") || page.get::<Dict<'_>>("Group").as_ref().is_some_and(is_opaque))
}

/// The names of a page's graphics states that say only that it is painted without transparency.
fn opaque_states(page: &Dict<'_>) -> Vec<Vec<u8>> {
    let resources = page.get::<Dict<'_>>("Resources").filter(|resources| !repeats(resources));
    let states = resources.and_then(|resources| resources.get::<Dict<'_>>("ExtGState"));
    let Some(states) = states.filter(|states| !repeats(states)) else { return Vec::new() };
    let is_opaque = |name: &Name<'_>| {
        let entries = states.get::<Dict<'_>>(name).as_ref().and_then(|state| {
            let entries = entries(state)?;
            Some(
                entries
                    .iter()
                    .all(|entry| matches!(entry, ("Type", "/ExtGState") | ("ca" | "CA", "1" | "1.0"))),
            )
        });
        entries == Some(true)
    };
    states.keys().filter(is_opaque).map(|name| name.to_vec()).collect()
}

/// A dictionary of words, names and numbers alone, by the letter; none where it holds anything else or a key twice.
fn entries<'a>(dict: &Dict<'a>) -> Option<Vec<(&'a str, &'a str)>> {
    let text = std::str::from_utf8(dict.data()).ok()?;
    let within = text.strip_prefix("<<")?.strip_suffix(">>")?;
    if within.contains(['<', '>', '[', ']', '(', ')', '{', '}', '%', '#']) {
        return None;
    }
    // A name ends where the next one begins.
    let starts = within.match_indices('/').map(|(at, _)| at).chain([within.len()]);
    let mut words = Vec::new();
    let mut from = 0;
    for start in starts {
        words.extend(within[from..start].split_ascii_whitespace());
        from = start;
    }
    let pairs: Vec<(&str, &str)> = words
        .chunks(2)
        .map(|pair| Some((pair[0].strip_prefix('/')?, *pair.get(1)?)))
        .collect::<Option<_>>()?;
    let is_new = |(at, (key, _)): (usize, &(&str, &str))| pairs[..at].iter().all(|(before, _)| before != key);
    pairs.iter().enumerate().all(is_new).then_some(pairs)
}

/// Whether a dictionary has a name twice among its own keys and names, of which readers take one or the other, or brackets
/// within strings, which could hide one.
fn repeats(dict: &Dict<'_>) -> bool {
    let bytes = dict.data();
    let (mut depth, mut at, mut seen) = (0_usize, 0, Vec::new());
    while at < bytes.len() {
        let rest = &bytes[at..];
        let long = match rest[0] {
            b'<' | b'[' => {
                depth += 1;
                1
            }
            b'>' | b']' => {
                depth = depth.saturating_sub(1);
                1
            }
            b'%' => rest.iter().take_while(|byte| !matches!(byte, b'\r' | b'\n')).count(),
            b'(' => match rest[1..].iter().position(|byte| b"()\\".contains(byte)) {
                Some(end) if rest[1 + end] == b')' => end + 2,
                _ => return true,
            },
            b'/' => {
                let is_end = |byte: &u8| byte.is_ascii_whitespace() || b"/<>[]()%".contains(byte);
                let long = 1 + rest[1..].iter().take_while(|byte| !is_end(byte)).count();
                // Two signs open a dictionary.
                if depth == 2 {
                    let name = &rest[..long];
                    if seen.contains(&name) {
                        return true;
                    }
                    seen.push(name);
                }
                long
            }
            _ => 1,
        };
        at += long;
    }
    false
}

/// Only what is known stands on pages, and there are one catalogue, one list of pages and as many pages as are read: a reader
/// that mends a damaged list may show other pages than another one.
fn known_alone(pdf: &Pdf, root: u32) -> Result<(), String> {
    let pages = pdf.pages().len();
    let mut found = [0; KNOWN.len()];
    for object in pdf.objects() {
        let Object::Dict(dict) = object else { continue };
        let Some(kind) = dict.get::<Name<'_>>("Type") else { continue };
        let Some(index) = KNOWN.iter().position(|(name, _)| *name == &*kind) else { continue };
        found[index] += 1;
        says_only(&dict, KNOWN[index].1)?;
        // The root is the catalogue, and it names the list of pages.
        let is_root = dict.obj_id().is_some_and(|id| id.obj_number == root);
        let whole = match KNOWN[index].0 {
            b"Catalog" => is_root && names_pages(&dict),
            b"Pages" => lists(&dict, pages),
            _ => true,
        };
        if !whole {
            return Err("its list of pages is damaged".into());
        }
        has_plain_boxes_and_colours(&dict)?;
    }
    if found != [1, 1, pages] {
        return Err("its list of pages is damaged".into());
    }
    Ok(())
}

/// Only entries that are known, each once, and nothing that turns a page or mixes it with others.
fn says_only(dict: &Dict<'_>, known: &[&[u8]]) -> Result<(), String> {
    if let Some(other) = dict.keys().find(|key| !known.contains(&&**key)) {
        let other = String::from_utf8_lossy(&other).into_owned();
        return Err(format!("its pages have /{other}, which is not measured"));
    }
    if repeats(dict) {
        return Err("its pages have an entry twice, of which readers take one or the other".into());
    }
    if !is_plain(dict) {
        return Err(
            "its page is turned (/Rotate) or mixed with others (/Group), which is not measured".into()
        );
    }
    Ok(())
}

/// Whether a catalogue names a list of pages.
fn names_pages(catalogue: &Dict<'_>) -> bool {
    let pages = catalogue.get::<Dict<'_>>("Pages").and_then(|pages| pages.get::<Name<'_>>("Type"));
    pages.is_some_and(|kind| &*kind == b"Pages")
}

/// Whether a list of pages has so many, and says so.
fn lists(list: &Dict<'_>, pages: usize) -> bool {
    let kids = list.get::<Array<'_>>("Kids").map(|kids| kids.iter::<Object<'_>>().count());
    let count = list.get::<i32>("Count").and_then(|count| usize::try_from(count).ok());
    kids == Some(pages) && count == Some(pages)
}

/// Refuses boxes that are not four numbers, and colour spaces.
fn has_plain_boxes_and_colours(dict: &Dict<'_>) -> Result<(), String> {
    if BOXES.iter().filter_map(|name| dict.get::<Array<'_>>(*name)).any(|corners| !is_box(&corners)) {
        return Err("a box of its page is not four numbers".into());
    }
    let resources = dict.get::<Dict<'_>>("Resources");
    if resources.is_some_and(|resources| resources.keys().any(|key| &*key == b"ColorSpace")) {
        return Err("its page has colour spaces of its own, which may change its colours".into());
    }
    Ok(())
}

/// The boxes of a page.
const BOXES: [&[u8]; 3] = [b"MediaBox", b"CropBox", b"TrimBox"];

fn is_box(corners: &Array<'_>) -> bool {
    let items: Vec<Object<'_>> = corners.iter::<Object<'_>>().collect();
    items.len() == 4 && items.iter().all(|item| matches!(item, Object::Number(_)))
}

struct Page {
    brush: Brush,
    /// The names of graphics states that change nothing.
    states: Vec<Vec<u8>>,
    kept: Vec<Brush>,
    path: BezPath,
    areas: Vec<(BezPath, [u8; 3])>,
    /// Where the words of the text at hand stand, and how far they run.
    word: Affine,
    run: f64,
    /// What words may cover.
    words: Vec<Rect>,
}

impl Page {
    /// Draws by an instruction, whose numbers are as many as it takes.
    fn take(&mut self, instruction: &Instruction) -> Result<(), String> {
        match (instruction.operator, instruction.numbers.as_slice()) {
            (Operator::Save, _) => self.kept.push(self.brush.clone()),
            (Operator::Restore, _) => {
                self.brush = self.kept.pop().ok_or("it restores what it did not save")?;
            }
            (Operator::Transform, &[a, b, c, d, e, f]) => {
                self.brush.place *= Affine::new([a, b, c, d, e, f]);
            }
            (Operator::GraphicsState, _) if !self.states.contains(&instruction.name) => {
                return Err("its page may be painted see-through (\"gs\"), which is not measured".into());
            }
            (Operator::FillRgb, &[red, green, blue]) => self.brush.codes = [red, green, blue].map(code),
            (Operator::FillGrey, &[grey]) => self.brush.codes = [code(grey); 3],
            (Operator::MoveTo, &[x, y]) => self.path.move_to((x, y)),
            (Operator::LineTo, &[x, y]) => self.path.line_to((x, y)),
            (Operator::CurveTo, &[x1, y1, x2, y2, x, y]) => self.path.curve_to((x1, y1), (x2, y2), (x, y)),
            (Operator::Close, _) => self.path.close_path(),
            (Operator::Rectangle, &[x, y, width, height]) => {
                self.path.extend(Rect::new(x, y, x + width, y + height).path_elements(0.0));
            }
            (Operator::Fill, _) => {
                self.areas.push((self.brush.place * std::mem::take(&mut self.path), self.brush.codes));
            }
            (Operator::EndPath, _) => self.path = BezPath::new(),
            (Operator::BeginText, _) => (self.word, self.run) = (Affine::IDENTITY, 0.0),
            (Operator::TextPlace, &[a, b, c, d, e, f]) => {
                (self.word, self.run) = (Affine::new([a, b, c, d, e, f]), 0.0);
            }
            (Operator::Font, &[size]) => self.brush.font = size,
            (Operator::ShowText, _) => self.show(instruction.letters)?,
            (Operator::EndText | Operator::GraphicsState, _) => {}
            _ => return Err("its page has an instruction with other numbers than it takes".into()),
        }
        Ok(())
    }

    /// Notes what a word may cover, behind those before it.
    fn show(&mut self, letters: usize) -> Result<(), String> {
        let size = self.brush.font;
        #[allow(clippy::cast_precision_loss, reason = "a page has less than 16 MiB")]
        let wide = letters as f64 * LETTER_WIDE * size;
        let line = Rect::new(self.run, -LETTER_BELOW * size, self.run + wide, LETTER_ABOVE * size).abs();
        self.run += wide;
        let covered = (self.brush.place * self.word).transform_rect_bbox(line);
        if !covered.is_finite() {
            return Err("it has words without end".into());
        }
        self.words.push(covered);
        Ok(())
    }
}

/// The project's own text in the document's information.
fn claim(pdf: &Pdf) -> Option<Result<Claim, String>> {
    let own = |object: Object<'_>| {
        let Object::Dict(dict) = object else { return None };
        text(&dict)
    };
    pdf.objects().into_iter().find_map(own).map(|json| Claim::parse(&json))
}

/// A text string: of two bytes a letter where it begins with their mark, else of one.
fn text(dict: &Dict<'_>) -> Option<String> {
    let string = dict.get::<PdfString<'_>>(crate::METADATA_KEY)?;
    let bytes = string.as_bytes();
    let Some(wide) = bytes.strip_prefix(&[0xFE, 0xFF]) else {
        return Some(bytes.iter().copied().map(char::from).collect());
    };
    let units: Vec<u16> = wide.chunks_exact(2).map(|pair| u16::from_be_bytes([pair[0], pair[1]])).collect();
    String::from_utf16(&units).ok()
}

#[cfg(test)]
mod tests;
