//! Copies of honest charts with one damage each. Whenever the check passes one, a renderer that this project did not write
//! (resvg for SVG, poppler for PDF) must draw it as it draws the honest one.
//!
//! `EVENFIELD_MUTATIONS` is how many copies are made of each kind, for a long run.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a test may stop, and tells what it counted")]

use std::path::Path;
use std::process::Command;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::common::skip;
use crate::drawn::{Drawn, MOST_PIXELS, by_poppler, by_resvg, different};
use evenfield::acuity::Acuity;
use evenfield::chart::{self, Lines, Request};
use evenfield::check::{self, Expected};
use evenfield::export::{pdf, svg};
use evenfield::light::Fields;
use evenfield::optotype::LetterSet;
use evenfield::print::{NearChart, NearMatch, NearRequest, Paper};
use evenfield::quantity::Length;
use evenfield::room::Room;
use kurbo::{Rect, Shape};
use miniz_oxide::deflate::compress_to_vec_zlib;
use miniz_oxide::inflate::decompress_to_vec_zlib;

/// How many copies of each kind are made where the environment says nothing.
const COPIES: usize = 100;

/// The pixels of the room's screen, in which both pictures are drawn.
const PIXELS: [u32; 2] = [480, 300];

/// The pixels in which a near chart's page is drawn: 150 to the inch, so that its letters are as large as the chart's.
const NEAR_PIXELS: [u32; 2] = [1240, 1754];

/// An honest chart.
struct Honest {
    svg: String,
    pdf: Vec<u8>,
    /// In how many pixels it is drawn.
    pixels: [u32; 2],
    /// What of it is compared: columns from and to, rows from and to.
    parts: Vec<[u32; 4]>,
}

impl Honest {
    /// What is compared of a picture.
    fn compared(&self, picture: &[u8]) -> Vec<u8> {
        let at = |x: u32, y: u32| usize::try_from(3 * (y * self.pixels[0] + x)).unwrap();
        let rows = |part: &[u32; 4]| {
            let [left, right, top, bottom] = *part;
            (top..bottom).flat_map(move |y| picture[at(left, y)..at(right, y)].iter().copied()).collect()
        };
        self.parts.iter().flat_map(|part| -> Vec<u8> { rows(part) }).collect()
    }
}

fn honest() -> Vec<Honest> {
    let room = |mirror: bool| {
        let [columns, rows] = PIXELS;
        let text = format!(
            "[viewing]\ndistance_mm = 1600\nmirror = {mirror}\n[screen]\npixels = [{columns}, {rows}]\npitch_mm = 0.2745\n"
        );
        Room::from_toml(&text, "room").unwrap()
    };
    let plain = Request { seed: 5, ..Request::new(Acuity::standard(3)) };
    let requests = [
        (plain.clone(), false),
        (Request { letters: LetterSet::Rings, fields: Fields::White, ..plain.clone() }, false),
        (Request { letters: LetterSet::Hotv, ..plain }, true),
    ];
    let files = |(request, mirror): (Request, bool)| {
        let scene = chart::draw(&request, &room(mirror)).unwrap().scene;
        let [columns, rows] = PIXELS;
        let parts = vec![[0, columns, 0, rows]];
        Honest { svg: svg::encode(&scene), pdf: pdf::encode(&[scene]).unwrap(), pixels: PIXELS, parts }
    };
    requests.into_iter().map(files).collect()
}

/// A near chart with two lines, of which the fields and the letters on white are compared, without the words beside them.
fn near() -> Honest {
    let request = NearRequest {
        distance: Length::m(0.4),
        lines: Some(Lines::new(vec![Acuity::standard(10), Acuity::standard(7)]).unwrap()),
        letters: LetterSet::Sloan,
        seed: 5,
        paper: Paper::A4,
        step: None,
    };
    let scene = NearChart::new(&request).unwrap().scene;
    let sheet = NearMatch::new(Paper::A4).scene;
    let svg = svg::encode(&scene);
    let parts = near_parts(&svg);
    Honest { pdf: pdf::encode(&[scene, sheet]).unwrap(), svg, pixels: NEAR_PIXELS, parts }
}

