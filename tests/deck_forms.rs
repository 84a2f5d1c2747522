//! The forms in which slides leave the program: SVG to edit, a handout, speaker's notes, a page to present from.

use std::collections::HashSet;
use std::time::Duration;

use crate::common::browser::Browser;
use crate::common::slides::{NAME, deck};
use crate::common::{Desk, Png, asked};
use evenfield::balance::words;
use evenfield::export::svg;
use evenfield::print::{CAUTION, Deck, Handout, Paper, Shown, SpeakerNotes, Surface};
use evenfield::quantity::Length;
use evenfield::room::Display;
use evenfield::scene::{Geometry, Scene, Shape, Text};
use evenfield::web::{Slide, slides_page};
use kurbo::{Rect, Shape as _};
use serde_json::json;

/// The place of the slide whose title begins so.
fn titled(words: &str) -> usize {
    let slides = &deck(Surface::Projected).slides;
    slides.iter().position(|slide| slide.scene.metadata.title.starts_with(words)).unwrap()
}

const fn text(shape: &Shape) -> Option<&Text> {
    match &shape.geometry {
        Geometry::Text(text) => Some(text),
        Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Image(_) => None,
    }
}

fn texts(scene: &Scene) -> impl Iterator<Item = &Text> {
    scene.shapes.iter().filter_map(text)
}

#[test]
fn a_slide_as_svg_has_its_words_as_words_that_keep_their_width() {
    // Four decimals are written.
    const WRITTEN_MM: f64 = 5.1e-5;
    for slide in deck(Surface::Projected).scenes() {
        let file = svg::editable(&slide);
        let document = roxmltree::Document::parse(&file).unwrap();
        let nodes = || document.descendants();
        assert!(document.root_element().attribute("font-family").unwrap().starts_with("DejaVu Sans"));
        let mut lines: Vec<(String, f64)> = nodes()
            .filter(|node| node.has_tag_name("tspan"))
            .map(|line| {
                let words: String = line.descendants().filter_map(|node| node.text()).take(1).collect();
                (words, line.attribute("textLength").unwrap().parse().unwrap())
            })
            .collect();
        for text in texts(&slide) {
            let place = lines.iter().position(|(words, width)| {
                words == text.words() && (width - text.width().to_mm()).abs() < WRITTEN_MM
            });
            lines.remove(place.unwrap_or_else(|| panic!("{:?} is not in the file", text.words())));
        }
        assert!(lines.is_empty(), "{lines:?}");
        assert!(!nodes().any(|node| node.has_tag_name("path") && node.attribute("aria-label").is_some()));
        let groups: Vec<&str> =
            nodes().filter(|node| node.has_tag_name("g")).map(|node| node.attribute("id").unwrap()).collect();
        assert_eq!(groups.iter().collect::<HashSet<_>>().len(), groups.len(), "{groups:?}");
        let drawn = ["rect", "path", "image", "text"];
        let loose = document.root_element().children().filter(|node| drawn.contains(&node.tag_name().name()));
        assert_eq!(loose.count(), 1, "only the ground stands in no group");
    }
}

#[test]
fn pictures_of_a_slide_are_groups_with_their_labels_and_are_called_by_them() {
    let slides = deck(Surface::Projected).scenes();
    let slide = &slides[titled("Too much plus")];
    let file = svg::editable(slide);
    let document = roxmltree::Document::parse(&file).unwrap();
    let pictures: Vec<_> = document
        .descendants()
        .filter(|node| node.attribute("id").is_some_and(|id| id.starts_with("picture-")))
        .collect();
    let images = || document.descendants().filter(|node| node.has_tag_name("image"));
    assert_eq!(images().count(), 3);
    assert!(images().all(|image| pictures.contains(&image.parent().unwrap())));
    for (image, lens) in images().zip(["−0.50 D", "0.00 D", "+0.50 D"]) {
        let called = image.attribute("aria-label").unwrap();
        assert!(called.contains(lens) && image.attribute("role") == Some("img"), "{called}");
    }
}

/// The mean of each channel within a box in millimetres of a slide.
fn mean(picture: &image::RgbImage, mm: f64, place: Rect) -> [f64; 3] {
    let middle = |at: &u32| mm * (f64::from(*at) + 0.5);
    let columns: Vec<u32> =
        (0..picture.width()).filter(|x| (place.x0..place.x1).contains(&middle(x))).collect();
    let rows = (0..picture.height()).filter(|y| (place.y0..place.y1).contains(&middle(y)));
    let (mut sum, mut count) = ([0.0; 3], 0.0);
    for pixel in rows.flat_map(|y| columns.iter().map(move |x| picture.get_pixel(*x, y))) {
        sum = [0, 1, 2].map(|channel| sum[channel] + f64::from(pixel.0[channel]));
        count += 1.0;
    }
    sum.map(|all| all / count)
}

