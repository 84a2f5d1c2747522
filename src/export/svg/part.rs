//! What belongs together on a page, so that whoever edits it in a drawing program moves a figure with its labels.
//!
//! A scene has no groups, so they are found by place: what is drawn close together is one figure, words in it or at its edge are
//! its labels, and lines of one paragraph belong together. What overlaps is always in one part, so parts may be painted one
//! after the other.

use kurbo::{Affine, Rect, Shape as _};

use crate::scene::{Geometry, Scene, Shape, Text};

/// What is drawn closer together than this is one figure, in millimetres. Assumed: under the air between the slides' columns.
const CLOSE_MM: f64 = 3.0;

/// A figure has labels if it is at least as large to both sides, in millimetres; a rule has none.
const LABELLED_MM: f64 = 8.0;

/// How far labels stand outside their figure, in millimetres. Assumed: two lines of a caption, and less than a title's distance.
const LABEL_MM: f64 = 9.0;

/// Baselines of a paragraph are at most so far apart, in its size.
const MOST_LEADING: f64 = 1.6;

/// Binary dust of places that were worked out alike.
const SAME_MM: f64 = 1e-6;

/// What a part of a page is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A paragraph, or words that stand alone.
    Words,
    /// What is drawn, with its labels.
    Figure,
    /// Pixels, with their labels.
    Picture,
}

impl Kind {
    pub(super) const ALL: [Self; 3] = [Self::Words, Self::Figure, Self::Picture];

    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Words => "words",
            Self::Figure => "figure",
            Self::Picture => "picture",
        }
    }
}

/// Shapes that belong together, in the order in which they cover each other.
pub(super) struct Part<'a> {
    pub(super) kind: Kind,
    pub(super) shapes: Vec<&'a Shape>,
}

/// The parts of a page, each where its first shape stands.
pub(super) fn parts(scene: &Scene) -> Vec<Part<'_>> {
    let boxes: Vec<Rect> = scene.shapes.iter().map(bounds).collect();
    let mut sets = Sets::new(boxes.len());
    join_drawn(scene, &boxes, &mut sets);
    join_labels(scene, &boxes, &mut sets);
    join_paragraphs(scene, &mut sets);
    let mut parts: Vec<(usize, Part<'_>)> = Vec::new();
    for (index, shape) in scene.shapes.iter().enumerate() {
        let set = sets.of(index);
        if let Some((_, part)) = parts.iter_mut().find(|(one, _)| *one == set) {
            part.shapes.push(shape);
        } else {
            parts.push((set, Part { kind: Kind::Words, shapes: vec![shape] }));
        }
    }
    parts.into_iter().map(|(_, part)| Part { kind: kind(&part.shapes), ..part }).collect()
}

/// The lines of a paragraph, or one line alone: how many of these shapes from the first on.
pub(super) fn paragraph(shapes: &[&Shape]) -> usize {
    let goes_on = |pair: &&[&Shape]| follows(pair[0], pair[1]);
    1 + shapes.windows(2).take_while(goes_on).count()
}

fn kind(shapes: &[&Shape]) -> Kind {
    if shapes.iter().any(|shape| matches!(shape.geometry, Geometry::Image(_))) {
        Kind::Picture
    } else if shapes.iter().all(|shape| text(shape).is_some()) {
        Kind::Words
    } else {
        Kind::Figure
    }
}

pub(super) const fn text(shape: &Shape) -> Option<&Text> {
    match &shape.geometry {
        Geometry::Text(text) => Some(text),
        Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Image(_) => None,
    }
}

/// Whether words stand as they are read, neither turned nor of another size.
pub(super) fn is_upright(text: &Text) -> bool {
    text.place() == Affine::translate(text.place().translation())
}

fn bounds(shape: &Shape) -> Rect {
    match &shape.geometry {
        Geometry::Rect(rect) => *rect,
        Geometry::Path(path) => path.bounding_box(),
        Geometry::Line(line) => line.path.bounding_box().inflate(line.width / 2.0, line.width / 2.0),
        Geometry::Text(text) => {
            let em = text.em().to_mm();
            text.place().transform_rect_bbox(Rect::new(0.0, -em, text.width().to_mm(), em / 4.0))
        }
        Geometry::Image(image) => image.place,
    }
}

/// Whether one line goes on another's paragraph: set alike, at the same left end, one line below.
fn follows(above: &Shape, below: &Shape) -> bool {
    let (Some(first), Some(second)) = (text(above), text(below)) else { return false };
    let [from, to] = [first, second].map(|text| text.place().translation());
    let upright = is_upright(first) && is_upright(second);
    let set_alike = first.face() == second.face() && first.em() == second.em() && above.paint == below.paint;
    let leading = (to.y - from.y) / first.em().to_mm();
    upright && set_alike && (to.x - from.x).abs() < SAME_MM && (1.0..MOST_LEADING).contains(&leading)
}

/// What is drawn close together, and words that lie on it.
fn join_drawn(scene: &Scene, boxes: &[Rect], sets: &mut Sets) {
    let is_text: Vec<bool> = scene.shapes.iter().map(|shape| text(shape).is_some()).collect();
    for (first, one) in boxes.iter().enumerate() {
        for (second, other) in boxes.iter().enumerate().skip(first + 1) {
            let near = if is_text[first] || is_text[second] { 0.0 } else { CLOSE_MM };
            if one.inflate(near, near).overlaps(*other) && !(is_text[first] && is_text[second]) {
                sets.join(first, second);
            }
        }
    }
}

/// Words that lie within a figure's box or at its edge.
fn join_labels(scene: &Scene, boxes: &[Rect], sets: &mut Sets) {
    let drawn: Vec<usize> = (0..boxes.len()).filter(|index| text(&scene.shapes[*index]).is_none()).collect();
    let mut figures: Vec<(usize, Rect)> = Vec::new();
    for index in drawn {
        let set = sets.of(index);
        match figures.iter_mut().find(|(one, _)| sets.of(*one) == set) {
            Some((_, all)) => *all = all.union(boxes[index]),
            None => figures.push((index, boxes[index])),
        }
    }
    figures.retain(|(_, all)| all.width() >= LABELLED_MM && all.height() >= LABELLED_MM);
    for (index, shape) in scene.shapes.iter().enumerate() {
        let is_in = |(_, all): &&(usize, Rect)| all.inflate(LABEL_MM, LABEL_MM).contains_rect(boxes[index]);
        if let Some((figure, _)) = figures.iter().find(is_in).filter(|_| text(shape).is_some()) {
            sets.join(*figure, index);
        }
    }
}

fn join_paragraphs(scene: &Scene, sets: &mut Sets) {
    for (index, pair) in scene.shapes.windows(2).enumerate() {
        if follows(&pair[0], &pair[1]) {
            sets.join(index, index + 1);
        }
    }
}

/// Which of many belong together.
struct Sets(Vec<usize>);

impl Sets {
    fn new(count: usize) -> Self {
        Self((0..count).collect())
    }

    /// The first of those that an item belongs to.
    fn of(&self, item: usize) -> usize {
        let mut at = item;
        while self.0[at] != at {
            at = self.0[at];
        }
        at
    }

    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.of(one), self.of(other));
        self.0[one.max(other)] = one.min(other);
    }
}
