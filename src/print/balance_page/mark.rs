//! The marks of answers.

use kurbo::{BezPath, Circle, Point, Rect, Shape as _};

use super::type_area::{run, tiny};
use crate::balance::Answer;
use crate::quantity::Length;
use crate::scene::look::{BALANCE, BARE, LONG, MIDDLE, QUIET, SMALL, Style};
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
    pub(super) fn clear(&self, canvas: &mut Canvas, kept: Option<(Rect, Paint)>) {
        let (tall, air) = (TALL * self.style.em.to_mm(), AIR_MM / 2.0);
        let right = self.left + run(&self.words, self.style);
        let cleared = Rect::new(self.left, self.baseline - tall - air, right, self.baseline + air);
        let kept =
            kept.map(|(area, paint)| (area.intersect(cleared), paint)).filter(|(area, _)| area.area() > 0.0);
        for (Rect { x0, y0, x1, y1 }, paint) in [(cleared, BARE)].into_iter().chain(kept) {
            canvas.rect([x0, y0, x1, y1], paint);
        }
    }
}

/// Letters beside marks that stand close are smaller, so that neighbours do not touch.
pub(super) fn letters(apart: f64) -> Style {
    // The widest, G, takes 0.78 em.
    let most = apart / 0.85;
    Style { em: Length::mm(tiny().em.to_mm().min(most)), ..SMALL }
}

/// The colour of an answer.
pub(super) const fn paint(answer: Answer) -> Paint {
    match answer {
        Answer::Red => LONG,
        Answer::Green => MIDDLE,
        Answer::Same => BALANCE,
        Answer::Unsure => QUIET,
    }
}

/// Round for red, square for green, a diamond for the same, an open ring where it could not be told.
pub(super) fn mark(canvas: &mut Canvas, answer: Answer, at: Point, half: f64) {
    let path = match answer {
        Answer::Red => Circle::new(at, half).to_path(TOLERANCE_MM),
        Answer::Green => Rect::from_center_size(at, (1.8 * half, 1.8 * half)).to_path(TOLERANCE_MM),
        Answer::Same => {
            let half = 1.25 * half;
            let corners =
                [(at.x, at.y - half), (at.x + half, at.y), (at.x, at.y + half), (at.x - half, at.y)];
            let mut path = BezPath::new();
            path.move_to(corners[0]);
            corners[1..].iter().for_each(|corner| path.line_to(*corner));
            path.close_path();
            path
        }
        Answer::Unsure => {
            let ring = |radius: f64| Circle::new(at, radius).to_path(TOLERANCE_MM);
            // White within, so that the joining line does not run through it.
            canvas.path(ring(half), BARE);
            let mut path = ring(half);
            path.extend(ring(0.6 * half).reverse_subpaths());
            path
        }
    };
    canvas.path(path, if answer == Answer::Unsure { QUIET } else { paint(answer) });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_answer_has_its_own_letter_and_colour() {
        for (index, one) in Answer::ALL.into_iter().enumerate() {
            for other in &Answer::ALL[..index] {
                assert!(one.letter() != other.letter() && paint(one) != paint(*other));
            }
        }
    }
}