#[test]
fn rsvg_draws_an_editable_slide_as_it_is_drawn_here() {
    // rsvg kerns words and knows no width of lines, so within a line letters lie some pixels apart; the ink of a line is the
    // same but for its own rules of edges. What is drawn is compared point by point, but for edges.
    const INK_CODES: f64 = 12.0;
    const DRAWN_CODES: u8 = 40;
    const SMALL: [u32; 2] = [480, 270];
    let desk = Desk::new();
    for (number, slide) in (1..).zip(deck(Surface::Projected).scenes()) {
        desk.write("slide.svg", svg::editable(&slide));
        let words = ["-w", "1920", "-h", "1080", "slide.svg", "-o", "slide.png"];
        if asked(&desk, "rsvg-convert", &words).is_none() {
            return;
        }
        let theirs = Png::read_bare(&desk.path("slide.png"));
        let own = evenfield::raster::draw(&slide, [1920, 1080], &Display::assumed());
        let mm = slide.size[0].to_mm() / 1920.0;
        let boxes: Vec<(&str, Rect)> = texts(&slide)
            .map(|text| (text.words(), text.outline().bounding_box().inflate(12.0 * mm, 4.0 * mm)))
            .collect();
        for (words, place) in &boxes {
            let [one, other] = [&own, &theirs].map(|picture| mean(picture, mm, *place));
            for (one, other) in one.iter().zip(other) {
                assert!((one - other).abs() < INK_CODES, "slide {number}, {words:?}: {one} and {other}");
            }
        }
        let small = |picture: &image::RgbImage| {
            image::imageops::resize(picture, SMALL[0], SMALL[1], image::imageops::FilterType::Triangle)
        };
        let (own, theirs) = (small(&own), small(&theirs));
        let mut compared = 0;
        for (x, y, one) in own.enumerate_pixels() {
            let at = (4.0 * mm * (f64::from(x) + 0.5), 4.0 * mm * (f64::from(y) + 0.5));
            if boxes.iter().any(|(_, place)| place.contains(at)) {
                continue;
            }
            compared += 1;
            let apart =
                one.0.iter().zip(theirs.get_pixel(x, y).0).map(|(one, other)| one.abs_diff(other)).max();
            assert!(
                apart.unwrap() < DRAWN_CODES,
                "slide {number} at {x}, {y}: {one:?}, {:?}",
                theirs.get_pixel(x, y)
            );
        }
        assert!(compared > 30_000, "slide {number}: {compared} points");
    }
}

/// Words of a page that are not a small slide's, with their sizes in points.
fn own_words(page: &Scene) -> Vec<(f64, String)> {
    const BINARY_DUST: f64 = 1e-9;
    let is_own = |text: &&Text| (text.place().determinant() - 1.0).abs() < BINARY_DUST;
    let sized = |text: &Text| (text.em().to_inches() * 72.0, text.words().replace('\u{a0}', " "));
    texts(page).filter(is_own).map(sized).collect()
}

fn all_of(words: &[(f64, String)]) -> String {
    words.iter().map(|(_, words)| words.as_str()).collect::<Vec<_>>().join(" ")
}

/// Nothing lies outside the margins, and no words on others.
fn fits(page: &Scene) {
    // Side bearings, and half of a hairline.
    const BEYOND_MM: f64 = 0.4;
    let [width, height] = page.size.map(Length::to_mm);
    let area = Rect::new(0.0, 0.0, width, height).inset(BEYOND_MM - 14.0);
    let places: Vec<(String, Rect)> = texts(page)
        .filter(|text| !text.words().trim().is_empty())
        .map(|text| (text.words().to_owned(), text.outline().bounding_box()))
        .collect();
    for (place, (words, one)) in places.iter().enumerate() {
        assert!(area.contains_rect(*one), "{words:?} at {one:?}");
        for (other, beside) in &places[..place] {
            assert!(one.intersect(*beside).area() <= 0.0, "{words:?} on {other:?}");
        }
    }
    for shape in &page.shapes {
        let place = match &shape.geometry {
            Geometry::Line(line) => line.path.bounding_box(),
            Geometry::Image(image) => image.place,
            Geometry::Rect(rect) => *rect,
            Geometry::Path(path) => path.bounding_box(),
            Geometry::Text(_) => continue,
        };
        assert!(area.contains_rect(place), "drawn at {place:?}");
    }
}

