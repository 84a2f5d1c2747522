use hayro_syntax::object::FromBytes;

use super::*;

const MM: f64 = 25.4 / 72.0;

/// A file of a page, by its parts.
struct File<'a> {
    catalogue: &'a str,
    pages: &'a str,
    page: &'a str,
    content: &'a [u8],
    stream: &'a str,
    more: Vec<&'a str>,
}

impl Default for File<'_> {
    /// A page of ten by five inches with a red box of 2 × 1 inches, an inch from the left and half an inch from below.
    fn default() -> Self {
        Self {
            catalogue: "/Type /Catalog /Pages 2 0 R",
            pages: "/Type /Pages /Kids [3 0 R] /Count 1",
            page: "/MediaBox [0 0 720 360]",
            content: b"1 0 0 rg 72 36 144 72 re f",
            stream: "",
            more: Vec::new(),
        }
    }
}

impl File<'_> {
    fn bytes(&self) -> Vec<u8> {
        let page = format!("/Type /Page /Parent 2 0 R /Contents 4 0 R {}", self.page);
        let mut objects: Vec<Vec<u8>> =
            [self.catalogue, self.pages, &page].map(|dict| format!("<<{dict}>>").into_bytes()).to_vec();
        let mut stream = format!("<</Length {} {}>>\nstream\n", self.content.len(), self.stream).into_bytes();
        stream.extend(self.content);
        stream.extend(b"\nendstream");
        objects.push(stream);
        objects.extend(self.more.iter().map(|more| more.as_bytes().to_vec()));
        let mut file = b"%PDF-1.7\n".to_vec();
        let mut table = format!("xref\n0 {}\n0000000000 65535 f \n", objects.len() + 1);
        for (object, number) in objects.iter().zip(1..) {
            table += &format!("{:010} 00000 n \n", file.len());
            file.extend(format!("{number} 0 obj\n").into_bytes());
            file.extend(object);
            file.extend(b"\nendobj\n");
        }
        let start = file.len();
        file.extend(table.into_bytes());
        file.extend(
            format!("trailer\n<</Size {} /Root 1 0 R>>\nstartxref\n{start}\n%%EOF\n", objects.len() + 1)
                .into_bytes(),
        );
        file
    }

    fn drawn(&self) -> Drawing {
        decode(self.bytes(), "a.pdf").unwrap_or_else(|error| panic!("{error}"))
    }

    fn refused(&self) -> String {
        decode(self.bytes(), "a.pdf").err().expect("it is refused").to_string()
    }
}

fn page(page: &str) -> File<'_> {
    File { page, ..File::default() }
}

fn content(content: &str) -> File<'_> {
    File { content: content.as_bytes(), ..File::default() }
}

/// Boxes in points from the upper left corner of the page, and codes.
fn boxes(drawing: &Drawing) -> Vec<([f64; 4], [u8; 3])> {
    let of = |(area, codes): &(BezPath, [u8; 3])| (points(area.bounding_box()), *codes);
    drawing.areas.iter().map(of).collect()
}

fn points(bounds: Rect) -> [f64; 4] {
    [bounds.x0, bounds.y0, bounds.x1, bounds.y1].map(|side| side / MM)
}

fn near(ours: &[f64], by_hand: &[f64]) {
    const DUST: f64 = 1e-4;
    assert!(
        ours.len() == by_hand.len()
            && ours.iter().zip(by_hand).all(|(one, other)| (one - other).abs() < DUST),
        "{ours:?} {by_hand:?}"
    );
}

#[test]
fn points_from_below_become_millimetres_from_above() {
    let drawing = File::default().drawn();
    near(&drawing.size.map(Length::to_mm), &[254.0, 127.0]);
    let [(place, codes)] = boxes(&drawing)[..] else { panic!("one box") };
    near(&place, &[72.0, 252.0, 216.0, 324.0]);
    assert_eq!((codes, drawing.words.len(), drawing.claim.is_none()), ([255, 0, 0], 0, true));
    // A page may begin elsewhere.
    let moved = page("/MediaBox [10 20 730 380]").drawn();
    near(&moved.size.map(Length::to_mm), &[254.0, 127.0]);
    near(&boxes(&moved)[0].0, &[62.0, 272.0, 206.0, 344.0]);
}

