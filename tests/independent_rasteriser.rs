//! The PNG against the chart's own SVG, drawn by a rasteriser that this project did not write (resvg 0.49).
//!
//! The SVG is drawn sixteen times larger each way and averaged down, so that its own smoothing hardly counts.

#![allow(
    clippy::unwrap_used,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    reason = "a test may stop, and its pictures are small"
)]

use evenfield::acuity::Acuity;
use evenfield::chart::{self, Request};
use evenfield::optotype::LetterSet;
use evenfield::room::{Display, Room};
use evenfield::{export, raster};
use image::RgbImage;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

/// Samples of the SVG along each side of a pixel.
const SAMPLES: u32 = 16;

/// Columns and rows around a line of letters.
type Area = (std::ops::Range<u32>, std::ops::Range<u32>);

/// How much of each pixel is ink, by the light that the PNG's codes give in this room.
fn coverage_of_png(image: &RgbImage, area: &Area, display: &Display) -> Vec<f64> {
    let light = |x: u32, y: u32| display.luminance(image.get_pixel(x, y).0).to_cd_m2();
    let (field, black) = (light(area.0.start, area.1.start), display.black().to_cd_m2());
    area.1
        .clone()
        .flat_map(|y| area.0.clone().map(move |x| (field - light(x, y)) / (field - black)))
        .collect()
}

/// How much of each pixel is ink, by the independent drawing of the SVG.
fn coverage_of_svg(svg: &str, columns: u32, area: &Area) -> Vec<f64> {
    let tree = Tree::from_str(svg, &Options::default()).unwrap();
    let (width, height) = (area.0.len() as u32, area.1.len() as u32);
    let scale = columns as f32 / tree.size().width() * SAMPLES as f32;
    let (left, top) = (area.0.start * SAMPLES, area.1.start * SAMPLES);
    let mut large = Pixmap::new(width * SAMPLES, height * SAMPLES).unwrap();
    let place = Transform::from_scale(scale, scale).post_translate(-(left as f32), -(top as f32));
    resvg::render(&tree, place, &mut large.as_mut());
    let brightest = |x: u32, y: u32| large.pixel(x, y).map(|pixel| pixel.red().max(pixel.green())).unwrap();
    let field = f64::from(brightest(0, 0));
    let mean = |x: u32, y: u32| {
        let samples = (0..SAMPLES * SAMPLES).map(|n| (x * SAMPLES + n % SAMPLES, y * SAMPLES + n / SAMPLES));
        samples.map(|(x, y)| 1.0 - f64::from(brightest(x, y)) / field).sum::<f64>()
            / f64::from(SAMPLES * SAMPLES)
    };
    (0..height).flat_map(|y| (0..width).map(move |x| (x, y))).map(|(x, y)| mean(x, y)).collect()
}

/// A room whose pixels are square to the last digit, so that one scale serves both axes of the SVG.
fn square_room(mirror: bool) -> Room {
    let text = format!(
        "[viewing]\ndistance_mm = 3200\nmirror = {mirror}\n[screen]\npixels = [960, 600]\npitch_mm = 0.2745\n"
    );
    Room::from_toml(&text, "room").unwrap()
}

#[test]
fn areas_and_edges_are_those_of_an_independent_drawing() {
    let all = LetterSet::ALL.iter().map(|set| (*set, false));
    for (letters, mirror) in all.chain([(LetterSet::Sloan, true)]) {
        let room = square_room(mirror);
        let request = Request { letters, seed: 5, ..Request::new(Acuity::standard(3)) };
        let chart = chart::draw(&request, &room).unwrap();
        let image = raster::draw(&chart.scene, room.screen.pixels, &room.display);
        let svg = export::svg::encode(&chart.scene);
        // The middle of each field: its letters are 33.8 px high, the row 304 px long.
        for field in [80..400, 560..880] {
            let area = (field, 270..330);
            let ours = coverage_of_png(&image, &area, &room.display);
            let theirs = coverage_of_svg(&svg, 960, &area);
            let ink: f64 = theirs.iter().sum();
            assert!(ink > 5.0 * 33.8 * 33.8 * 0.4, "{letters:?}: only {ink} px² of ink");
            // Codes are rounded, some 600 edge pixels by up to 0.0075 at random; their sampler rounds alike.
            let off = ours.iter().sum::<f64>() / ink - 1.0;
            assert!(off.abs() < 1e-3, "{letters:?}: areas differ by {off:+.5}");
            // One code of light is 0.015 at the most, half of it is lost in rounding; sixteen samples a side and
            // their own smoothing leave 0.01.
            let worst = ours.iter().zip(&theirs).map(|(one, other)| (one - other).abs()).fold(0.0, f64::max);
            assert!(worst < 0.02, "{letters:?}: a pixel differs by {worst:.4}");
        }
    }
}
