//! Reading a PDF of filled paths.

use hayro_syntax::content::ops::TypedInstruction as Op;
use hayro_syntax::object::{Dict, Name, Number, Object, String as PdfString};
use hayro_syntax::{LoadPdfError, Pdf};
use kurbo::{Affine, BezPath, Point, Rect, Shape};

use super::claim::Claim;
use super::drawing::Drawing;
use super::png::ReadError;
use crate::quantity::Length;

/// What a file ends with, and in how many of its last bytes it must stand.
const END: &[u8] = b"%%EOF";
const TAIL_BYTES: usize = 1024;

/// What is painted with as a page is read.
#[derive(Clone)]
struct Brush {
    place: Affine,
    codes: [u8; 3],
}

pub(super) fn decode(bytes: Vec<u8>, name: &str) -> Result<Drawing, ReadError> {
    let refused = |problem: String| ReadError::NotADrawing { path: name.into(), problem };
    let not_whole = || refused("it is not a whole PDF".into());
    // The reader mends files that were cut off; a chart is not mended.
    let tail = &bytes[bytes.len().saturating_sub(TAIL_BYTES)..];
    if !tail.windows(END.len()).any(|part| part == END) {
        return Err(not_whole());
    }
    let pdf = Pdf::new(bytes).map_err(|problem| match problem {
        LoadPdfError::Decryption(_) => refused("it is locked".into()),
        LoadPdfError::Invalid => not_whole(),
    })?;
    let page = pdf.pages().first().ok_or_else(not_whole)?;
    let sheet = page.media_box();
    known_alone(&pdf).map_err(refused)?;
    let shown = page.crop_box();
    let moved = [shown.x0 - sheet.x0, shown.y0 - sheet.y0, shown.x1 - sheet.x1, shown.y1 - sheet.y1];
    if moved.into_iter().any(|side| side.abs() > 1e-3) {
        return Err(refused("part of its page is cropped away".into()));
    }
    let claim = claim(&pdf);
    // A near chart's second page matches its inks and has no letters; a chart has one.
    let near =
        claim.as_ref().and_then(|claim| claim.as_ref().ok()).is_some_and(|claim| claim.distance.is_some());
    let most = if near { 2 } else { 1 };
    if pdf.pages().len() > most {
        return Err(refused(format!("it has {} pages and not {most}", pdf.pages().len())));
    }
    let [width, height] = [sheet.x1 - sheet.x0, sheet.y1 - sheet.y0].map(Length::points);
    // Points from the lower left corner become millimetres from the upper left one.
    let mm = Length::points(1.0).to_mm();
    let place = Affine::new([mm, 0.0, 0.0, -mm, -sheet.x0 * mm, sheet.y1 * mm]);
    let mut page_of = Page {
        brush: Brush { place, codes: [0; 3] },
        kept: Vec::new(),
        path: BezPath::new(),
        areas: Vec::new(),
        words: Vec::new(),
    };
    let mut operations = page.typed_operations();
    while let Some(operation) = operations.next() {
        page_of.take(&operation).map_err(refused)?;
    }
    Ok(Drawing { size: [width, height], areas: page_of.areas, words: page_of.words, claim })
}

/// All that may stand on a page and on what holds pages: anything else could turn, scale, cover or run something.
const KNOWN: [(&[u8], &[&[u8]]); 3] = [
    (b"Catalog", &[b"Type", b"Pages", b"Lang", b"ViewerPreferences"]),
    (b"Pages", &[b"Type", b"Kids", b"Count"]),
    (b"Page", &[b"Type", b"Parent", b"MediaBox", b"CropBox", b"TrimBox", b"Contents", b"Resources"]),
];

fn known_alone(pdf: &Pdf) -> Result<(), String> {
    for object in pdf.objects() {
        let Object::Dict(dict) = object else { continue };
        let Some(kind) = dict.get::<Name<'_>>("Type") else { continue };
        let Some((_, known)) = KNOWN.iter().find(|(name, _)| *name == &*kind) else { continue };
        if let Some(other) = dict.keys().find(|key| !known.contains(&&**key)) {
            let other = String::from_utf8_lossy(&other).into_owned();
            return Err(format!("its pages have /{other}, which is not measured"));
        }
    }
    Ok(())
}

struct Page {
    brush: Brush,
    kept: Vec<Brush>,
    path: BezPath,
    areas: Vec<(BezPath, [u8; 3])>,
    /// Where words begin.
    words: Vec<Point>,
}

impl Page {
    /// Whether there is a place to draw from.
    fn begun(&self) -> bool {
        !self.path.elements().is_empty()
    }

    #[allow(clippy::wildcard_enum_match_arm, reason = "what is not filled paths is refused, whatever it is")]
    fn take(&mut self, operation: &Op<'_, '_>) -> Result<(), String> {
        let at = |x: &Number, y: &Number| (x.as_f64(), y.as_f64());
        match operation {
            Op::SaveState(_) => self.kept.push(self.brush.clone()),
            Op::RestoreState(_) => self.brush = self.kept.pop().ok_or("it restores what it did not save")?,
            Op::Transform(by) => {
                let by = [&by.0, &by.1, &by.2, &by.3, &by.4, &by.5].map(Number::as_f64);
                self.brush.place *= Affine::new(by);
            }
            Op::NonStrokeColorDeviceRgb(by) => {
                self.brush.codes = [&by.0, &by.1, &by.2].map(|share| code(share.as_f64()));
            }
            Op::NonStrokeColorDeviceGray(by) => self.brush.codes = [code(by.0.as_f64()); 3],
            Op::MoveTo(to) => self.path.move_to(at(&to.0, &to.1)),
            Op::LineTo(to) if self.begun() => self.path.line_to(at(&to.0, &to.1)),
            Op::CubicTo(to) if self.begun() => {
                self.path.curve_to(at(&to.0, &to.1), at(&to.2, &to.3), at(&to.4, &to.5));
            }
            Op::ClosePath(_) if self.begun() => self.path.close_path(),
            Op::RectPath(rect) => {
                let [x, y, width, height] = [&rect.0, &rect.1, &rect.2, &rect.3].map(Number::as_f64);
                self.path.extend(Rect::new(x, y, x + width, y + height).path_elements(0.0));
            }
            Op::FillPathNonZero(_) | Op::FillPathNonZeroCompatibility(_) => {
                self.areas.push((self.brush.place * std::mem::take(&mut self.path), self.brush.codes));
            }
            Op::EndPath(_) => self.path = BezPath::new(),
            Op::EndText(_) | Op::TextFont(_) | Op::ShowText(_) => {}
            // Words begin there unless they are placed.
            Op::BeginText(_) => self.words.push(self.brush.place * Point::ZERO),
            Op::SetTextMatrix(by) => {
                self.words.push(self.brush.place * Point::new(by.4.as_f64(), by.5.as_f64()));
            }
            _ => {
                return Err(
                    "its page has more than filled paths: lines, pictures, clips or other colours".into()
                );
            }
        }
        Ok(())
    }
}

/// A share of full drive as a code.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and 255")]
fn code(share: f64) -> u8 {
    (share * 255.0).round().clamp(0.0, 255.0) as u8
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
