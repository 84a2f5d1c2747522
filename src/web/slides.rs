//! Slides to present from a browser: one file, with a second window for the speaker.
//!
//! A slide is drawn by its scene's own SVG, so that its words can be read and searched. What may follow what is decided by time
//! alone: slides change at most once in [`EVERY_MS`], and to or from one that shows much saturated red or green as rarely as
//! anything between red and green does ([`CALM_MS`]).
//!
//! Its keys are those of any presentation, not those of the balance: no patient is asked before slides.

use serde::Serialize;

use super::{Frame, escaped};
use crate::balance::keys::CALM_MS;
use crate::balance::words;
use crate::export::svg;
use crate::light::Channel;
use crate::raster;
use crate::room::Display;
use crate::scene::Scene;

/// Slides change at most once in this time, in milliseconds. This project's own decision: WCAG 2.3.1 allows three flashes in
/// a second.
const EVERY_MS: u16 = 300;

/// The share of a colour's light that one channel must have for the colour to count as saturated: WCAG 2.2 says so of red, and
/// here the same is taken for green.
const SATURATED: f64 = 0.8;

/// The light that it must have besides, as a share of its channel's full drive. Assumed: what is darker is a ground.
const LIT: f64 = 0.05;

/// A slide counts as showing red or green from this share of its area on. Assumed: lines and words stay below.
const LARGE: f64 = 0.01;

/// How finely that is looked at, in pixels.
const LOOKED_AT: [u32; 2] = [192, 108];

/// The modules of its script, each after those that it imports from.
const MODULES: [&str; 6] = [
    include_str!("calm.js"),
    include_str!("page.js"),
    include_str!("slides/table.js"),
    include_str!("slides/model.js"),
    include_str!("slides/speaker.js"),
    include_str!("slides.js"),
];

/// A slide and what is said beside it.
#[derive(Debug, Clone, Copy)]
pub struct Slide<'a> {
    /// What is shown.
    pub scene: &'a Scene,
    /// What is said, a note a paragraph.
    pub notes: &'a [String],
}

/// All that the page's script interprets.
#[derive(Debug, Serialize)]
struct Table<'a> {
    page: Shared,
    slides: Vec<Row<'a>>,
}

/// What `page.js` is handed, as far as slides have it.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Shared {
    calm_ms: u16,
    every_ms: u16,
    keys: [Key; 6],
}

/// A key of the page: what it does, how it is written, its names by W3C's recommendation UI Events, what is said of it.
#[derive(Debug, Clone, Copy, Serialize)]
struct Key {
    act: &'static str,
    shown: &'static str,
    names: &'static [&'static str],
    words: &'static str,
}

const KEYS: [Key; 6] = [
    Key {
        act: "next",
        shown: "→",
        names: &["ArrowRight", "ArrowDown", "PageDown", " ", "Enter"],
        words: "next slide",
    },
    Key {
        act: "before",
        shown: "←",
        names: &["ArrowLeft", "ArrowUp", "PageUp", "Backspace"],
        words: "slide before",
    },
    Key { act: "first", shown: "Home", names: &["Home"], words: "first slide" },
    Key { act: "last", shown: "End", names: &["End"], words: "last slide" },
    Key { act: "full_screen", shown: "F", names: &["f"], words: "full screen" },
    Key { act: "notes", shown: "N", names: &["n"], words: "speaker’s window" },
];

#[derive(Debug, Serialize)]
struct Row<'a> {
    title: &'a str,
    notes: &'a [String],
    /// Whether much of it is saturated red or green.
    saturated: bool,
}

/// One self-contained file to present from. The same slides give the same text.
#[must_use]
pub fn slides_page<'a>(name: &str, slides: &[Slide<'a>]) -> String {
    let row = |slide: &Slide<'a>| Row {
        title: &slide.scene.metadata.title,
        notes: slide.notes,
        saturated: shows_colour(slide.scene),
    };
    let page = Shared { calm_ms: CALM_MS, every_ms: EVERY_MS, keys: KEYS };
    let table = Table { page, slides: slides.iter().map(row).collect() };
    let sections: Vec<String> =
        (1..).zip(slides).map(|(number, slide)| section(number, slide.scene)).collect();
    let frame = Frame {
        title: &format!("Red-green balance: slides for {}", escaped(name)),
        allows: "img-src data:; ",
        body: include_str!("slides.html"),
        places: &[("SLIDES", &sections.concat()), ("SEIZURES", words::SEIZURES)],
        style: include_str!("slides.css"),
        modules: &MODULES,
    };
    frame.html(&table)
}

/// A slide as a section that is called by its title, hidden until it is shown.
fn section(number: usize, scene: &Scene) -> String {
    let title = escaped(&scene.metadata.title);
    let svg = svg::inlaid(scene, &format!("slide-{number}"));
    format!(
        "<section id=\"slide-{number}\" aria-label=\"{title}\" tabindex=\"-1\" hidden>\n{svg}</section>\n"
    )
}

/// Whether a large part of a slide is saturated red or green.
fn shows_colour(scene: &Scene) -> bool {
    let display = Display::assumed();
    let picture = raster::draw(scene, LOOKED_AT, &display);
    let coloured = picture.pixels().filter(|pixel| is_saturated(pixel.0, &display)).count();
    let [across, down] = LOOKED_AT.map(f64::from);
    f64::from(u32::try_from(coloured).unwrap_or(u32::MAX)) > LARGE * across * down
}

/// Whether nearly all light of these codes of a display, by channel, is red or is green.
fn is_saturated(codes: [u8; 3], display: &Display) -> bool {
    let [red, green, blue] = Channel::ALL.map(|channel| display.tone(channel).light(codes[channel.index()]));
    let all = red + green + blue;
    [red, green].into_iter().any(|one| one >= LIT && one >= SATURATED * all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::web::script::tests::can_be_joined;

    #[test]
    fn its_modules_can_be_joined() {
        can_be_joined(&MODULES);
    }

    #[test]
    fn a_key_has_one_meaning() {
        let names: Vec<&str> = KEYS.iter().flat_map(|key| key.names).copied().collect();
        for (place, name) in names.iter().enumerate() {
            assert!(!names[..place].contains(name), "{name}");
        }
    }

    #[test]
    fn fields_are_saturated_and_words_on_night_are_not() {
        // Worked by hand by IEC 61966-2-1: of 240, 106, 95 the shares of light are 0.871, 0.144, 0.114; red has 0.77 of all.
        for (codes, is) in [
            ([255, 0, 0], true),
            ([0, 148, 0], true),
            ([240, 106, 95], false),
            ([0, 0, 255], false),
            ([200, 200, 200], false),
            ([20, 0, 0], false),
        ] {
            assert_eq!(is_saturated(codes, &Display::assumed()), is, "{codes:?}");
        }
    }
}
