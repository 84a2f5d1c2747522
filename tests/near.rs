//! Near charts, read back by independent programs and measured in the picture that poppler draws of them.

use crate::common::{Desk, Png, asked};
use evenfield::balance::words;
use image::RgbImage;

/// What the print may be off by, as asked of the product.
const WITHIN: f64 = 0.007;

/// Dots in a millimetre at 600 to the inch.
const DOTS_A_MM: f64 = 600.0 / 25.4;

fn made(desk: &Desk, words: &str) {
    let run = desk.run(words);
    assert_eq!(run.code, 0, "{words}: {}", run.err);
}

fn drawn(desk: &Desk, page: &str) -> Option<RgbImage> {
    let words = ["-r", "600", "-png", "-f", page, "-l", page, "-singlefile", "near.pdf", "drawn"];
    asked(desk, "pdftoppm", &words)?;
    Some(Png::read(&desk.path("drawn.png")).pixels)
}

/// How dark a pixel is, 0 to 1.
fn dark(picture: &RgbImage, x: u32, y: u32) -> f64 {
    1.0 - f64::from(*picture.get_pixel(x, y).0.iter().max().unwrap()) / 255.0
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a page has some thousand dots")]
fn dots(mm: f64) -> u32 {
    (mm * DOTS_A_MM).round() as u32
}

/// The heights in millimetres of the bands of dark rows between two columns, from a row downward; the share of a dot that
/// is covered at a band's edge counts as that share.
fn bands(picture: &RgbImage, [left, right]: [u32; 2], [top, bottom]: [u32; 2]) -> Vec<f64> {
    let mut heights = Vec::new();
    let mut height = 0.0;
    for y in top..bottom {
        let most = (left..right).map(|x| dark(picture, x, y)).fold(0.0, f64::max);
        if most > 0.02 {
            height += most;
        } else if height > 0.0 {
            heights.push(height / DOTS_A_MM);
            height = 0.0;
        }
    }
    heights
}

#[test]
fn letters_bar_and_card_have_their_size_on_paper() {
    let desk = Desk::new();
    made(&desk, "near --distance 40cm --out near.pdf");
    let Some(picture) = drawn(&desk, "1") else { return };
    let red = |y: u32| {
        let [red, green, _] = picture.get_pixel(dots(15.0), y).0;
        red > 200 && green < 60
    };
    let fields_end = (0..picture.height()).rev().find(|y| red(*y)).unwrap();
    let card_top = picture.height() - dots(14.0 + 53.98 + 6.0 + 1.0);
    // The renderer's edges are good to a quarter of a dot, so small letters are measured at 1800 to the inch.
    let [x, y, width, height] = [dots(36.0), fields_end + 2, dots(42.0), card_top - fields_end];
    let [x, y, width, height] = [x, y, width, height].map(|dots| (3 * dots).to_string());
    let words =
        ["-r", "1800", "-png", "-singlefile", "-f", "1", "-x", &x, "-y", &y, "-W", &width, "-H", &height];
    if asked(&desk, "pdftoppm", &[&words[..], &["near.pdf", "fine"]].concat()).is_none() {
        return;
    }
    let fine = Png::read(&desk.path("fine.png")).pixels;
    let heights: Vec<f64> =
        bands(&fine, [0, fine.width()], [0, fine.height()]).into_iter().map(|height| height / 3.0).collect();
    // The visual-acuity table for 4 m of the University of Rome II (excerpt) gives 58.20 mm for 20/200 down to 5.82 mm for
    // 20/20: a tenth of that at 40 cm.
    let table = [5.820, 4.623, 3.672, 2.917, 2.317, 1.840, 1.462, 1.161, 0.922, 0.733, 0.582];
    assert_eq!(heights.len(), table.len(), "{heights:?}");
    for (measured, tabled) in heights.iter().zip(table) {
        assert!((measured / tabled - 1.0).abs() < WITHIN, "{measured} {tabled}");
    }
    // The bar is the lowest ink; the card's outline the only upright lines on the right (ISO/IEC 7810 ID-1).
    let bar = (0..picture.height()).rev().find(|y| dark(&picture, dots(20.0), *y) > 0.8).unwrap() - 5;
    let length = (0..dots(150.0)).map(|x| dark(&picture, x, bar)).filter(|dark| *dark > 0.5).count();
    let first_gap = (dots(15.0)..).find(|x| dark(&picture, *x, bar) < 0.5).unwrap() - dots(14.0);
    assert!(length >= first_gap as usize);
    assert!((f64::from(first_gap) / DOTS_A_MM / 100.0 - 1.0).abs() < WITHIN, "{first_gap}");
    let level = card_top + dots(15.0);
    let inked: Vec<u32> =
        (dots(100.0)..picture.width()).filter(|x| dark(&picture, *x, level) > 0.5).collect();
    let width = f64::from(inked.last().unwrap() - inked[0] + 1) / DOTS_A_MM;
    assert!((width / 85.60 - 1.0).abs() < WITHIN, "{width}");
}

#[test]
fn the_check_measures_its_paths() {
    let desk = Desk::new();
    for more in
        ["", "--distance 1m --line 20/40 --line 20/32 --paper letter --letters rings --matched-step R3"]
    {
        for name in ["near.pdf", "near.svg"] {
            made(&desk, &format!("near --out {name} --force {more}"));
            let run = desk.run(&format!("check {name}"));
            assert_eq!(run.code, 0, "{name} {more}: {}", run.out);
            assert!(run.out.contains("line 20/40") && run.out.contains("letter size"), "{}", run.out);
        }
    }
    // A copy in which each black letter is 6 % larger, about its middle.
    let text = std::fs::read_to_string(desk.path("near.svg")).unwrap();
    let grown: String = text
        .lines()
        .map(|line| match line.split_once("<path d=\"").map(|(_, rest)| rest.split_once('"').unwrap()) {
            Some((data, tail)) if line.contains("#000000") => {
                let mut path = kurbo::BezPath::from_svg(data).unwrap();
                let middle = kurbo::Shape::bounding_box(&path).center().to_vec2();
                let [there, back] = [middle, -middle].map(kurbo::Affine::translate);
                path.apply_affine(there * kurbo::Affine::scale(1.06) * back);
                format!("<path d=\"{}\"{tail}\n", path.to_svg())
            }
            _ => format!("{line}\n"),
        })
        .collect();
    desk.write("grown.svg", grown);
    let run = desk.run("check grown.svg");
    assert!(run.code == 1 && run.out.contains("FAIL"), "{}", run.out);
    made(&desk, "near --line 20/100 --line 20/40 --dpi 300 --out near.png");
    let run = desk.run("check near.png");
    assert!(run.code == 2 && run.err.contains("make and check its PDF or SVG"), "{}", run.err);
}

#[test]
fn what_stands_beside_the_fields_is_measured_too() {
    let desk = Desk::new();
    made(&desk, "near --line 20/100 --line 20/40 --out near.svg");
    let text = std::fs::read_to_string(desk.path("near.svg")).unwrap();
    let letters: Vec<&str> = text.lines().filter(|line| line.contains("fill=\"#000000\"")).collect();
    // Two lines of five on red, on green, on white.
    assert_eq!(letters.len(), 30);
    let without = |gone: &[&str]| {
        text.lines().filter(|line| !gone.contains(line)).map(|line| format!("{line}\n")).collect()
    };
    for (copy, said) in [
        (without(&letters[20..]), "white"),
        (without(&letters[23..24]), "white, line 20/100"),
        (text.replace("width=\"100\"", "width=\"90\""), "bar 90.0 mm"),
        (text.replace("#009400", "#00a000"), "codes of the fields"),
    ] {
        desk.write("copy.svg", copy);
        let run = desk.run("check copy.svg");
        assert_eq!(run.code, 1, "{said}: {}", run.out);
        let fails = |line: &str| line.trim_start().starts_with("FAIL") && line.contains(said);
        assert!(run.out.lines().any(fails), "{said}: {}", run.out);
    }
}

#[test]
fn both_fields_and_white_carry_the_same_letters() {
    let desk = Desk::new();
    made(&desk, "near --distance 40cm --line 20/200 --paper letter --out near.pdf");
    let Some(picture) = drawn(&desk, "1") else { return };
    let is_red = |x: u32, y: u32| {
        let [red, green, _] = picture.get_pixel(x, y).0;
        red > 200 && green < 60
    };
    let rows: Vec<u32> = (0..picture.height()).filter(|y| is_red(dots(15.0), *y)).collect();
    // The dark pixels of the red field are those of the green one, as far to the right as the fields begin apart.
    let middle = (dots(15.0)..).find(|x| !is_red(*x, rows[2])).unwrap();
    let field = middle - dots(14.0);
    let mut letters = 0;
    for y in rows {
        for x in dots(14.0) + 4..middle - 4 {
            let [one, other] =
                [x, x + field].map(|x| picture.get_pixel(x, y).0.iter().all(|code| *code < 40));
            let near =
                |x: u32| (x - 2..=x + 2).any(|x| picture.get_pixel(x, y).0.iter().all(|code| *code < 40));
            assert!(one == other || near(x) && near(x + field), "{x} {y}");
            letters += usize::from(one);
        }
    }
    assert!(letters > 10_000, "{letters}");
}

#[test]
fn the_pdf_is_sound_searchable_and_never_scaled() {
    let desk = Desk::new();
    made(&desk, "near --out near.pdf");
    let Some(sound) = asked(&desk, "qpdf", &["--check", "near.pdf"]) else { return };
    assert!(sound.contains("No syntax or stream encoding errors"), "{sound}");
    let Some(info) = asked(&desk, "pdfinfo", &["near.pdf"]) else { return };
    assert!(info.contains("Pages:           2") && info.contains("Near chart for 40 cm"), "{info}");
    let Some(read) = asked(&desk, "pdftotext", &["-layout", "near.pdf", "-"]) else { return };
    // Poppler breaks lines where the page does.
    let said = read.split_whitespace().collect::<Vec<_>>().join(" ");
    // Once beside the rows on the colours, once beside those on white.
    for line in ["20/200", "20/63", "20/20"] {
        assert_eq!(said.split(' ').filter(|word| *word == line).count(), 2, "{line}: {said}");
    }
    for wrong in ["equal, done", "distance lens in place"] {
        assert!(!said.contains(wrong), "{wrong}: {said}");
    }
    for needed in [
        "2.50 D",
        "with the add in place",
        "red: pair G5",
        "green: pair G5",
        "Not yet matched",
        "lags behind the page",
        "does not find one",
        "in colour",
        words::SUPERVISION,
        "0.40 M",
        "about N3",
        "bank card",
        "100 mm",
        "is not known",
        "G1",
        "R9",
    ] {
        assert!(said.contains(needed), "{needed}: {said}");
    }
    let Some(fonts) = asked(&desk, "pdffonts", &["near.pdf"]) else { return };
    assert!(fonts.lines().skip(2).all(|row| row.contains("yes yes yes")), "{fonts}");
    let file = std::fs::read(desk.path("near.pdf")).unwrap();
    let text = String::from_utf8_lossy(&file);
    assert!(
        text.contains("/PrintScaling /None") && text.contains("/Lang (en-GB)") && text.contains("/TrimBox")
    );
    made(&desk, "near --out again.pdf");
    assert!(file == std::fs::read(desk.path("again.pdf")).unwrap());
}

#[test]
fn the_pair_that_was_picked_is_printed() {
    let desk = Desk::new();
    for (step, inks) in
        [("G5", ["#ff0000", "#009400"]), ("g1", ["#ff0000", "#006c00"]), ("R9", ["#810000", "#00bc00"])]
    {
        made(&desk, &format!("near --matched-step {step} --out near.svg --force"));
        let svg = std::fs::read_to_string(desk.path("near.svg")).unwrap();
        assert!(inks.iter().all(|ink| svg.contains(ink)), "{step}");
    }
    // A pair that was picked is no longer called unmatched, in words, on the page and in what is printed.
    for (flag, matched) in [("", false), ("--matched-step G6", true)] {
        let run = desk.run(&format!("near {flag} --out said.pdf --force"));
        assert_eq!(run.out.contains("not yet matched"), !matched, "{}", run.out);
        let Some(read) = asked(&desk, "pdftotext", &["said.pdf", "-"]) else { return };
        assert_eq!(read.contains("Not yet matched"), !matched, "{read}");
    }
    made(&desk, "near --page 2 --dpi 300 --out sheet.png");
    made(&desk, "near --distance 3m --line 20/40 --letters rings --out far.pdf");
}

#[test]
fn what_paper_cannot_serve_is_refused_in_one_sentence() {
    let desk = Desk::new();
    for (words, said) in [
        ("near --distance 10cm --out near.pdf", "20 cm to 10 m"),
        ("near --distance 11m --out near.pdf", "20 cm to 10 m"),
        ("near --distance 40 --out near.pdf", "40cm"),
        ("near --distance 6m --line 20/400 --out near.pdf", "too large"),
        (
            "near --distance 3m --line 20/100 --line 20/80 --line 20/63 --out near.pdf",
            "fewer or smaller lines",
        ),
        ("near --distance 20cm --line 20/10 --out near.pdf", "two dots"),
        ("near --matched-step 5 --out near.pdf", "G1 to G9"),
        ("near --out near.txt", ".pdf"),
        ("near --page 2 --out near.pdf", "leave it out"),
        ("near --line 20/40 --line 6/12 --out near.pdf", "named twice"),
        ("near --out missing/near.pdf", "missing"),
    ] {
        let run = desk.run(words);
        assert_eq!(run.code, 2, "{words}: {}", run.out);
        assert!(run.err.lines().count() == 1 && run.err.contains(said), "{words}: {}", run.err);
    }
    assert!(desk.files().is_empty());
}