#[test]
fn a_handout_has_every_slide_two_a_page_with_lines_below_them() {
    let deck = deck(Surface::Printed);
    for paper in Paper::ALL {
        let pages = Handout::new(deck, NAME, paper).pages;
        assert_eq!(pages.len(), deck.slides.len().div_ceil(2));
        // No answer stands before all is asked and taught.
        let told = |slide: &&Shown| slide.scene.metadata.title.starts_with("Answer ");
        let (last, first): (Vec<_>, Vec<_>) = deck.slides.iter().partition(told);
        assert!(!last.is_empty());
        let slides: Vec<&Shown> = first.into_iter().chain(last).collect();
        for (number, (page, slides)) in (1..).zip(pages.iter().zip(slides.chunks(2))) {
            assert_eq!(page.size, paper.size());
            assert_eq!(page.background.codes, [255; 3]);
            fits(page);
            let words = own_words(page);
            assert!(words.iter().all(|(points, _)| *points >= 7.5), "{words:?}");
            let all = all_of(&words);
            for needed in [NAME, CAUTION, &format!("{number} / {}", pages.len())] {
                assert!(all.contains(needed), "{needed}: {all}");
            }
            let shown: HashSet<&str> = texts(page).map(Text::words).collect();
            for slide in slides {
                assert!(texts(&slide.scene).all(|text| shown.contains(text.words())));
            }
            // What is read on a slide, which a deck sets in 9.5 points, is still read on paper.
            let points = |text: &Text| text.em().to_inches() * 72.0 * text.place().determinant().sqrt();
            let read = texts(page).filter(|text| text.place().determinant() < 0.99);
            let read = read.filter(|text| (text.em().to_inches() * 72.0 - 9.5).abs() < 1e-6);
            assert!(read.map(points).all(|points| points >= 7.5), "{number}");
            // Lines to write on are as wide as the sheet, two at least to a slide.
            let [width, _] = paper.size().map(Length::to_mm);
            let rules = page.shapes.iter().filter(|shape| match &shape.geometry {
                Geometry::Line(line) => {
                    let place = line.path.bounding_box();
                    place.width() > width - 28.0 - 1e-6 && place.height() <= 0.0
                }
                Geometry::Rect(_) | Geometry::Path(_) | Geometry::Text(_) | Geometry::Image(_) => false,
            });
            // Where a slide is as wide, its upper and lower edges are lines too.
            assert!(rules.count() >= (2 + 2 * usize::from(paper == Paper::A4)) * slides.len());
        }
    }
}

#[test]
fn notes_stand_beneath_their_slide_in_the_larger_size_that_takes_them_and_go_on_where_none_does() {
    let scene = deck(Surface::Printed).slides[1].scene.clone();
    let sentence = "Ask the class which side the letter is clearer on, and wait until three have answered.";
    let of = |count: usize| Shown {
        scene: scene.clone(),
        notes: vec![sentence.to_owned(); count],
        answers: false,
    };
    // Worked by hand for A4: beneath the slide 170 mm are free, and on a page without one 237 mm. A note of one line takes
    // 8.9 mm with the air below it at 12 points, 7.0 mm at 9.5: nineteen fit at 12 points, twenty-four at 9.5.
    for (count, points, pages) in [(17, 12.0, 1), (20, 9.5, 1), (60, 9.5, 3)] {
        let made = SpeakerNotes::new(&Deck { slides: vec![of(count)] }, NAME, Paper::A4).pages;
        assert_eq!(made.len(), pages, "{count} notes");
        let mut all = String::new();
        for page in &made {
            fits(page);
            let words = own_words(page);
            let body: Vec<&(f64, String)> =
                words.iter().filter(|(_, words)| sentence.contains(words.as_str())).collect();
            assert!(body.iter().all(|(size, _)| (size - points).abs() < 1e-6), "{body:?}");
            all = format!("{all} {}", all_of(&words));
        }
        assert_eq!(all.matches(sentence).count(), count, "{all}");
        assert_eq!(all.matches("Slide 1, continued").count(), pages - 1);
    }
}