#[test]
fn a_page_is_neither_cropped_turned_nor_mixed() {
    for taken in [
        "/MediaBox [10 20 730 380] /CropBox [10.005 20.005 729.995 379.995]",
        "/MediaBox [0 0 720 360] /Rotate 0 /TrimBox [0 0 720 360]",
        "/MediaBox [0 0 720 360] /Group <</Type /Group /S /Transparency /CS /DeviceRGB /I true>>",
    ] {
        page(taken).drawn();
    }
    for (text, why) in [
        ("/MediaBox [10 20 730 380] /CropBox [10.02 20 730 380]", "cropped"),
        ("/MediaBox [10 20 730 380] /CropBox [10 20.02 730 380]", "cropped"),
        ("/MediaBox [10 20 730 380] /CropBox [10 20 729.98 380]", "cropped"),
        ("/MediaBox [10 20 730 380] /CropBox [10 20 730 379.98]", "cropped"),
        ("/MediaBox [0 0 720 360] /Rotate 90", "turned"),
        ("/MediaBox [0 0 720 360] /Rotate /Any", "turned"),
        ("/MediaBox [0 0 720 360] /Group <</S /Other>>", "turned"),
        ("/MediaBox [0 0 720 360] /Group <</S /Transparency /K true>>", "turned"),
        ("/MediaBox [0 0 720 360] /Group 3", "turned"),
        ("/MediaBox [0 0 720 360] /Annots []", "/Annots"),
        ("/MediaBox [0 0 720 360] /TrimBox [0 0 720]", "a box of its page"),
        ("/MediaBox [0 0 720 360] /TrimBox [0 0 720 360 360]", "a box of its page"),
        ("/MediaBox [0 0 720 360] /TrimBox [0 0 720 /A]", "a box of its page"),
        ("/MediaBox [0 0 720 360] /Resources <</ColorSpace <</A /DeviceGray>>>>", "colour spaces"),
    ] {
        let said = page(text).refused();
        assert!(said.contains(why), "{text}: {said}");
    }
    page("/MediaBox [0 0 720 360] /Resources <</Font <<>>>>").drawn();
}

#[test]
fn there_is_one_list_of_pages_and_it_is_whole() {
    let second = || vec!["<</Type /Page /Parent 2 0 R /MediaBox [0 0 9 9]>>"];
    let two = File { pages: "/Type /Pages /Kids [3 0 R 5 0 R] /Count 2", more: second(), ..File::default() };
    assert!(two.refused().contains("2 pages and not 1"));
    for file in [
        File { pages: "/Type /Pages /Kids [3 0 R] /Count 2", ..File::default() },
        File { more: second(), ..File::default() },
        File { more: vec!["<</Type /Pages /Kids [] /Count 0>>"], ..File::default() },
        File { more: vec!["<</Type /Catalog /Pages 2 0 R>>"], ..File::default() },
    ] {
        assert!(file.refused().contains("its list of pages is damaged"));
    }
    for (file, entry) in [
        (File { catalogue: "/Type /Catalog /Pages 2 0 R /OpenAction 9", ..File::default() }, "/OpenAction"),
        (File { pages: "/Type /Pages /Kids [3 0 R] /Count 1 /Rotate 90", ..File::default() }, "/Rotate"),
    ] {
        assert!(file.refused().contains(entry));
    }
    // What has another type, or none, is no concern.
    File { more: vec!["<</Type /Font /Annots 3>>", "<</Annots 3>>"], ..File::default() }.drawn();
}

#[test]
fn what_a_page_is_drawn_by_is_unpacked_whole_or_not_at_all() {
    let plain = File::default();
    let packed = miniz_oxide::deflate::compress_to_vec_zlib(plain.content, 6);
    let flate = File { content: &packed, stream: "/Filter /FlateDecode", ..File::default() };
    near(&boxes(&flate.drawn())[0].0, &[72.0, 252.0, 216.0, 324.0]);
    let mut damaged = packed.clone();
    *damaged.last_mut().unwrap() ^= 1;
    for (content, stream) in [
        (&damaged, "/Filter /FlateDecode"),
        (&packed, "/Filter /FlateDecode /DecodeParms <</Predictor 1>>"),
        (&packed, "/Filter [/FlateDecode /FlateDecode]"),
        (&packed, "/Filter /ASCIIHexDecode"),
    ] {
        assert!(decode(File { content, stream, ..File::default() }.bytes(), "a.pdf").is_err(), "{stream}");
    }
    // A filter that is no zlib, on what it reads.
    let hex = File { content: b"6e>", stream: "/Filter /ASCIIHexDecode", ..File::default() };
    assert!(decode(hex.bytes(), "a.pdf").is_err());
    // Several, one behind the other, between words.
    let parts = vec![
        "<</Length 12>>\nstream\n1 0 0 rg 0 0\nendstream",
        "<</Length 9>>\nstream\n9 9 re f \nendstream",
    ];
    let text = String::from_utf8(File { more: parts, ..File::default() }.bytes()).unwrap();
    let joined = text.replace("/Contents 4 0 R", "/Contents[5 0 R 6 0 R]");
    assert!(decode(joined.into_bytes(), "a.pdf").is_err(), "its table no longer agrees");
}

