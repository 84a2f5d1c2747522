//! One slide as it grows: ground, heading, and what is put on it.

use std::sync::Arc;

use image::RgbImage;
use kurbo::{BezPath, Rect};

use super::{Shown, Surface};
use crate::quantity::Length;
use crate::scene::look::{self, BODY, Palette, Style};
use crate::scene::{self, Anchor, Canvas, Face, Image, Line, Metadata, Paint, Scene, TextBlock};

/// A slide in the pixels of a 1080-line screen, in which all its places are counted.
pub(super) const SIZE: [f64; 2] = [1920.0, 1080.0];
/// Air at every side.
pub(super) const MARGIN: f64 = 96.0;
/// The right and the lower end of what may be drawn on.
pub(super) const RIGHT: f64 = SIZE[0] - MARGIN;
pub(super) const BOTTOM: f64 = SIZE[1] - MARGIN;
/// How wide that is.
pub(super) const WIDE: f64 = RIGHT - MARGIN;

/// The body's size; a report's body printed as large makes the same plots and ladders serve on slides.
const BODY_PX: f64 = 28.0;

/// A pixel in millimetres.
pub(super) const PX_MM: f64 = BODY.em.to_mm() / BODY_PX;

/// The air at every side in millimetres.
pub(in crate::print) const AIR_MM: f64 = MARGIN * PX_MM;

/// From the title to what follows.
const BELOW_TITLE: f64 = 44.0;

const fn em(pixels: f64) -> Length {
    Length::mm(pixels * PX_MM)
}

impl Surface {
    /// The colours of slides that are made for it.
    pub(super) const fn palette(self) -> &'static Palette {
        match self {
            Self::Projected => &look::AT_NIGHT,
            Self::Printed => &look::ON_PAPER,
        }
    }
}

/// One slide as it grows.
#[derive(Clone)]
pub(super) struct Slide {
    pub(super) canvas: Canvas,
    pub(super) palette: &'static Palette,
    title: String,
    source: String,
    notes: Vec<String>,
    answers: bool,
    /// Where the title ends below.
    pub(super) top: f64,
}

impl Slide {
    /// A slide with its message.
    pub(super) fn new(surface: Surface, title: impl Into<String>) -> Self {
        let title = title.into();
        let mut slide = Self::bare(surface, title.clone());
        slide.top = slide.paragraph(&title, slide.heading(44.0), [MARGIN, MARGIN], WIDE) + BELOW_TITLE;
        slide
    }

    /// A cover, which lays out its own words.
    pub(super) fn bare(surface: Surface, title: impl Into<String>) -> Self {
        let (canvas, title, palette) = (Canvas::default(), title.into(), surface.palette());
        Self { canvas, palette, title, source: String::new(), notes: Vec::new(), answers: false, top: MARGIN }
    }

    /// What is said beside it, a note a paragraph.
    pub(super) fn saying<N: Into<String>>(mut self, notes: impl IntoIterator<Item = N>) -> Self {
        self.notes.extend(notes.into_iter().map(Into::into));
        self
    }

    /// That it answers the slide before.
    pub(super) const fn answering(mut self, answers: bool) -> Self {
        self.answers = answers;
        self
    }

    /// What it rests on, quietly at its foot.
    pub(super) fn resting_on(mut self, source: impl Into<String>) -> Self {
        self.source = source.into();
        self
    }

    /// Bold, so large.
    pub(super) const fn heading(&self, pixels: f64) -> Style {
        Style { face: Face::Bold, em: em(pixels), paint: self.palette.ink }
    }

    /// What is read.
    pub(super) const fn body(&self) -> Style {
        Style { face: Face::Regular, em: em(BODY_PX), paint: self.palette.ink }
    }

    /// A sentence that leads.
    pub(super) const fn lead(&self) -> Style {
        Style { face: Face::Regular, em: em(35.0), paint: self.palette.ink }
    }

    /// Labels and sources.
    pub(super) const fn small(&self) -> Style {
        Style { face: Face::Regular, em: look::SMALL.em, paint: self.palette.quiet }
    }

    /// Words on one line.
    pub(super) fn write(&mut self, words: &str, style: Style, anchor: Anchor, [x, baseline]: [f64; 2]) {
        self.canvas.write(words, style, anchor, [x * PX_MM, baseline * PX_MM]);
    }

    /// Words in lines; says where they end below.
    pub(super) fn paragraph(&mut self, words: &str, style: Style, [left, top]: [f64; 2], width: f64) -> f64 {
        let place = [left * PX_MM, top * PX_MM];
        self.canvas.paragraph(words, style, place, width * PX_MM) / PX_MM
    }