#[test]
fn every_note_of_the_deck_is_on_paper_and_within_the_page() {
    let deck = deck(Surface::Printed);
    let pages = SpeakerNotes::new(deck, NAME, Paper::Letter).pages;
    assert!(pages.len() >= deck.slides.len());
    pages.iter().for_each(fits);
    let all = pages.iter().map(|page| all_of(&own_words(page))).collect::<Vec<_>>().join(" ");
    for note in deck.slides.iter().flat_map(|slide| &slide.notes) {
        let note = note.replace('\u{a0}', " ");
        // A page's own words stand between the lines of a note that goes on.
        let begin: String = note.chars().take(40).collect();
        assert!(all.contains(&begin), "{begin}");
    }
}

#[test]
fn paper_forms_are_sound_pdfs_and_what_they_cannot_be_is_refused_with_the_way_out() {
    let desk = Desk::new();
    let run = desk.run("deck --handout --paper letter --out handout.pdf");
    assert!(run.code == 0 && run.out.contains("a handout of"), "{}{}", run.out, run.err);
    let run = desk.run("deck --notes --out notes.pdf");
    assert!(run.code == 0 && run.out.contains("speaker’s notes"), "{}{}", run.out, run.err);
    for (words, says) in [
        ("deck --handout --out a.svg", [".pdf", "a.svg"]),
        ("deck --notes --out a.html", [".pdf", "a.html"]),
        ("deck --card --out a.html", [".png, .svg or .pdf", "a.html"]),
        ("deck --handout --notes --out a.pdf", ["--handout and --notes", "second command"]),
        ("deck --card --handout --out a.pdf", ["--handout and --card", "second command"]),
        ("deck --paper a4 --out a.pdf", ["--paper", "leave it out"]),
        ("deck --out a", [".html, .png, .svg or .pdf", "a:"]),
    ] {
        let run = desk.run(words);
        assert_eq!((run.code, run.err.lines().count()), (2, 1), "{words}: {}", run.err);
        assert!(says.iter().all(|says| run.err.contains(says)), "{words}: {}", run.err);
    }
    assert_eq!(desk.files(), ["handout.pdf", "notes.pdf"]);
    let Some(sound) = asked(&desk, "qpdf", &["--check", "handout.pdf"]) else { return };
    assert!(sound.contains("No syntax or stream encoding errors"), "{sound}");
    let Some(info) = asked(&desk, "pdfinfo", &["handout.pdf"]) else { return };
    let pages = format!("Pages:           {}", Deck::SLIDES.div_ceil(2));
    assert!(info.contains("612 x 792 pts (letter)") && info.contains(&pages), "{info}");
}

/// The slides as one page, with notes of their own so that a test knows them.
fn page() -> String {
    let deck = deck(Surface::Projected);
    let notes: Vec<Vec<String>> =
        (1..=deck.slides.len()).map(|number| vec![format!("What is said to slide {number}.")]).collect();
    let slides = deck.slides.iter().zip(&notes);
    let slides: Vec<Slide<'_>> = slides.map(|(shown, notes)| Slide { scene: &shown.scene, notes }).collect();
    slides_page("a room \"<b>\" & more", &slides)
}

#[test]
fn the_page_to_present_from_is_one_small_file_that_asks_for_nothing() {
    let page = page();
    assert!(page.len() < 2_000_000, "{} bytes", page.len());
    assert!(page == self::page());
    assert!(page.contains("<html lang=\"en-GB\">") && page.contains("default-src 'none'; img-src data:;"));
    assert!(page.contains("slides for a room &quot;&lt;b&gt;&quot; &amp; more</title>"));
    assert!(page.contains(words::SEIZURES));
    // What a page could load from elsewhere; the table of keys and names of namespaces are no addresses.
    for address in ["http:", "https:", "url(", "src=\"", "style=\"", "@import url"] {
        assert!(!page.contains(address), "{address}");
    }
    for slide in deck(Surface::Projected).scenes() {
        let title = slide.metadata.title.replace('&', "&amp;");
        assert!(page.contains(&format!("aria-label=\"{title}\"")), "{title}");
    }
}

/// A little over the time in which slides may change once, and that for red and green.
const STEP: Duration = Duration::from_millis(310);
const CALM: Duration = Duration::from_millis(720);

/// The number of the slide that is shown; nought where it is not one.
const SHOWN: &str = "const all = [...document.querySelectorAll('main section')].filter((one) => !one.hidden);
    return all.length === 1 ? Number(all[0].id.slice(6)) : 0;";