/// Where a near chart has its fields and its letters on white.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a page has some thousand pixels")]
fn near_parts(svg: &str) -> Vec<[u32; 4]> {
    let area = |line: &str| {
        let of =
            |name: &str| line.split_once(&format!("{name}=\""))?.1.split_once('"').map(|(value, _)| value);
        if let Some(data) = of(" d") {
            return Some(kurbo::BezPath::from_svg(data).unwrap().bounding_box());
        }
        let [x, y, width, height] = ["x", "y", "width", "height"].map(|name| of(&format!(" {name}")));
        let [x, y, width, height] = [x?, y?, width?, height?].map(|side| side.parse::<f64>().unwrap());
        Some(Rect::new(x, y, x + width, y + height))
    };
    let of = |codes: &str, below: f64| {
        let lines = svg.lines().filter(|line| line.contains(codes) && !line.contains("aria-label"));
        let areas = lines.filter_map(area).filter(|area| area.y0 >= below);
        areas.reduce(|all, one| all.union(one)).unwrap()
    };
    let fields = of("#ff0000", 0.0).union(of("#009400", 0.0));
    // The proof stands below the letters and is dark, but not black.
    let white = of("#000000", fields.y1);
    let pixel = |mm: f64| (mm * 150.0 / 25.4).round() as u32;
    let part = |area: Rect| [area.x0, area.x1, area.y0, area.y1].map(pixel);
    vec![part(fields), part(white)]
}

/// Numbers that look random and are the same each time (`SplitMix64`, from memory).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number below another one.
    fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(end.max(1)).unwrap()).unwrap()
    }

    fn of<'a, T: ?Sized>(&mut self, all: &[&'a T]) -> &'a T {
        all[self.below(all.len())]
    }
}

/// What may be put into an SVG.
const SVG_TOKENS: [&str; 40] = [
    "]",
    ">",
    "<zz/>",
    "<g>",
    "</g>",
    "x:",
    " x:fill=\"#000000\"",
    " xmlns=\"urn:x\"",
    " xmlns:x=\"urn:x\"",
    " transform=\"scale(2)\"",
    " style=\"display:none\"",
    " opacity=\"0\"",
    "<!-- -->",
    "<!--",
    "-->",
    "<rect width=\"900\" height=\"900\" fill=\"#000000\"/>",
    "<use href=\"#a\"/>",
    "&#32;",
    "&amp;",
    ".",
    "-",
    "e1",
    " junk ",
    ",",
    ",,",
    "\u{a0}",
    "M0 0",
    "z",
    "Z m 1 1",
    "A1 1 0 0 1 2 2",
    "%",
    "mm",
    "</svg>",
    "<![CDATA[",
    "]]>",
    "<?xml-stylesheet href=\"a.css\"?>",
    " fill=\"none\"",
    " ",
    "\n",
    "0",
];

/// What may be put into the instructions of a PDF's page.
const PAGE_TOKENS: [&str; 40] = [
    " ] ",
    " [ ",
    " >> ",
    " << ",
    ")",
    "(",
    " {",
    "} ",
    "<zz>",
    " q ",
    " Q ",
    " f ",
    " h ",
    " n ",
    " m ",
    " re ",
    " l ",
    "\n0 0 900 900 re f\n",
    "\n0 0 0 rg 0 0 900 900 re f\n",
    "c",
    "%",
    "%\n",
    "/x ",
    " 1 ",
    "-",
    ".",
    " W n ",
    "BI ",
    " BT ",
    " ET ",
    "/x Do ",
    "/x gs ",
    " f* ",
    " 0 g ",
    " 1 0 0 rg ",
    "\0",
    " S ",
    "e1",
    "--",
    " 0 0 0 0 k ",
];

