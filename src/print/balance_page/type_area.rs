//! Where type stands on the page, and words that stay together.

use crate::quantity::Length;
use crate::scene::look::{BODY, FIGURE, GRID_MM, SMALL, Style};
use crate::scene::{Anchor, Canvas, Text, wrapped};

/// From one size of type to the next.
const STEP: f64 = 1.25;

/// Where words may stand, in millimetres from the sheet's upper left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TypeArea {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

impl TypeArea {
    pub(super) const fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Its left and its right half.
    pub(super) const fn halves(self, gutter: f64) -> [Self; 2] {
        let width = (self.width() - gutter) / 2.0;
        [Self { right: self.left + width, ..self }, Self { left: self.right - width, ..self }]
    }
}

/// How closely a page is set. The first that fits is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Closeness {
    /// With air.
    Airy,
    /// With small reasons and less air.
    Close,
}

impl Closeness {
    pub(super) const ALL: [Self; 2] = [Self::Airy, Self::Close];

    /// Between groups, in millimetres.
    pub(super) const fn gap(self) -> f64 {
        match self {
            Self::Airy => 3.0 * GRID_MM,
            Self::Close => 1.7 * GRID_MM,
        }
    }

    /// Within groups, in millimetres.
    pub(super) const fn within(self) -> f64 {
        match self {
            Self::Airy => 0.5 * GRID_MM,
            Self::Close => 0.375 * GRID_MM,
        }
    }

    /// How much higher notes may stand before a group is broken between two columns, in millimetres.
    pub(super) const fn broken(self) -> f64 {
        match self {
            Self::Airy => 12.0 * GRID_MM,
            Self::Close => 6.0 * GRID_MM,
        }
    }

    /// From lens to neighbouring lens on a ladder at the least, in millimetres, so that letters stand between them.
    pub(super) const fn click(self) -> f64 {
        match self {
            Self::Airy => 3.2,
            Self::Close => 2.0,
        }
    }

    /// Air over a line that is filled in by hand, in millimetres.
    pub(super) const fn by_hand(self) -> f64 {
        match self {
            Self::Airy => 3.5 * GRID_MM,
            Self::Close => 2.5 * GRID_MM,
        }
    }

    /// Why a lens stands.
    pub(super) const fn reasons(self) -> Style {
        match self {
            Self::Airy => BODY,
            Self::Close => FIGURE,
        }
    }
}

/// A step below the small type: letters beside marks.
pub(super) fn tiny() -> Style {
    Style { em: Length::mm(SMALL.em.to_mm() / STEP), ..SMALL }
}

/// How far words run in a style, in millimetres.
pub(super) fn run(words: &str, style: Style) -> f64 {
    Text::new(words, style.face, style.em).width().to_mm()
}

/// Numbers stay on one line with their units.
pub(in crate::print) fn together(words: &str) -> String {
    let mut kept = String::with_capacity(words.len());
    for (place, letter) in words.char_indices() {
        let before = words[..place].ends_with(|letter: char| letter.is_ascii_digit());
        let after = &words[place + letter.len_utf8()..];
        let unit = ["D", "m", "mm", "%"].iter().any(|unit| {
            after.strip_prefix(unit).is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
        });
        kept.push(if letter == ' ' && before && unit { '\u{a0}' } else { letter });
    }
    kept
}

/// A paragraph that begins in one style and goes on in another of the same size; says where it ends below.
pub(super) fn run_in(
    canvas: &mut Canvas,
    parts: [(&str, Style); 2],
    [left, top]: [f64; 2],
    width: f64,
) -> f64 {
    let [(first, style), (second, quiet)] = parts;
    let words = together(&format!("{first} {second}"));
    let mut loud = together(first).split(' ').count();
    let mut bottom = top;
    for line in wrapped(words.trim_end(), style, width) {
        let all: Vec<&str> = line.split(' ').collect();
        let (front, back) = all.split_at(loud.min(all.len()));
        loud -= front.len();
        let baseline = bottom + style.em.to_mm();
        let front = front.join(" ");
        if !front.is_empty() {
            canvas.write(&front, style, Anchor::Left, [left, baseline]);
        }
        if !back.is_empty() {
            let start = if front.is_empty() { left } else { left + run(&format!("{front} "), style) };
            canvas.write(&back.join(" "), quiet, Anchor::Left, [start, baseline]);
        }
        bottom += style.leading();
    }
    bottom
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_their_units() {
        assert_eq!(together("−1.25 D at 3.2 m, 2 more"), "−1.25\u{a0}D at 3.2\u{a0}m, 2 more");
        assert_eq!(together("95 % from −1.00"), "95\u{a0}% from −1.00");
        assert_eq!(together("20/20 Daylight"), "20/20 Daylight");
    }
}
