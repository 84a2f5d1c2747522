//! What a class takes home, and what the speaker holds: slides made small on paper, with room to write or with what is said.
//!
//! Slides for a handout are those made for [paper](super::Surface::Printed). They are pictures of slides, as wide as the sheet
//! lets them be: the body is then 8 points on A4, the labels 6, while three on a page would leave it 6 and them under 5. All
//! else keeps to the sizes of print.

use super::deck::AIR_MM;
use super::leaf::{GAP_MM, body, count, pages};
use super::{Deck, Paper, Shown};
use crate::quantity::Length;
use crate::scene::look::{BODY, GRID_MM, HAIRLINE, HAIRLINE_MM, HEADING, INK, Style};
use crate::scene::{Canvas, Face, Scene, TextBlock};

/// Slides on a page of a handout.
const A_PAGE: usize = 2;

/// Of the air at a slide's sides only a quarter is printed.
const KEPT_AIR: f64 = 0.25;

/// How wide a slide is over notes that leave it no more.
const SPOKEN_MM: f64 = 128.0;

/// From one line to write on to the next, and how many there are at least.
const RULED_MM: f64 = 3.5 * GRID_MM;
const RULED_LINES: f64 = 2.0;

/// Notes are read at a desk, from a lectern.
const SAID: Style = Style { face: Face::Regular, em: Length::points(12.0), paint: INK };

/// Two slides a page, each with lines to write on below it.
#[derive(Debug, Clone)]
pub struct Handout {
    /// The pages.
    pub pages: Vec<Scene>,
}

/// A page for each slide with what is said beside it; a second one where that is long.
#[derive(Debug, Clone)]
pub struct SpeakerNotes {
    /// The pages.
    pub pages: Vec<Scene>,
}

impl Handout {
    /// Lays out a deck's slides; `name` is what the room is called.
    #[must_use]
    pub fn new(deck: &Deck, name: &str, paper: Paper) -> Self {
        // Answers under their questions would leave nothing to think of.
        let (last, first): (Vec<_>, Vec<_>) = deck.slides.iter().partition(|slide| slide.answers);
        let slides: Vec<&Shown> = first.into_iter().chain(last).collect();
        let groups = slides.chunks(A_PAGE);
        let titled = |slides| ("Red-green balance: handout", handed(slides, paper));
        Self { pages: pages(groups.map(titled).collect(), name, paper) }
    }
}

impl SpeakerNotes {
    /// Lays out a deck's slides with their notes; `name` is what the room is called.
    #[must_use]
    pub fn new(deck: &Deck, name: &str, paper: Paper) -> Self {
        let of_slide = |(number, slide): (usize, &Shown)| spoken(number, slide, paper);
        let canvases = (1..).zip(&deck.slides).flat_map(of_slide);
        let titled = canvases.map(|canvas| ("Red-green balance: speaker’s notes", canvas));
        Self { pages: pages(titled.collect(), name, paper) }
    }
}

/// Slides one below the other, as large as the sheet lets them be, each with lines to write on below it.
fn handed(slides: &[&Shown], paper: Paper) -> Canvas {
    let [left, top, right, bottom] = body(paper);
    let mut canvas = Canvas::default();
    let pitch = (bottom - top + GAP_MM) / count(A_PAGE);
    let [across, down] = printed_of(&slides[0].scene);
    let high = pitch - GAP_MM - RULED_LINES * RULED_MM;
    let width = (right - left).min(high * across / down);
    for (place, slide) in slides.iter().enumerate() {
        let top = top + pitch * count(place);
        let mut line = small(&mut canvas, &slide.scene, [left, top], width) + RULED_MM;
        while line <= top + pitch - GAP_MM {
            canvas.rule(left, right, line);
            line += RULED_MM;
        }
    }
    canvas
}

/// How much of a slide's width and height is printed, in millimetres.
fn printed_of(slide: &Scene) -> [f64; 2] {
    slide.size.map(|side| side.to_mm() - 2.0 * (1.0 - KEPT_AIR) * AIR_MM)
}

/// A slide with its notes, on as many pages as they take: the slide as wide as the sheet and the notes large, if one page holds them.
fn spoken(number: usize, slide: &Shown, paper: Paper) -> Vec<Canvas> {
    let [left, top, right, bottom] = body(paper);
    let laid = |width: f64| {
        let mut canvas = Canvas::default();
        let below = small(&mut canvas, &slide.scene, [left, top], width) + GAP_MM;
        (canvas, below)
    };
    let fits = |(_, below): &(Canvas, f64), style| high(&slide.notes, style, right - left) <= bottom - below;
    let (wide, narrow) = (laid(right - left), laid(SPOKEN_MM));
    let ((canvas, below), style) = match (fits(&wide, SAID), fits(&narrow, SAID)) {
        (true, _) => (wide, SAID),
        (false, true) => (narrow, SAID),
        (false, false) => (narrow, BODY),
    };
    let (mut pages, mut at) = (vec![canvas], below);
    for note in &slide.notes {
        let [mut block, mut rest] = TextBlock::new(note, style, right - left).cut(bottom - at);
        loop {
            if let Some(canvas) = pages.last_mut() {
                at = block.draw(canvas, [left, at]);
            }
            if rest.is_empty() {
                break;
            }
            let mut next = Canvas::default();
            let title = format!("Slide {number}, continued: {}", slide.scene.metadata.title);
            at = next.paragraph(&title, HEADING, [left, top], right - left) + GRID_MM;
            pages.push(next);
            // A page takes a line at least, whatever stands over it.
            [block, rest] = rest.cut((bottom - at).max(style.leading()));
        }
        at += style.leading() / 2.0;
    }
    pages
}

/// How high notes are that are set so.
fn high(notes: &[String], style: Style, width: f64) -> f64 {
    let words: f64 = notes.iter().map(|note| TextBlock::new(note, style, width).height()).sum();
    words + style.leading() * count(notes.len().saturating_sub(1)) / 2.0
}

/// A slide within a hairline that is so wide, without most of the air at its sides; says where it ends below.
fn small(canvas: &mut Canvas, slide: &Scene, [left, top]: [f64; 2], width: f64) -> f64 {
    let [across, down] = printed_of(slide);
    let scale = width / across;
    let cut = (1.0 - KEPT_AIR) * AIR_MM * scale;
    canvas.shapes.extend(slide.placed([left - cut, top - cut], slide.size[0].to_mm() * scale));
    let (right, bottom) = (left + width, top + down * scale);
    for (from, to) in [
        ((left, top), (right, top)),
        ((left, bottom), (right, bottom)),
        ((left, top), (left, bottom)),
        ((right, top), (right, bottom)),
    ] {
        canvas.straight(from, to, HAIRLINE_MM, HAIRLINE);
    }
    bottom
}