/// What may be put into a PDF's objects.
const FILE_TOKENS: [&str; 24] = [
    "/Rotate 90 ",
    "/UserUnit 2 ",
    "/Type /Pages ",
    "/Type /X ",
    " endobj ",
    " endstream ",
    " stream\n",
    "/Length 5 ",
    "<<",
    ">>",
    "[",
    "]",
    "(",
    ")",
    "<zz>",
    " 9 0 R ",
    "/Contents 1 0 R ",
    "/MediaBox [0 0 9 9] ",
    "%",
    "\n",
    " ",
    "0",
    "/X ",
    "/Resources << /ColorSpace << /DefaultRGB /DeviceGray >> >> ",
];

/// A place where a word begins or ends, or any place.
fn place(bytes: &[u8], random: &mut Random) -> usize {
    let at = random.below(bytes.len());
    if random.below(3) == 0 {
        return at;
    }
    let is_edge = |byte: &u8| b" \n\"<>/=[]".contains(byte);
    at + bytes[at..].iter().position(is_edge).unwrap_or(0)
}

/// Does one damage to a copy.
fn damage(bytes: &mut Vec<u8>, tokens: &[&str], random: &mut Random) {
    let at = place(bytes, random);
    let end = (at + 1 + random.below(8)).min(bytes.len());
    match random.below(9) {
        0 => bytes[at] ^= 1 << random.below(7),
        1 => drop(bytes.drain(at..end)),
        2 => {
            let part = bytes[at..end].to_vec();
            bytes.splice(at..at, part);
        }
        3 => swap_words(bytes, at),
        4 => digit(bytes, at, random),
        5 => {
            // Words glued together.
            let gap = bytes[at..].iter().position(u8::is_ascii_whitespace);
            if let Some(gap) = gap {
                bytes.remove(at + gap);
            }
        }
        _ => drop(bytes.splice(at..at, random.of(tokens).bytes())),
    }
}

/// Makes the next digit another one.
fn digit(bytes: &mut [u8], from: usize, random: &mut Random) {
    if let Some(at) = bytes[from..].iter().position(u8::is_ascii_digit) {
        bytes[from + at] = b'0' + u8::try_from(random.below(10)).unwrap();
    }
}

/// Swaps the next two words.
fn swap_words(bytes: &mut Vec<u8>, from: usize) {
    let edges: Vec<usize> =
        (from..bytes.len()).filter(|at| bytes[*at].is_ascii_whitespace()).take(3).collect();
    let [start, middle, end] = edges[..] else { return };
    let swapped = [&bytes[middle..end], &bytes[start..middle]].concat();
    bytes.splice(start..end, swapped);
}

/// Where the bytes of the first stream that is packed begin and end.
fn page_stream(file: &[u8]) -> std::ops::Range<usize> {
    let find = |word: &[u8], from: usize| {
        from + file[from..].windows(word.len()).position(|part| part == word).unwrap()
    };
    let filter = find(b"/FlateDecode", 0);
    let start = find(b"stream\n", filter) + 7;
    let length = std::str::from_utf8(&file[filter - 60..filter]).unwrap().rsplit_once("/Length ").unwrap().1;
    start..start + length.split_whitespace().next().unwrap().parse::<usize>().unwrap()
}

