//! What a class takes home, and what the speaker holds: slides made small on paper, with room to write or with what is said.
//!
//! Slides for a handout are those made for [paper](super::Surface::Printed). They are pictures of slides, so their type is as
//! small as three on a page make it; all else keeps to the sizes of print.

use super::balance_page::together;
use super::paper::sheet;
use super::{CAUTION, Deck, Paper, Shown};
use crate::quantity::Length;
use crate::scene::look::{BARE, BODY, GRID_MM, HAIRLINE, HAIRLINE_MM, HEADING, INK, QUIET, SMALL, Style};
use crate::scene::{Anchor, Canvas, Face, Scene, fitted, wrapped};

/// Air at the sheet's sides.
const MARGIN_MM: f64 = 7.0 * GRID_MM;

/// Between head, body and foot, and between a slide and what stands beside or below it.
const GAP_MM: f64 = 3.0 * GRID_MM;

/// Slides on a page of a handout.
const A_PAGE: usize = 3;

/// How wide a slide is: on a handout, where lines to write on stand beside it, and over its notes.
const HANDED_MM: f64 = 120.0;
const SPOKEN_MM: f64 = 128.0;

/// From one line to write on to the next.
const RULED_MM: f64 = 4.0 * GRID_MM;

/// Notes are read at a desk, from a lectern.
const SAID: Style = Style { face: Face::Regular, em: Length::points(12.0), paint: INK };

/// Three slides a page with lines to write on.
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
        let groups = deck.slides.chunks(A_PAGE);
        let canvases = groups.map(|slides| handed(slides, paper)).collect();
        Self { pages: pages(canvases, ("Red-green balance: handout", name), paper) }
    }
}

impl SpeakerNotes {
    /// Lays out a deck's slides with their notes; `name` is what the room is called.
    #[must_use]
    pub fn new(deck: &Deck, name: &str, paper: Paper) -> Self {
        let of_slide = |(number, slide): (usize, &Shown)| spoken(number, slide, paper);
        let canvases = (1..).zip(&deck.slides).flat_map(of_slide).collect();
        Self { pages: pages(canvases, ("Red-green balance: speaker’s notes", name), paper) }
    }
}

/// Where a page's body stands: left, top, right, bottom.
fn body(paper: Paper) -> [f64; 4] {
    let [width, height] = paper.size().map(Length::to_mm);
    let foot = 2.0 * SMALL.leading();
    let head = HEADING.leading() + BODY.leading() + GRID_MM;
    [MARGIN_MM, MARGIN_MM + head, width - MARGIN_MM, height - MARGIN_MM - foot - GAP_MM]
}

/// Slides at the left, one below the other, with lines to write on at the right.
fn handed(slides: &[Shown], paper: Paper) -> Canvas {
    let [left, top, right, bottom] = body(paper);
    let mut canvas = Canvas::default();
    let pitch = (bottom - top + GAP_MM) / count(A_PAGE);
    for (place, slide) in slides.iter().enumerate() {
        let top = top + pitch * count(place);
        let below = small(&mut canvas, &slide.scene, [left, top], HANDED_MM);
        let mut line = top + RULED_MM;
        while line <= below {
            canvas.rule(left + HANDED_MM + GAP_MM, right, line);
            line += RULED_MM;
        }
    }
    canvas
}

/// A slide with its notes, on as many pages as they take, in the largest of two sizes that takes one.
fn spoken(number: usize, slide: &Shown, paper: Paper) -> Vec<Canvas> {
    let [left, top, right, bottom] = body(paper);
    let mut canvas = Canvas::default();
    let below = small(&mut canvas, &slide.scene, [left, top], SPOKEN_MM) + GAP_MM;
    let is_short = high(&slide.notes, SAID, right - left) <= bottom - below;
    let style = if is_short { SAID } else { BODY };
    let (mut pages, mut at) = (vec![canvas], below);
    for note in &slide.notes {
        for line in wrapped(&together(note), style, right - left) {
            if at + style.leading() > bottom {
                let mut next = Canvas::default();
                let title = format!("Slide {number}, continued: {}", slide.scene.metadata.title);
                at = next.paragraph(&title, HEADING, [left, top], right - left) + GRID_MM;
                pages.push(next);
            }
            if let Some(canvas) = pages.last_mut() {
                canvas.write(&line, style, Anchor::Left, [left, at + style.em.to_mm()]);
            }
            at += style.leading();
        }
        at += style.leading() / 2.0;
    }
    pages
}

/// How high notes are that are set so.
fn high(notes: &[String], style: Style, width: f64) -> f64 {
    let lines: usize = notes.iter().map(|note| wrapped(&together(note), style, width).len()).sum();
    style.leading() * (count(lines) + count(notes.len().saturating_sub(1)) / 2.0)
}

/// A slide so wide within a hairline; says where it ends below.
fn small(canvas: &mut Canvas, slide: &Scene, [left, top]: [f64; 2], width: f64) -> f64 {
    // A printer puts no ink on what is white.
    let bare = Scene { background: BARE, ..slide.clone() };
    canvas.shapes.extend(bare.placed([left, top], width));
    let [across, down] = slide.size.map(Length::to_mm);
    let (right, bottom) = (left + width, top + width * down / across);
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

/// The pages with what stands on each of them: title, room, caution and number.
fn pages(canvases: Vec<Canvas>, (title, name): (&str, &str), paper: Paper) -> Vec<Scene> {
    let [width, height] = paper.size().map(Length::to_mm);
    let (right, of) = (width - MARGIN_MM, canvases.len());
    let finish = |(number, mut canvas): (usize, Canvas)| {
        let below = canvas.paragraph(title, HEADING, [MARGIN_MM, MARGIN_MM], right - MARGIN_MM);
        let quiet = BODY.in_paint(QUIET);
        let name = fitted(name, quiet, right - MARGIN_MM);
        canvas.write(&name, quiet, Anchor::Left, [MARGIN_MM, below + quiet.em.to_mm()]);
        let foot = height - MARGIN_MM - 2.0 * SMALL.leading();
        canvas.paragraph(CAUTION, SMALL, [MARGIN_MM, foot], right - MARGIN_MM - 10.0 * GRID_MM);
        let last = height - MARGIN_MM - SMALL.leading() + SMALL.em.to_mm();
        canvas.write(&format!("{number} / {of}"), SMALL, Anchor::Right, [right, last]);
        sheet(paper, canvas, title, CAUTION)
    };
    (1..).zip(canvases).map(finish).collect()
}

/// A small number of things.
fn count(things: usize) -> f64 {
    f64::from(u16::try_from(things).unwrap_or(u16::MAX))
}