#[test]
fn instructions_draw_as_the_standard_has_them() {
    // Filled places from the lower left corner of a page 360 points high.
    let found = boxes(
        &content("q 2 0 0 3 10 20 cm 0 1 0 rg 1 2 10 10 re f Q 0.4 g 5 6 7 8 re n 1 2 3 4 re f").drawn(),
    );
    assert_eq!(found.len(), 2);
    near(&found[0].0, &[12.0, 360.0 - 56.0, 32.0, 360.0 - 26.0]);
    near(&found[1].0, &[1.0, 360.0 - 6.0, 4.0, 360.0 - 2.0]);
    assert_eq!([found[0].1, found[1].1], [[0, 255, 0], [102; 3]]);
    // After a fill the path is empty, and nought is black before a colour is named.
    let curve = content("10 20 m 30 20 l 30 40 30 40 10 40 c h f 0 0 m 1 0 l 1 1 l h f").drawn();
    let areas = boxes(&curve);
    near(&areas[0].0, &[10.0, 320.0, 30.0, 340.0]);
    near(&areas[1].0, &[0.0, 359.0, 1.0, 360.0]);
    assert_eq!(areas[0].1, [0; 3]);
    assert_eq!(curve.areas[0].0.elements().len(), 4, "it is closed");
    for (text, why) in [("Q", "restore"), ("0 0 5 5 re S", "only filled paths")] {
        let said = content(text).refused();
        assert!(said.contains(why), "{text}: {said}");
    }
}

#[test]
fn a_graphics_state_changes_nothing() {
    let states = "/MediaBox [0 0 720 360] /Resources <</ExtGState <</A <</Type /ExtGState /ca 1 /CA 1.0>> /B <</ca 0.5>> /C <</BM /Multiply>>>>>>";
    let said = |content: &'static [u8]| File { page: states, content, ..File::default() };
    said(b"/A gs 0 0 5 5 re f").drawn();
    for other in [&b"/B gs 0 0 5 5 re f"[..], b"/C gs 0 0 5 5 re f", b"/D gs 0 0 5 5 re f"] {
        assert!(said(other).refused().contains("see-through"));
    }
}

#[test]
fn words_cover_a_little_more_than_they_may() {
    // Each byte of a word as it is written, brackets and all, for a letter of 1.5 sizes at most, from 0.3 below the line to 1.0 above
    // it; a word behind another runs on.
    let words = |text: &str| content(text).drawn().words.into_iter().map(points).collect::<Vec<_>>();
    let found =
        words("BT /F 10 Tf 1 0 0 1 100 50 Tm (abc) Tj (de) Tj ET BT (f) Tj 2 0 0 2 20 30 Tm (g) Tj ET");
    assert_eq!(found.len(), 4);
    for (ours, [x0, y0, x1, y1]) in found.iter().zip([
        [100.0, 47.0, 175.0, 60.0],
        [175.0, 47.0, 235.0, 60.0],
        [0.0, -3.0, 45.0, 10.0],
        [20.0, 24.0, 110.0, 50.0],
    ]) {
        near(ours, &[x0, 360.0 - y1, x1, 360.0 - y0]);
    }
}

#[test]
fn a_file_says_what_it_shows_under_its_own_name() {
    let claim = |more: &'static str| File { more: vec![more], ..File::default() }.drawn().claim;
    assert!(claim("<</evenfield (no claim)>>").unwrap().is_err());
    assert!(claim("<</Title (no claim)>>").is_none());
    let read = |bytes: &'static [u8]| text(&Dict::from_bytes(bytes).unwrap());
    assert_eq!(read(b"<</evenfield (\xe9 a)>>").as_deref(), Some("é a"));
    assert_eq!(read(b"<</evenfield <FEFF03BB0061>>>").as_deref(), Some("λa"));
    assert_eq!(read(b"<</other (a)>>"), None);
}

#[test]
fn dictionaries_are_held_to_the_letter() {
    let dict = |bytes: &'static [u8]| {
        Dict::from_bytes(bytes).unwrap_or_else(|| panic!("{} is none", String::from_utf8_lossy(bytes)))
    };
    for (bytes, twice) in [
        (&b"<</A 1 /B 2>>"[..], false),
        (b"<</A 1 /B 2 /A 3>>", true),
        (b"<</A /A>>", true),
        (b"<</A <</B 1>> /B 2>>", false),
        (b"<</A [/B /B] /C 2>>", false),
        (b"<</A (B) /C (D)>>", false),
        (b"<</A (() /A) /C 1>>", true),
        (b"<</A (B\\)) /C 1>>", true),
        (b"<</A % /A\n 1 /B 2>>", false),
        (b"<</A<</B 1>>/A 2>>", true),
        (b"<</AB 1/A 2>>", false),
    ] {
        assert_eq!(repeats(&dict(bytes)), twice, "{}", String::from_utf8_lossy(bytes));
    }
    assert_eq!(
        entries(&dict(b"<</Type/Group /S /Transparency\n/ca 1>>")).unwrap(),
        [("Type", "/Group"), ("S", "/Transparency"), ("ca", "1")]
    );
    for bytes in [&b"<</A [1]>>"[..], b"<</A (b)>>", b"<</A 1 /A 2>>", b"<</A 1 % b\n>>"] {
        assert_eq!(entries(&dict(bytes)), None, "{}", String::from_utf8_lossy(bytes));
    }
}

#[test]
fn what_stops_with_a_panic_is_given_up_without_a_word() {
    assert_eq!(fenced(|| 3), Some(3));
    assert_eq!(fenced(|| -> i32 { panic!("made up") }), None);
}
