//! The marks of answers.

use kurbo::{BezPath, Circle, Point, Rect, Shape as _};

use super::type_area::run;
use crate::balance::{Answer, Legible};
use crate::quantity::Length;
use crate::scene::look::{Palette, SMALL, Style};
use crate::scene::{Canvas, Paint};

/// How far a mark may stray from a true circle.
const TOLERANCE_MM: f64 = 1e-3;

/// Air between a mark and its word.
pub(super) const AIR_MM: f64 = 0.6;

/// How far capitals and noughts rise, in ems.
pub(super) const TALL: f64 = 0.73;

/// A word beside a mark.
pub(super) struct Beside {
    pub(super) words: String,
    pub(super) style: Style,
    pub(super) left: f64,
    pub(super) baseline: f64,
}

impl Beside {
    /// Takes away what lies under it, but for an area of a paint.
    pub(super) fn clear(&self, ground: Paint, canvas: &mut Canvas, kept: Option<(Rect, Paint)>) {
        let (tall, air) = (TALL * self.style.em.to_mm(), AIR_MM / 2.0);
        let right = self.left + run(&self.words, self.style);
        let cleared = Rect::new(self.left, self.baseline - tall - air, right, self.baseline + air);
        let kept =
            kept.map(|(area, paint)| (area.intersect(cleared), paint)).filter(|(area, _)| area.area() > 0.0);
        for (Rect { x0, y0, x1, y1 }, paint) in [(cleared, ground)].into_iter().chain(kept) {
            canvas.rect([x0, y0, x1, y1], paint);
        }
    }
}

/// Letters beside marks that stand close are smaller, so that neighbours do not touch.
pub(super) fn letters(usual: Style, apart: f64) -> Style {
    // The widest, G, takes 0.78 em.
    let most = apart / 0.85;
    Style { em: Length::mm(usual.em.to_mm().min(most)), ..SMALL }
}

/// What was said, about red and green or about white.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reply {
    /// Which side is clearer.
    Colours(Answer),
    /// Whether the line on white was read.
    White(Legible),
}

impl Reply {
    /// All of them.
    #[cfg(test)]
    pub(super) fn all() -> impl Iterator<Item = Self> {
        Answer::ALL.map(Self::Colours).into_iter().chain(Legible::ALL.map(Self::White))
    }

    /// In a word.
    pub(super) fn word(self) -> String {
        match self {
            Self::Colours(answer) => answer.to_string(),
            Self::White(answer) => answer.to_string(),
        }
    }

    /// Its letter, where words are too long.
    pub(super) const fn letter(self) -> &'static str {
        match self {
            Self::Colours(answer) => answer.letter(),
            Self::White(Legible::Read) => "w",
            Self::White(Legible::Lost) => "x",
        }
    }

    /// Its colour.
    pub(super) const fn paint(self, palette: &Palette) -> Paint {
        match self {
            Self::Colours(Answer::Red) => palette.long,
            Self::Colours(Answer::Green) => palette.middle,
            Self::Colours(Answer::Same) => palette.balance,
            Self::Colours(Answer::Unsure) | Self::White(Legible::Lost) => palette.quiet,
            Self::White(Legible::Read) => palette.ink,
        }
    }
}

/// Corners of a shape, joined.
fn joined(corners: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    for (place, corner) in corners.iter().enumerate() {
        if place == 0 { path.move_to(*corner) } else { path.line_to(*corner) }
    }
    path.close_path();
    path
}

/// Round for red, square for green, a diamond for the same, an open ring where it could not be told; on white a triangle that
/// points up where the line was read, a bar that lies where it was lost.
pub(super) fn mark(palette: &Palette, canvas: &mut Canvas, reply: Reply, at: Point, half: f64) {
    let path = match reply {
        Reply::Colours(Answer::Red) => Circle::new(at, half).to_path(TOLERANCE_MM),
        Reply::Colours(Answer::Green) => {
            Rect::from_center_size(at, (1.8 * half, 1.8 * half)).to_path(TOLERANCE_MM)
        }
        Reply::Colours(Answer::Same) => {
            let half = 1.25 * half;
            joined(&[(at.x, at.y - half), (at.x + half, at.y), (at.x, at.y + half), (at.x - half, at.y)])
        }
        Reply::White(Legible::Read) => joined(&[
            (at.x, at.y - 1.2 * half),
            (at.x + 1.15 * half, at.y + 0.8 * half),
            (at.x - 1.15 * half, at.y + 0.8 * half),
        ]),
        Reply::White(Legible::Lost) => {
            Rect::from_center_size(at, (2.2 * half, 0.7 * half)).to_path(TOLERANCE_MM)
        }
        Reply::Colours(Answer::Unsure) => {
            let ring = |radius: f64| Circle::new(at, radius).to_path(TOLERANCE_MM);
            // Bare within, so that the joining line does not run through it.
            canvas.path(ring(half), palette.ground);
            let mut path = ring(half);
            path.extend(ring(0.6 * half).reverse_subpaths());
            path
        }
    };
    canvas.path(path, reply.paint(palette));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::look::{AT_NIGHT, ON_BARE};

    #[test]
    fn every_answer_has_its_own_letter_and_colour() {
        let all: Vec<Reply> = Reply::all().collect();
        for palette in [&ON_BARE, &AT_NIGHT] {
            for (index, one) in all.iter().enumerate() {
                for other in &all[..index] {
                    // What could not be told and what was lost stand never beside each other's words.
                    let [paint, beside] = [one, other].map(|reply| reply.paint(palette));
                    let is_quiet = paint == palette.quiet && beside == palette.quiet;
                    assert!(one.letter() != other.letter() && (is_quiet || paint != beside));
                }
            }
        }
    }
}