fn presented(pixels: [u32; 2], ratio: f64, hash: &str) -> Option<(Desk, Browser)> {
    let desk = Desk::new();
    let file = desk.write("slides.html", page());
    let browser = Browser::open_with_clock(pixels, ratio)?;
    browser.go(&file, hash);
    Some((desk, browser))
}

/// A key, and the slide that is shown afterwards; red and green may change before it.
fn after(browser: &Browser, key: &str) -> i64 {
    browser.pass(CALM);
    browser.press(key);
    browser.script(SHOWN).as_i64().unwrap()
}

#[test]
fn slides_are_walked_by_keys_and_the_address_keeps_the_place() {
    let last = i64::try_from(Deck::SLIDES).unwrap();
    let Some((_desk, browser)) = presented([1366, 768], 1.0, "#3") else { return };
    assert_eq!(browser.script(SHOWN), 3);
    for (key, slide) in [
        ("ArrowRight", 4),
        ("PageDown", 5),
        (" ", 6),
        ("ArrowLeft", 5),
        ("PageUp", 4),
        ("Home", 1),
        ("ArrowLeft", 1),
        ("End", last),
        ("ArrowRight", last),
        ("Home", 1),
        ("x", 1),
    ] {
        assert_eq!(after(&browser, key), slide, "{key}");
    }
    assert_eq!(after(&browser, "PageDown"), 2);
    assert_eq!(browser.script("return location.hash"), "#2");
    browser.reload();
    assert_eq!(browser.script(SHOWN), 2);
    browser.pass(CALM);
    browser.click("main");
    assert_eq!(browser.script(SHOWN), 3);
    browser.pass(CALM);
    browser.script("location.hash = '#5'");
    browser.wait_for("return !document.getElementById('slide-5').hidden");
    // An address of no slide leaves it there.
    browser.script("location.hash = '#99'");
    browser.wait_for("return location.hash === '#5'");
    assert_eq!(
        browser.script("return document.getElementById('told').textContent"),
        format!("Slide 5 of {last}")
    );
    assert_eq!(browser.console(), Vec::<String>::new());
}

#[test]
fn held_keys_do_nothing_and_slides_change_only_as_often_as_they_may() {
    let Some((_desk, browser)) = presented([1920, 1080], 1.0, "#1") else { return };
    let colours = browser.script("return deck.slides.map((slide) => slide.saturated)");
    let colours: Vec<bool> = colours.as_array().unwrap().iter().map(|one| one.as_bool().unwrap()).collect();
    // The cover and what a patient sees, but neither the drawing of foci nor the question.
    let of = |words: &str| colours[titled(words)];
    assert!(colours[0] && of("Too much plus") && !of("Green light") && !of("Ask about"), "{colours:?}");
    let plain = colours.windows(3).position(|three| three == [false; 3]).unwrap();
    let bright = colours.windows(3).position(|three| three[1]).unwrap();
    for (from, time, before) in
        [(plain, STEP, Duration::from_millis(200)), (bright, CALM, Duration::from_millis(600))]
    {
        browser.pass(CALM);
        browser.script(&format!("show({from})"));
        browser.pass(CALM);
        // Both keys and what is let pass between them in one go: the clock goes on by itself as well, and browsers can be slow.
        let shown = browser.script(&format!(
            "const shown = () => {{ {SHOWN} }};
             const forth = () => document.body.dispatchEvent(new KeyboardEvent('keydown', {{ key: 'ArrowRight', bubbles: true }}));
             forth();
             const first = shown();
             passTime({});
             forth();
             return [first, shown()];",
            before.as_millis() / 2
        ));
        assert_eq!(shown, json!([from + 2, from + 2]), "too soon");
        browser.pass(time);
        browser.press("ArrowRight");
        assert_eq!(browser.script(SHOWN), from + 3, "in time");
    }
    browser.pass(CALM);
    let before = browser.script(SHOWN);
    browser.script("document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowLeft', repeat: true, bubbles: true }))");
    assert_eq!(browser.script(SHOWN), before);
}

