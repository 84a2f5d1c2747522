//! The letters of words in a PDF, cut down to those that are used.
//!
//! Only the glyphs that occur are embedded, with a table from each back to its letter, by which readers search and copy.

use std::collections::BTreeMap;

use ab_glyph::{Font as _, FontRef};
use miniz_oxide::deflate::compress_to_vec_zlib;
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, Str};
use subsetter::GlyphRemapper;

use super::{COMPRESSION, PdfError, single};
use crate::scene::{Face, Text};

const IDENTITY: SystemInfo<'static> =
    SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };

/// Widths in PDF count a thousandth of an em.
const AN_EM: f64 = 1000.0;

/// The glyphs of a face that some pages use, in the order of their first use.
pub(super) struct Subset {
    face: Face,
    mapper: GlyphRemapper,
    /// By new number: the letter and the advance in ems.
    glyphs: BTreeMap<u16, (char, f64)>,
}

impl Subset {
    pub(super) fn new(face: Face) -> Self {
        Self { face, mapper: GlyphRemapper::new(), glyphs: BTreeMap::new() }
    }

    /// The resource name of a face's font on every page.
    pub(super) const fn name(face: Face) -> Name<'static> {
        match face {
            Face::Regular => Name(b"regular"),
            Face::Bold => Name(b"bold"),
        }
    }

    /// The words as two bytes a glyph.
    pub(super) fn encode(&mut self, text: &Text) -> Vec<u8> {
        let number = |glyph: crate::scene::Glyph| {
            let number = self.mapper.remap(glyph.number);
            self.glyphs.insert(number, (glyph.letter, glyph.advance));
            number
        };
        text.glyphs().map(number).flat_map(u16::to_be_bytes).collect()
    }

    pub(super) fn is_empty(&self) -> bool {
        self.glyphs.is_empty()
    }

    /// Writes the font with just these glyphs; `next` hands out object numbers.
    pub(super) fn write(
        &self,
        pdf: &mut Pdf,
        font: Ref,
        next: &mut impl FnMut() -> Ref,
    ) -> Result<(), PdfError> {
        let [cid, descriptor, file, unicode] = [next(), next(), next(), next()];
        let name = self.base_font();
        let name = Name(name.as_bytes());
        pdf.type0_font(font)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(cid)
            .to_unicode(unicode);
        self.write_widths(pdf, cid, descriptor, name);
        self.describe(pdf, descriptor, file, name);
        let subset = subsetter::subset(self.face.bytes(), 0, &self.mapper).map_err(|_| PdfError::Font)?;
        let packed = compress_to_vec_zlib(&subset, COMPRESSION);
        let mut stream = pdf.stream(file, &packed);
        stream.filter(Filter::FlateDecode);
        stream.pair(Name(b"Length1"), i32::try_from(subset.len()).unwrap_or(i32::MAX));
        stream.finish();
        let mut map = UnicodeCmap::<u16>::new(Name(b"words"), IDENTITY);
        for (number, (letter, _)) in &self.glyphs {
            map.pair(*number, *letter);
        }
        let map = compress_to_vec_zlib(&map.finish(), COMPRESSION);
        pdf.cmap(unicode, &map).filter(Filter::FlateDecode);
        Ok(())
    }

    fn write_widths(&self, pdf: &mut Pdf, cid: Ref, descriptor: Ref, name: Name<'_>) {
        let mut font = pdf.cid_font(cid);
        font.subtype(CidFontType::Type2).base_font(name).system_info(IDENTITY).font_descriptor(descriptor);
        font.cid_to_gid_map_predefined(Name(b"Identity"));
        let mut widths = font.widths();
        for (number, (_, advance)) in &self.glyphs {
            widths.consecutive(*number, [single(advance * AN_EM)]);
        }
    }

    fn describe(&self, pdf: &mut Pdf, descriptor: Ref, file: Ref, name: Name<'_>) {
        let font: FontRef<'_> = self.face.font();
        let em = font.units_per_em().unwrap_or(1.0);
        let thousandths = |units: f32| units / em * single(AN_EM);
        let height =
            |letter| font.outline(font.glyph_id(letter)).map_or(0.0, |drawn| drawn.bounds.height().abs());
        let (up, down) = (thousandths(font.ascent_unscaled()), thousandths(font.descent_unscaled()));
        pdf.font_descriptor(descriptor)
            .name(name)
            .flags(FontFlags::SYMBOLIC)
            .bbox(Rect::new(-single(AN_EM), down, 2.0 * single(AN_EM), up))
            .italic_angle(0.0)
            .ascent(up)
            .descent(down)
            .cap_height(thousandths(height('H')))
            .stem_v(if self.face == Face::Bold { 140.0 } else { 80.0 })
            .font_file2(file);
    }

    /// The name with the tag that a subset must have: six letters from the letters used.
    fn base_font(&self) -> String {
        let letters: String = self.glyphs.values().map(|(letter, _)| *letter).collect();
        // Other letters give another tag.
        let mut hash = crc32fast::hash(letters.as_bytes());
        let mut tag = String::new();
        for _ in 0..6 {
            tag.push(char::from(b'A' + u8::try_from(hash % 26).unwrap_or(0)));
            hash /= 26;
        }
        let face = match self.face {
            Face::Regular => "DejaVuSans",
            Face::Bold => "DejaVuSans-Bold",
        };
        format!("{tag}+{face}")
    }
}
