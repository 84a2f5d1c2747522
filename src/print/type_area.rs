//! Where type stands on a sheet: one grid for all pages, and words that stay together.

use super::Paper;
use crate::quantity::Length;
use crate::scene::look::{GRID_MM, Style};
use crate::scene::{Anchor, Canvas, Text, wrapped};

/// Air at the sheet's sides, and between two columns: on A4 these begin at 14 and at 110 mm.
pub(super) const MARGIN_MM: f64 = 7.0 * GRID_MM;
pub(super) const GUTTER_MM: f64 = 5.0 * GRID_MM;

/// Where words may stand, in millimetres from the sheet's upper left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TypeArea {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

impl TypeArea {
    /// All of a sheet but its margins.
    pub(super) fn of(paper: Paper) -> Self {
        let [width, height] = paper.size().map(Length::to_mm);
        Self { left: MARGIN_MM, right: width - MARGIN_MM, top: MARGIN_MM, bottom: height - MARGIN_MM }
    }

    pub(super) const fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Its two columns.
    pub(super) const fn columns(self) -> [Self; 2] {
        let width = (self.width() - GUTTER_MM) / 2.0;
        [Self { right: self.left + width, ..self }, Self { left: self.right - width, ..self }]
    }
}

/// How far words run in a style, in millimetres.
pub(super) fn run(words: &str, style: Style) -> f64 {
    Text::new(words, style.face, style.em).width().to_mm()
}

/// Numbers stay on one line with their units.
pub(super) fn together(words: &str) -> String {
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