#[test]
fn the_speakers_window_has_the_notes_and_both_stay_in_step() {
    let Some((_desk, browser)) = presented([1366, 768], 1.0, "#2") else { return };
    let notes = |slide: usize| {
        format!(
            "return document.getElementById('notes').innerText.includes('What is said to slide {slide}.')"
        )
    };
    let said = |id: &str| {
        browser
            .script(&format!("return document.getElementById('{id}').innerText"))
            .as_str()
            .unwrap()
            .to_owned()
    };
    browser.press("n");
    browser.other_window();
    browser.wait_for(&notes(2));
    let titles: Vec<String> =
        deck(Surface::Projected).scenes().into_iter().map(|slide| slide.metadata.title).collect();
    assert_eq!(said("now-title"), titles[1]);
    assert_eq!(said("following"), format!("Next: {}", titles[2]));
    assert_eq!(said("number"), format!("2 / {}", Deck::SLIDES));
    // From the first window to the second, then back.
    browser.other_window();
    assert_eq!(after(&browser, "ArrowRight"), 3);
    browser.pass(CALM);
    browser.other_window();
    browser.wait_for(&notes(3));
    browser.press("PageDown");
    browser.wait_for(&notes(4));
    browser.other_window();
    assert_eq!(browser.script(SHOWN), 4);
    // A window that was loaded again finds the other one.
    browser.reload();
    browser.wait_for("return speaker !== null");
    assert_eq!(after(&browser, "Home"), 1);
    browser.other_window();
    browser.wait_for(&notes(1));
    browser.wait_for("return document.getElementById('elapsed').textContent !== '0:00'");
    assert_eq!(said("apart"), "");
    browser.keep("slides-speaker");
    assert_eq!(browser.script(crate::common::windows::READABLE), serde_json::json!([]));
}

#[test]
fn an_upright_phone_has_the_notes_below_the_slide() {
    let Some((_desk, browser)) = presented([390, 844], 1.0, "#3") else { return };
    let seen = browser.script(
        "const box = (id) => document.getElementById(id).getBoundingClientRect();
         const notes = document.getElementById('notes');
         return [box('stage').bottom, box('notes').top, notes.innerText, box('stage').width,
             parseFloat(getComputedStyle(notes).fontSize), document.documentElement.scrollWidth];",
    );
    assert!(seen[0].as_f64() <= seen[1].as_f64(), "{seen}");
    assert_eq!(
        (&seen[2], &seen[3], &seen[5]),
        (&"What is said to slide 3.".into(), &390.into(), &390.into())
    );
    assert!(seen[4].as_f64() >= Some(16.0), "{seen}");
    // A touch on what is read turns no slide, one on the slide does.
    browser.pass(CALM);
    browser.click("#notes");
    assert_eq!(browser.script(SHOWN), 3);
    browser.click("main");
    assert_eq!(browser.script(SHOWN), 4);
    browser.keep("slides-upright");
}

#[test]
fn slides_fill_every_screen_without_leaving_it_and_the_line_of_keys_goes_away() {
    for (name, pixels, ratio) in [
        ("laptop", [1366, 768], 1.0),
        ("projector", [1920, 1080], 1.0),
        ("four-by-three", [1024, 768], 1.0),
        ("phone", [1688, 780], 2.0),
    ] {
        let Some((_desk, browser)) = presented(pixels, ratio, "#3") else { return };
        let off = browser.script(
            "const wide = innerWidth, high = innerHeight;
             const out = [...document.querySelectorAll('section:not([hidden]) svg > rect, section:not([hidden]) text, #keys button')]
                 .map((one) => [one.textContent, one.getBoundingClientRect()])
                 .filter(([, box]) => box.left < -0.5 || box.top < -0.5 || box.right > wide + 0.5 || box.bottom > high + 0.5);
             const ground = document.querySelector('section:not([hidden]) svg > rect').getBoundingClientRect();
             return [out, Math.max(ground.width / wide, ground.height / high), ground.width / ground.height];",
        );
        assert_eq!(off[0], serde_json::json!([]), "{name}");
        let (fills, form) = (off[1].as_f64().unwrap(), off[2].as_f64().unwrap());
        // As large as the screen lets it be, and 16 to 9; half a pixel.
        assert!((fills - 1.0).abs() < 1e-3 && (form - 16.0 / 9.0).abs() < 1e-3, "{name}: {off}");
        browser.keep(&format!("slides-{name}"));
        let faint = "return getComputedStyle(document.getElementById('keys')).opacity";
        assert_eq!(browser.script(faint), "1", "{name}");
        browser.pass(Duration::from_secs(9));
        assert_eq!(browser.script(faint), "0", "{name}");
        // Whoever walks by the tabulator key sees where they are.
        browser.script("document.querySelector('#keys button').focus()");
        assert_eq!(browser.script(faint), "1", "{name}");
        let unnamed = browser.script(
            "return [...document.querySelectorAll('image')].filter((one) => !one.getAttribute('aria-label')?.startsWith('picture')).length",
        );
        assert_eq!(unnamed, 0, "{name}");
    }
}
