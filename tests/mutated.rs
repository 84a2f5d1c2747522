//! Copies of honest charts with one damage each. Whenever the check passes one, a renderer that this project did not write
//! (resvg for SVG, poppler for PDF) must draw it as it draws the honest one.
//!
//! `EVENFIELD_MUTATIONS` is how many copies are made of each kind, for a long run.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a test may stop, and tells what it counted")]

mod common;

use std::process::Command;
use std::sync::atomic::{AtomicUsize, Ordering};

use common::skip;
use evenfield::acuity::Acuity;
use evenfield::chart::{self, Request};
use evenfield::check::{self, Expected};
use evenfield::export::{pdf, svg};
use evenfield::light::Fields;
use evenfield::optotype::LetterSet;
use evenfield::room::Room;
use miniz_oxide::deflate::compress_to_vec_zlib;
use miniz_oxide::inflate::decompress_to_vec_zlib;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

/// How many copies of each kind are made where the environment says nothing.
const COPIES: usize = 100;

/// The pixels of the room's screen, in which both pictures are drawn.
const PIXELS: [u32; 2] = [480, 300];

/// By how many codes, in any channel, a pixel must differ to count: a quarter of the scale, so that an edge that moved by less
/// than a quarter of a pixel does not.
const CODES: u8 = 64;

/// Maximum number of pixels that may differ: a quarter of the ink of one letter (17 px high, some 130 px of ink), so that no
/// letter is gone, added or another one. The check itself lets a letter be 5 % larger, which moves its edges by half a pixel.
const MOST_PIXELS: usize = 32;

/// A named honest chart.
struct Honest {
    svg: String,
    pdf: Vec<u8>,
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
        Honest { svg: svg::encode(&scene), pdf: pdf::encode(&[scene]).unwrap() }
    };
    requests.into_iter().map(files).collect()
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

/// A picture as red, green and blue, or why there is none.
type Drawn = Result<Vec<u8>, String>;

fn by_resvg(text: &[u8]) -> Drawn {
    let tree = Tree::from_data(text, &Options::default()).map_err(|error| error.to_string())?;
    let [columns, rows] = PIXELS;
    let mut picture = Pixmap::new(columns, rows).unwrap();
    picture.fill(resvg::tiny_skia::Color::WHITE);
    #[allow(clippy::cast_precision_loss, reason = "some hundred pixels")]
    let scale =
        Transform::from_scale(columns as f32 / tree.size().width(), rows as f32 / tree.size().height());
    resvg::render(&tree, scale, &mut picture.as_mut());
    Ok(picture.pixels().iter().flat_map(|pixel| [pixel.red(), pixel.green(), pixel.blue()]).collect())
}

fn by_poppler(file: &std::path::Path) -> Drawn {
    let [columns, rows] = PIXELS.map(|side| side.to_string());
    let output = Command::new("pdftoppm")
        .args(["-singlefile", "-scale-to-x", &columns, "-scale-to-y", &rows])
        .arg(file)
        .output()
        .map_err(|error| error.to_string())?;
    let size = usize::try_from(PIXELS[0] * PIXELS[1] * 3).unwrap();
    if !output.status.success() || output.stdout.len() < size {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned());
    }
    Ok(output.stdout[output.stdout.len() - size..].to_vec())
}

/// How many pixels differ.
fn different(one: &[u8], other: &[u8]) -> usize {
    let pairs = one.chunks_exact(3).zip(other.chunks_exact(3));
    pairs
        .filter(|(one, other)| one.iter().zip(*other).any(|(one, other)| one.abs_diff(*other) > CODES))
        .count()
}

fn copies() -> usize {
    std::env::var("EVENFIELD_MUTATIONS").ok().and_then(|count| count.parse().ok()).unwrap_or(COPIES)
}

/// Judges copies of each number, on both cores; `copy` makes one and tells which honest picture it must equal, `draw` draws
/// a file.
fn judge(
    name: &str,
    honest: &[Vec<u8>],
    copy: impl Fn(usize) -> (Vec<u8>, usize) + Sync,
    draw: impl Fn(&std::path::Path) -> Drawn + Sync,
) {
    let folder = tempfile::tempdir().unwrap();
    let [passed, worst, bad, next] = [(); 4].map(|()| AtomicUsize::new(0));
    let one = |number: usize| {
        let (bytes, of) = copy(number);
        let path = folder.path().join(format!("{number}.file"));
        std::fs::write(&path, &bytes).unwrap();
        if check::file(&path, &Expected::default()).is_ok_and(|report| !report.fails()) {
            passed.fetch_add(1, Ordering::Relaxed);
            let off = draw(&path).map_or(usize::MAX, |drawn| different(&drawn, &honest[of]));
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
                    Some(next.fetch_add(1, Ordering::Relaxed)).filter(|number| *number < copies())
                {
                    one(number);
                }
            });
        }
    });
    let [passed, worst, bad] = [passed, worst, bad].map(AtomicUsize::into_inner);
    println!(
        "{name}: of {} copies {passed} pass; at most {worst} pixels differ; {bad} differ by more than {MOST_PIXELS}",
        copies()
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

#[test]
fn a_damaged_svg_that_passes_is_drawn_as_it_was() {
    let charts = honest();
    let pictures: Vec<Vec<u8>> = charts.iter().map(|chart| by_resvg(chart.svg.as_bytes()).unwrap()).collect();
    let copy = |number: usize| {
        let mut random = Random(u64::try_from(number).unwrap());
        let of = random.below(charts.len());
        let mut bytes = charts[of].svg.clone().into_bytes();
        damage(&mut bytes, &SVG_TOKENS, &mut random);
        (bytes, of)
    };
    judge("svg", &pictures, copy, |path| by_resvg(&std::fs::read(path).unwrap()));
}

/// The honest charts and their pictures by poppler; none, and the test is skipped, where it is not there.
fn pdfs() -> Option<(Vec<Honest>, Vec<Vec<u8>>)> {
    if Command::new("pdftoppm").arg("-v").output().is_err() {
        skip("pdf", "pdftoppm");
        return None;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("honest.pdf");
    let charts = honest();
    let draw = |chart: &Honest| {
        std::fs::write(&path, &chart.pdf).unwrap();
        by_poppler(&path).unwrap()
    };
    let pictures = charts.iter().map(draw).collect();
    Some((charts, pictures))
}

#[test]
fn a_damaged_pdf_that_passes_is_drawn_as_it_was() {
    let Some((charts, pictures)) = pdfs() else { return };
    let copy = |number: usize| {
        let mut random = Random(u64::try_from(number).unwrap());
        let of = random.below(charts.len());
        let mut bytes = charts[of].pdf.clone();
        damage(&mut bytes, &FILE_TOKENS, &mut random);
        (bytes, of)
    };
    judge("pdf", &pictures, copy, by_poppler);
}

#[test]
fn a_pdf_with_a_damaged_page_that_passes_is_drawn_as_it_was() {
    let Some((charts, pictures)) = pdfs() else { return };
    let pages: Vec<Vec<u8>> = charts
        .iter()
        .map(|chart| decompress_to_vec_zlib(&chart.pdf[page_stream(&chart.pdf)]).unwrap())
        .collect();
    assert_eq!(repacked(&charts[0].pdf, &pages[0]), charts[0].pdf);
    let copy = |number: usize| {
        let mut random = Random(u64::try_from(number).unwrap());
        let of = random.below(charts.len());
        let mut page = pages[of].clone();
        damage(&mut page, &PAGE_TOKENS, &mut random);
        (repacked(&charts[of].pdf, &page), of)
    };
    judge("page", &pictures, copy, by_poppler);
}
