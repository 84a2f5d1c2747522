//! The measurement against letters drawn at known places and sizes, and findings on small spoilt pictures.

use kurbo::Affine;

use super::alphabet::{ALPHABETS, Detail};
use super::glyph::Glyph;
use super::locate::{Fields, Ink};
use super::measure::{self, Extent};
use super::*;
use crate::optotype::{LetterSet, Optotype, STROKES_A_SIDE};
use crate::quantity::Length;
use crate::raster;
use crate::room::Display;
use crate::scene::{Geometry, Metadata, Paint, Scene, Shape};

/// A green field of one letter with strokes of so many pixels, its box beginning at a place in pixels.
fn letter_on_green(letter: Optotype, stroke_px: f64, left: f64, top: f64) -> (Glyph, [f64; 2]) {
    let display = Display::assumed();
    let side = (STROKES_A_SIDE * stroke_px).ceil() + 24.0;
    let place = Affine::translate((left, top)) * Affine::scale(stroke_px);
    let shape = Shape { geometry: Geometry::Path(place * letter.outline()), paint: Paint { codes: [0; 3] } };
    let scene = Scene {
        size: [Length::mm(side); 2],
        background: Paint { codes: [0, 147, 0] },
        shapes: vec![shape],
        metadata: Metadata::default(),
    };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred pixels")]
    let image = raster::draw(&scene, [side as u32; 2], &display);
    let fields = Fields::find(&image);
    let ink = Ink::find(&image, &fields, &display);
    assert_eq!((ink.rows.len(), ink.specks, ink.stray), (1, 0, 0), "{}", letter.name());
    let place = ink.rows[0].letters[0][0];
    (Glyph::cut(&image, place, fields.codes[0], &display), [left, top])
}

/// Strokes and places that meet the pixel grid in many ways.
fn placements() -> impl Iterator<Item = (f64, f64, f64)> {
    let strokes = [2.0, 2.17, 2.5, 2.93, 3.6, 4.41, 6.75, 9.2, 17.3];
    let phases = [(12.0, 12.0), (12.13, 12.91), (12.5, 12.5), (12.37, 12.71), (12.83, 12.22)];
    strokes.into_iter().flat_map(move |stroke| phases.map(|(left, top)| (stroke, left, top)))
}

#[test]
fn every_letter_is_read_and_measured_wherever_it_falls_on_the_grid() {
    let mut worst: Vec<(f64, String)> = Vec::new();
    for set in LetterSet::ALL {
        for letter in set.members() {
            for (stroke, left, top) in placements() {
                let (glyph, _) = letter_on_green(letter, stroke, left, top);
                let alphabet = ALPHABETS.iter().find(|alphabet| alphabet.name == set.name()).unwrap();
                let read = identify::read(&glyph, alphabet);
                assert_eq!(read.map(|read| read.name.to_owned()), Some(letter.name()), "{stroke} {left} {top}");
                let read = read.unwrap();
                let extent = Extent::measure(&glyph, read.sides);
                let side = STROKES_A_SIDE * stroke;
                let open = |border: usize| read.sides[border] == alphabet::Edge::Open;
                if !(open(0) || open(2)) {
                    worst.push((extent.height - side, format!("height {} {stroke} {left} {top}", letter.name())));
                }
                if !(open(1) || open(3)) {
                    worst.push((extent.width - side, format!("width {} {stroke} {left} {top}", letter.name())));
                }
                let detail = measure::detail(&glyph, &extent, read).unwrap().0;
                let kind = if matches!(read.detail, Detail::Gap { .. }) { "corner" } else { "detail" };
                worst.push((detail - stroke, format!("{kind} {} {stroke} {left} {top}", letter.name())));
            }
        }
    }
    worst.sort_by(|one, other| other.0.abs().total_cmp(&one.0.abs()));
    for (off, what) in worst.iter().take(60) {
        println!("{off:+.4} {what}");
    }
}