    /// Words indented for what hangs beside them; says where they end below.
    pub(super) fn hanging(
        &mut self,
        head: (&str, Style),
        indent: f64,
        words: (&str, Style),
        ([left, top], width): ([f64; 2], f64),
    ) -> f64 {
        let place = ([left * PX_MM, top * PX_MM], width * PX_MM);
        self.canvas.hanging(head, indent * PX_MM, words, place) / PX_MM
    }

    /// A heading with words beside it, one below the other, ruled apart; says where they end below.
    pub(super) fn terms(&mut self, terms: &[(String, String)], top: f64, indent: f64, gap: f64) -> f64 {
        let mut top = top;
        for (index, (term, words)) in terms.iter().enumerate() {
            if index > 0 {
                self.rule([MARGIN, RIGHT], top - gap / 2.0);
            }
            let (head, words) = ((term.as_str(), self.heading(BODY_PX)), (words.as_str(), self.body()));
            top = self.hanging(head, indent, words, ([MARGIN, top], WIDE)) + gap;
        }
        top - gap
    }

    /// A hairline across.
    pub(super) fn rule(&mut self, [left, right]: [f64; 2], y: f64) {
        self.straight([left, y], [right, y], 2.0, self.palette.hairline);
    }

    /// A straight line.
    pub(super) fn straight(&mut self, from: [f64; 2], to: [f64; 2], width: f64, paint: Paint) {
        self.dashed(from, to, width, &[], paint);
    }

    /// A straight line of dashes.
    pub(super) fn dashed(&mut self, from: [f64; 2], to: [f64; 2], width: f64, dashes: &[f64], paint: Paint) {
        let mut path = BezPath::new();
        path.move_to((from[0] * PX_MM, from[1] * PX_MM));
        path.line_to((to[0] * PX_MM, to[1] * PX_MM));
        let dashes = dashes.iter().map(|dash| dash * PX_MM).collect();
        self.canvas.line(Line { path, width: width * PX_MM, dashes }, paint);
    }

    /// A rectangle by its left, top, right and bottom.
    pub(super) fn rect(&mut self, sides: [f64; 4], paint: Paint) {
        self.canvas.rect(sides.map(|side| side * PX_MM), paint);
    }

    /// Black under what a patient sees, a little wider than it, where the slide itself is not dark.
    pub(super) fn tile(&mut self, [left, top, right, bottom]: [f64; 4]) {
        const AROUND: f64 = 6.0;
        if self.palette.ground != look::NIGHT {
            self.rect([left - AROUND, top - AROUND, right + AROUND, bottom + AROUND], look::NIGHT);
        }
    }

    /// A view by its upper left corner, set to whole pixels of a 1080-line screen, `times` of them for each of its own.
    pub(super) fn view(&mut self, pixels: &Arc<RgbImage>, corner: [f64; 2], times: f64) {
        let [left, top] = corner.map(f64::round);
        let size = [times * f64::from(pixels.width()), times * f64::from(pixels.height())];
        let sides = [left, top, left + size[0], top + size[1]];
        self.tile(sides);
        let [x0, y0, x1, y1] = sides.map(|side| side * PX_MM);
        self.canvas.image(Image { place: Rect::new(x0, y0, x1, y1), pixels: Arc::clone(pixels) });
    }

    /// The slide with its source and its number at its foot.
    pub(super) fn done(mut self, number: usize, of: usize) -> Shown {
        let (style, source) = (self.small(), std::mem::take(&mut self.source));
        let leading = style.leading() / PX_MM;
        let block = TextBlock::new(&source, style, (WIDE - 160.0) * PX_MM);
        block.draw(&mut self.canvas, [MARGIN * PX_MM, BOTTOM * PX_MM - block.height()]);
        let baseline = BOTTOM - leading + style.em.to_mm() / PX_MM;
        self.write(&format!("{number} / {of}"), style, Anchor::Right, [RIGHT, baseline]);
        let scene = Scene {
            size: SIZE.map(|side| Length::mm(side * PX_MM)),
            background: self.palette.ground,
            shapes: self.canvas.shapes,
            metadata: Metadata { title: self.title, description: source, json: String::new() },
        };
        Shown { scene, notes: self.notes, answers: self.answers }
    }
}

/// How far words run, in pixels.
pub(super) fn run(words: &str, style: Style) -> f64 {
    scene::run(words, style) / PX_MM
}