/// A PDF with another page, whose structure is as sound as it was.
fn repacked(file: &[u8], page: &[u8]) -> Vec<u8> {
    let old = page_stream(file);
    let packed = compress_to_vec_zlib(page, 6);
    let length = file[..old.start].windows(8).rposition(|part| part == b"/Length ").unwrap() + 8;
    let rest = length + file[length..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    let said = packed.len().to_string();
    let mut new = [&file[..length], said.as_bytes(), &file[rest..old.start]].concat();
    new.extend(&packed);
    let shift = i64::try_from(new.len()).unwrap() - i64::try_from(old.end).unwrap();
    new.extend(&file[old.end..]);
    let moved = |place: i64| if place > i64::try_from(old.start).unwrap() { place + shift } else { place };
    let table = new
        .windows(6)
        .rposition(|part| part == b"\nxref\n")
        .unwrap_or_else(|| new.windows(5).rposition(|part| part == b"xref\n").unwrap());
    let text = String::from_utf8(new.split_off(table)).unwrap();
    let place = |line: &str| line.strip_suffix(" 00000 n").map(|place| moved(place.parse().unwrap()));
    let mut is_start = false;
    for line in text.split_inclusive('\n') {
        let plain = line.trim_end();
        match place(plain) {
            Some(place) => new.extend(line.replace(&plain[..10], &format!("{place:010}")).bytes()),
            None if is_start => new.extend(format!("{}\n", moved(plain.parse().unwrap())).bytes()),
            None => new.extend(line.bytes()),
        }
        is_start = plain == "startxref";
    }
    new
}

/// A near chart's page is as large as ten charts, so fewer copies are made of it.
const NEAR_ONE_IN: usize = 10;

/// How many copies are made of these charts.
fn copies(charts: &[Honest]) -> usize {
    let all =
        std::env::var("EVENFIELD_MUTATIONS").ok().and_then(|count| count.parse().ok()).unwrap_or(COPIES);
    if charts[0].pixels == NEAR_PIXELS { all / NEAR_ONE_IN } else { all }
}

/// Judges copies of each number, on both cores; `copy` makes one and tells which honest chart it must be drawn as, `draw` draws
/// a file.
fn judge(
    name: &str,
    charts: &[Honest],
    copy: impl Fn(usize) -> (Vec<u8>, usize) + Sync,
    draw: impl Fn(&Path, [u32; 2]) -> Drawn + Sync,
) {
    let folder = tempfile::tempdir().unwrap();
    let first = |chart: &Honest| {
        let path = folder.path().join("honest");
        let bytes = if name.starts_with("svg") { chart.svg.as_bytes() } else { &chart.pdf };
        std::fs::write(&path, bytes).unwrap();
        chart.compared(&draw(&path, chart.pixels).unwrap())
    };
    let honest: Vec<Vec<u8>> = charts.iter().map(first).collect();
    let [passed, worst, bad, next] = [(); 4].map(|()| AtomicUsize::new(0));
    let one = |number: usize| {
        let (bytes, of) = copy(number);
        let path = folder.path().join(format!("{number}.file"));
        std::fs::write(&path, &bytes).unwrap();
        if check::file(&path, &Expected::default()).is_ok_and(|report| !report.fails()) {
            passed.fetch_add(1, Ordering::Relaxed);
            let off = draw(&path, charts[of].pixels)
                .map_or(usize::MAX, |drawn| different(&charts[of].compared(&drawn), &honest[of]));
            worst.fetch_max(off, Ordering::Relaxed);
            if off > MOST_PIXELS {
                bad.fetch_add(1, Ordering::Relaxed);
                println!("{name} {number}: passes, and {off} pixels differ");
                keep(name, number, &bytes);
            }
        }
        std::fs::remove_file(&path).unwrap();
    };
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                while let Some(number) =
                    Some(next.fetch_add(1, Ordering::Relaxed)).filter(|number| *number < copies(charts))
                {
                    one(number);
                }
            });
        }
    });
    let [passed, worst, bad] = [passed, worst, bad].map(AtomicUsize::into_inner);
    println!(
        "{name}: of {} copies {passed} pass; at most {worst} pixels differ; {bad} differ by more than {MOST_PIXELS}",
        copies(charts)
    );
    assert!(passed > 0, "no copy passes, so nothing is compared");
    assert_eq!(bad, 0, "{name}: copies pass that are drawn otherwise");
}

/// Leaves a copy to be looked at, where the environment names a folder for it.
fn keep(name: &str, number: usize, bytes: &[u8]) {
    if let Ok(folder) = std::env::var("EVENFIELD_KEEP") {
        std::fs::write(format!("{folder}/{name}-{number}"), bytes).unwrap();
    }
}

fn svgs_are_judged(name: &str, charts: &[Honest]) {
    let copy = |number: usize| {
        let mut random = Random(u64::try_from(number).unwrap());
        let of = random.below(charts.len());
        let mut bytes = charts[of].svg.clone().into_bytes();
        damage(&mut bytes, &SVG_TOKENS, &mut random);
        (bytes, of)
    };
    judge(name, charts, copy, |path, pixels| by_resvg(&std::fs::read(path).unwrap(), pixels));
}

