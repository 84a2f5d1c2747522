//! The areas of the letters, as they are drawn and in their font, read by a reader that knows nothing of how it was written.

use std::f64::consts::PI;
use std::path::Path;

use crate::common::Desk;
use ab_glyph::{Font, FontRef, OutlineCurve};
use evenfield::export::font::characters;
use evenfield::optotype::{LetterSet, Optotype};
use kurbo::Shape;

const COMMITTED: &str = "fonts/evenfield-letters.ttf";

/// A quadratic curve strays from an arc by a hundred-thousandth of the height; units are rounded to as much.
const CURVES: f64 = 1e-4;

/// Cubics stray from an arc by 1e-6 strokes at the most, along circumferences of up to 25 strokes.
const CUBICS: f64 = 2.5e-5;

fn committed() -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(COMMITTED)).unwrap()
}

#[test]
fn the_committed_font_is_what_the_program_makes() {
    let desk = Desk::new();
    let run = desk.run("font --out letters.ttf");
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.contains("K: K or k") && run.out.contains("not for examination"), "{}", run.out);
    assert!(std::fs::read(desk.path("letters.ttf")).unwrap() == committed());
    let run = desk.run("font --out letters.otf");
    assert!(run.code == 2 && run.err.contains(".ttf"), "{}", run.err);
}

/// The area of a letter in square strokes, by Green's theorem over many chords of each curve.
fn area(font: &FontRef<'_>, letter: char) -> f64 {
    let unit = f64::from(font.units_per_em().unwrap()) / 5.0;
    let mut twice = 0.0;
    let mut chord = |from: [f64; 2], to: [f64; 2]| twice += from[0] * to[1] - to[0] * from[1];
    for curve in font.outline(font.glyph_id(letter)).unwrap().curves {
        let place = |point: ab_glyph::Point| [f64::from(point.x) / unit, f64::from(point.y) / unit];
        match curve {
            OutlineCurve::Line(from, to) => chord(place(from), place(to)),
            OutlineCurve::Quad(from, control, to) => {
                let [from, control, to] = [from, control, to].map(place);
                let at = |t: f64| {
                    [0, 1].map(|axis: usize| {
                        (1.0 - t).powi(2) * from[axis]
                            + 2.0 * t * (1.0 - t) * control[axis]
                            + t * t * to[axis]
                    })
                };
                for step in 0..100_u8 {
                    chord(at(f64::from(step) / 100.0), at((f64::from(step) + 1.0) / 100.0));
                }
            }
            OutlineCurve::Cubic(..) => panic!("TrueType has no cubics"),
        }
    }
    f64::abs(twice) / 2.0
}

/// The area of a letter in square strokes.
fn closed_form(letter: Optotype) -> f64 {
    let ring = PI * (2.5_f64.powi(2) - 1.5_f64.powi(2));
    // A gap of one stroke through the ring: what lies between the two circles half a stroke to either side of the middle.
    let half_chord =
        |radius: f64| 0.5 * (radius * radius - 0.25).sqrt() + radius * radius * (0.5 / radius).asin();
    let gap = half_chord(2.5) - half_chord(1.5);
    // A stroke one unit thick cut level has the area of its height times its level width.
    let diagonal_width = 5.0 - 3.0 * (15.0 - 33_f64.sqrt()) / 8.0;
    match letter {
        Optotype::Ring(_) | Optotype::Capital('C') => ring - gap,
        // A stem and three bars four strokes longer.
        Optotype::TumblingE(_) => 5.0 + 3.0 * 4.0,
        Optotype::Capital('O') => ring,
        // A stem, two bars and half a ring.
        Optotype::Capital('D') => 5.0 + 2.0 * 1.5 + ring / 2.0,
        Optotype::Capital('H') => 5.0 + 5.0 + 3.0,
        // The stem, then arm and leg as two triangles less the notches between them.
        Optotype::Capital('K') => {
            5.0 + 4.0 * 5.0 - 2.0 * (3.0 * 2.25 / 2.0) - 2.0 * ((5.0 - 7.0 / 3.0) * 2.0 / 2.0)
        }
        Optotype::Capital('N' | 'Z') => 10.0 + 3.0 * diagonal_width,
        // Stem, bars, half a ring, leg less the corner that the box clips.
        Optotype::Capital('R') => 5.0 + 2.0 * 2.5 + PI + 2.0 * 1.25 - 0.25 / 3.0 / 2.0,
        Optotype::Capital('S') => 6.0 + 3.0 * PI,
        Optotype::Capital('T') => 5.0 + 4.0,
        // Two arms over 3.75 rows, then the foot, a trapezium from 2 × 1 to 1.
        Optotype::Capital('V') => 2.0 * 3.75 + 1.25 * (2.0 + 1.0) / 2.0,
        Optotype::Capital(_) => panic!("{letter:?}: work its area in closed form by hand"),
    }
}

#[test]
fn letters_have_their_area_in_closed_form() {
    let bytes = committed();
    let font = FontRef::try_from_slice(&bytes).unwrap();
    for letter in LetterSet::letters() {
        let (closed, drawn) = (closed_form(letter), letter.outline().area());
        assert!((drawn - closed).abs() < CUBICS, "{letter:?}: {drawn} {closed}");
        for character in standing_for(letter) {
            let measured = area(&font, character);
            assert!((measured / closed - 1.0).abs() < CURVES, "{character}: {measured} {closed}");
        }
    }
    // What README and handouts promise of the characters.
    for (character, letter) in [('h', 'H'), ('→', '1'), ('E', '⇒'), ('e', 'E')] {
        assert_eq!(font.glyph_id(character), font.glyph_id(letter), "{character}");
    }
}

/// The characters that stand for a letter in the font.
fn standing_for(letter: Optotype) -> Vec<char> {
    let all = characters();
    all.into_iter().find(|(one, _)| *one == letter).expect("each letter has characters").1
}

#[test]
fn its_size_is_the_letters_height() {
    let bytes = committed();
    let font = FontRef::try_from_slice(&bytes).unwrap();
    let em = font.units_per_em().unwrap();
    for letter in LetterSet::letters().into_iter().flat_map(standing_for) {
        let id = font.glyph_id(letter);
        assert_ne!(id.0, 0, "{letter}");
        let bounds = font.outline(id).unwrap().bounds;
        // A ring whose gap lies above or below is 4.949 strokes high.
        assert!((bounds.height().abs() / em - 1.0).abs() < 0.0103, "{letter}: {bounds:?}");
        // Letters stand their own width apart.
        assert!((font.h_advance_unscaled(id) / em - 2.0).abs() < 1e-6);
    }
    assert_eq!(font.glyph_id('A').0, 0);
}
