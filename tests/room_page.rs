//! The printed room report, read back by independent programs: qpdf, poppler's tools and resvg.

use crate::common::{Desk, Png, asked};
use image::RgbImage;

fn page(desk: &Desk, name: &str, more: &str) {
    let run = desk.run(&format!("room report --out {name} --force --date 2026-03-31 {more}"));
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.contains("can be shown down to 20/20"), "{}", run.out);
}

#[test]
fn the_pdf_is_sound_true_to_size_and_never_scaled() {
    let desk = Desk::new();
    // ISO 216: 210 × 297 mm; letter: 8.5 × 11 in; a point is 1/72 in.
    for (paper, size) in [("a4", "595.276 x 841.89 pts (A4)"), ("letter", "612 x 792 pts (letter)")] {
        page(&desk, "report.pdf", &format!("--paper {paper}"));
        let Some(sound) = asked(&desk, "qpdf", &["--check", "report.pdf"]) else { return };
        assert!(sound.contains("No syntax or stream encoding errors"), "{sound}");
        let Some(info) = asked(&desk, "pdfinfo", &["report.pdf"]) else { return };
        assert!(info.contains(size) && info.contains("Pages:           1"), "{info}");
        assert!(info.contains("Title:           Room report: built-in demo room"), "{info}");
        let Some(whole) = asked(&desk, "qpdf", &["--qdf", "--object-streams=disable", "report.pdf", "-"])
        else {
            return;
        };
        assert!(whole.contains("/PrintScaling /None") && whole.contains("/Lang (en-GB)"));
    }
}

#[test]
fn its_words_can_be_found_and_its_fonts_are_within() {
    let desk = Desk::new();
    page(&desk, "report.pdf", "");
    let Some(words) = asked(&desk, "pdftotext", &["-layout", "report.pdf", "-"]) else { return };
    for needed in [
        "Red-green charts can be shown down to 20/20,",
        "coarsely down to 20/12.5.",
        "2026-03-31",
        "3.20 m: vergence 0.31 D",
        "3.39 px to the minute of arc",
        "V(λ)",
        "cd/m²",
        "To mend or to keep in mind",
        "licensed practitioner",
    ] {
        assert!(words.contains(needed), "{needed}: {words}");
    }
    let Some(fonts) = asked(&desk, "pdffonts", &["report.pdf"]) else { return };
    let rows: Vec<&str> = fonts.lines().skip(2).collect();
    assert_eq!(rows.len(), 2, "{fonts}");
    for row in rows {
        assert!(row.contains("DejaVuSans") && row.contains("Identity-H       yes yes yes"), "{row}");
    }
}

/// The mean difference of two pictures of one size.
fn difference(one: &RgbImage, other: &RgbImage) -> f64 {
    assert_eq!(one.dimensions(), other.dimensions());
    let codes = one.as_raw().iter().zip(other.as_raw());
    codes.map(|(one, other)| f64::from(one.abs_diff(*other))).sum::<f64>() / one.as_raw().len() as f64
}

#[test]
fn all_three_formats_show_one_page() {
    let desk = Desk::new();
    for name in ["report.pdf", "report.svg", "report.png"] {
        page(&desk, name, "");
    }
    let ours = Png::read(&desk.path("report.png")).pixels;
    // Renderers blend edges each in their own way; a page two pixels aside must differ at least twice as much.
    let aside = image::imageops::crop_imm(&ours, 2, 0, ours.width() - 2, ours.height()).to_image();
    let most = difference(&aside, &part(&ours, &aside)) / 2.0;
    assert!(most > 1.0, "an empty page would pass");
    // resvg draws the SVG.
    let svg = std::fs::read_to_string(desk.path("report.svg")).unwrap();
    let tree = resvg::usvg::Tree::from_str(&svg, &resvg::usvg::Options::default()).unwrap();
    let mut pixmap = resvg::tiny_skia::Pixmap::new(ours.width(), ours.height()).unwrap();
    #[allow(clippy::cast_precision_loss, reason = "some thousand pixels")]
    let scale = ours.width() as f32 / tree.size().width();
    resvg::render(&tree, resvg::tiny_skia::Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    let drawn = pixmap.pixels().iter().flat_map(|pixel| [pixel.red(), pixel.green(), pixel.blue()]).collect();
    let drawn = RgbImage::from_raw(ours.width(), ours.height(), drawn).unwrap();
    assert!(difference(&ours, &drawn) < most, "SVG: {} of {most}", difference(&ours, &drawn));
    // poppler draws the PDF.
    if asked(&desk, "pdftoppm", &["-r", "150", "-png", "-singlefile", "report.pdf", "drawn"]).is_none() {
        return;
    }
    let drawn = Png::read(&desk.path("drawn.png")).pixels;
    let off = difference(&part(&ours, &drawn), &part(&drawn, &ours));
    assert!(off < most, "PDF: {off} of {most}");
}

/// The upper left part of a picture that another also has.
fn part(picture: &RgbImage, other: &RgbImage) -> RgbImage {
    let [width, height] = [picture.width().min(other.width()), picture.height().min(other.height())];
    image::imageops::crop_imm(picture, 0, 0, width, height).to_image()
}

#[test]
fn the_same_day_gives_the_same_bytes() {
    let desk = Desk::new();
    for ending in ["pdf", "svg", "png"] {
        for name in ["one", "other"] {
            page(&desk, &format!("{name}.{ending}"), "");
        }
        let [one, other] =
            ["one", "other"].map(|name| std::fs::read(desk.path(&format!("{name}.{ending}"))).unwrap());
        assert!(one == other, "{ending}");
    }
}

#[test]
fn what_is_no_page_is_refused_in_one_sentence() {
    let desk = Desk::new();
    for (words, said) in [
        ("room report --out report.doc", ".png, .svg or .pdf"),
        ("room report --out report", ".png, .svg or .pdf"),
        ("room report --out report.pdf --paper a5", "a5"),
        ("room report --out report.pdf --date tomorrow", "2026-03-31"),
        ("room report --paper letter", "--out"),
        ("room report --json --out report.pdf", "--out"),
    ] {
        let run = desk.run(words);
        assert_eq!(run.code, 2, "{words}");
        assert!(run.err.lines().count() == 1 && run.err.contains(said), "{words}: {}", run.err);
    }
    assert!(desk.files().is_empty());
}