fn pdfs_are_judged(name: &str, charts: &[Honest]) {
    let copy = |number: usize| {
        let mut random = Random(u64::try_from(number).unwrap());
        let of = random.below(charts.len());
        let mut bytes = charts[of].pdf.clone();
        damage(&mut bytes, &FILE_TOKENS, &mut random);
        (bytes, of)
    };
    judge(name, charts, copy, by_poppler);
}

/// Judges PDFs whose unpacked page got one damage by `spoil`.
fn pages_are_judged(name: &str, charts: &[Honest], spoil: impl Fn(&mut Vec<u8>, &mut Random) + Sync) {
    let pages: Vec<Vec<u8>> = charts
        .iter()
        .map(|chart| decompress_to_vec_zlib(&chart.pdf[page_stream(&chart.pdf)]).unwrap())
        .collect();
    assert_eq!(repacked(&charts[0].pdf, &pages[0]), charts[0].pdf);
    let copy = |number: usize| {
        let mut random = Random(u64::try_from(number).unwrap());
        let of = random.below(charts.len());
        let mut page = pages[of].clone();
        spoil(&mut page, &mut random);
        (repacked(&charts[of].pdf, &page), of)
    };
    judge(name, charts, copy, by_poppler);
}

/// Whether poppler is there; if not, the test is skipped.
fn has_poppler() -> bool {
    let is_there = Command::new("pdftoppm").arg("-v").output().is_ok();
    if !is_there {
        skip("pdf", "pdftoppm");
    }
    is_there
}

#[test]
fn a_damaged_svg_that_passes_is_drawn_as_it_was() {
    svgs_are_judged("svg", &honest());
    svgs_are_judged("svg-near", &[near()]);
}

#[test]
fn a_damaged_pdf_that_passes_is_drawn_as_it_was() {
    if has_poppler() {
        pdfs_are_judged("pdf", &honest());
        pdfs_are_judged("pdf-near", &[near()]);
    }
}

#[test]
fn a_pdf_with_a_damaged_page_that_passes_is_drawn_as_it_was() {
    if has_poppler() {
        let spoil = |page: &mut Vec<u8>, random: &mut Random| damage(page, &PAGE_TOKENS, random);
        pages_are_judged("page", &honest(), spoil);
        pages_are_judged("page-near", &[near()], spoil);
    }
}

/// What may be put before a word.
const WORD_TOKENS: [&str; 16] = [
    " /F0 900 Tf ",
    " /F0 -90 Tf ",
    " /F1 60 Tf ",
    " 9000 Tz ",
    " 90 Tc ",
    " 90 Tw ",
    " 90 TL ",
    " 90 Ts ",
    " 1 Tr ",
    " 40 0 0 -40 10 200 Tm ",
    " 1 0 0 -1 20 90 Tm ",
    " 0 -30 Td ",
    " T* ",
    " (\\001\\002\\003\\004\\005\\006) Tj ",
    " 5 0 0 5 0 0 cm ",
    " 0 0 0 rg ",
];

#[test]
fn words_that_are_damaged_cover_nothing_that_is_measured() {
    if !has_poppler() {
        return;
    }
    let spoil = |page: &mut Vec<u8>, random: &mut Random| {
        let begins: Vec<usize> =
            (0..page.len() - 2).filter(|at| matches!(&page[*at..*at + 3], b"BT\n" | b"BT ")).collect();
        let at = begins[random.below(begins.len())];
        let end = at + page[at..].windows(2).position(|part| part == b"Tj").unwrap();
        if random.below(2) == 0 {
            digit(page, at + random.below(end - at), random);
        } else {
            let spaces: Vec<usize> = (at + 2..=end).filter(|at| page[*at].is_ascii_whitespace()).collect();
            let place = spaces[random.below(spaces.len())];
            drop(page.splice(place..place, random.of(&WORD_TOKENS).bytes()));
        }
    };
    pages_are_judged("words", &[near()], spoil);
}
