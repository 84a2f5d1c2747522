use std::f64::consts::PI;

use image::imageops::flip_horizontal;
use kurbo::{Affine, Rect};

use super::*;
use crate::optotype::Optotype;
use crate::quantity::Length;
use crate::scene::{Metadata, Paint, Shape};

const GREEN: [u8; 3] = [0, 147, 0];

/// A green picture, 1 mm a pixel, with these shapes on it.
fn picture(side: u32, shapes: Vec<Shape>) -> Scene {
    let size = [Length::mm(f64::from(side)); 2];
    Scene { size, background: Paint { codes: GREEN }, shapes, metadata: Metadata::default() }
}

fn ink(geometry: Geometry) -> Shape {
    Shape { geometry, paint: Paint { codes: [0; 3] } }
}

/// Light taken away from the green, in pixels.
fn dark_area(image: &RgbImage, display: &Display) -> f64 {
    let (full, black) = (display.luminance(GREEN), display.luminance([0; 3]));
    image.pixels().map(|pixel| (full - display.luminance(pixel.0)) / (full - black)).sum()
}

/// Each of a few hundred edge pixels is rounded to a code, by at most 0.0075 of itself and at random.
const AREA_TOLERANCE_PX: f64 = 0.1;

#[test]
fn the_light_taken_away_is_the_area_of_the_letter() {
    let display = Display::assumed();
    for (stroke, left) in [(3.7, 5.3), (11.0, 8.81)] {
        let place = Affine::translate((left, left * 1.1)) * Affine::scale(stroke);
        let ring = ink(Geometry::Path(place * Optotype::Capital('O').outline()));
        let image = draw(&picture(80, vec![ring]), [80; 2], &display);
        // π (2.5² − 1.5²) square strokes.
        let area = PI * 4.0 * stroke * stroke;
        let drawn = dark_area(&image, &display);
        assert!((drawn - area).abs() < AREA_TOLERANCE_PX, "{drawn} px², not {area}");
    }
}

#[test]
fn half_a_pixel_is_half_the_light_not_half_the_code() {
    let display = Display::assumed();
    let image = draw(&picture(8, vec![ink(Geometry::Rect(Rect::new(0.0, 0.0, 3.5, 8.0)))]), [8; 2], &display);
    assert_eq!(image.get_pixel(2, 4).0, [0; 3]);
    assert_eq!(image.get_pixel(4, 4).0, GREEN);
    // By IEC 61966-2-1 code 147 has a light of 0.2918, and half of that is code 106.7; half the code would be 73.
    assert_eq!(image.get_pixel(3, 4).0, [0, 107, 0]);
}

#[test]
fn fields_meet_without_a_mixed_column() {
    let display = Display::assumed();
    for columns in [96_u32, 97] {
        // A pitch with no short binary form, as screens have.
        let pitch = 527.0 / 1920.0;
        let seam = f64::from(columns / 2) * pitch;
        let width = f64::from(columns) * pitch;
        let field = Shape {
            geometry: Geometry::Rect(Rect::new(seam, 0.0, width, width)),
            paint: Paint { codes: [255, 0, 0] },
        };
        let scene = Scene { size: [Length::mm(width); 2], ..picture(1, vec![field]) };
        let image = draw(&scene, [columns; 2], &display);
        for (x, _, pixel) in image.enumerate_pixels() {
            assert_eq!(pixel.0, if x < columns / 2 { GREEN } else { [255, 0, 0] }, "column {x} of {columns}");
        }
    }
}

#[test]
fn a_mirrored_scene_is_the_mirrored_picture() {
    let display = Display::assumed();
    let place = Affine::translate((9.37, 12.81)) * Affine::scale(6.1);
    let scene = picture(60, vec![ink(Geometry::Path(place * Optotype::Capital('R').outline()))]);
    let plain = draw(&scene, [60; 2], &display);
    let turned = draw(&scene.mirrored(), [60; 2], &display);
    // Single precision may move an edge by a code.
    for (one, other) in flip_horizontal(&plain).pixels().zip(turned.pixels()) {
        assert!(one.0[1].abs_diff(other.0[1]) <= 1);
    }
}

#[test]
fn what_hangs_over_the_border_is_cut_off() {
    let display = Display::assumed();
    let place = Affine::translate((-10.0, 50.0)) * Affine::scale(6.0);
    let image = draw(
        &picture(60, vec![ink(Geometry::Path(place * Optotype::Capital('H').outline()))]),
        [60; 2],
        &display,
    );
    assert_eq!(image.get_pixel(17, 55).0, [0; 3]);
    // The left stem lies wholly beyond the border, and does not come back on this side of it.
    assert_eq!(image.get_pixel(6, 55).0, GREEN);
    assert_eq!(image.get_pixel(59, 10).0, GREEN);
}
