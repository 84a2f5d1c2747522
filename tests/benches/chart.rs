//! How long a 3840 × 2160 chart takes to draw, to encode and to check, each beside what it cannot be faster than.
//!
//! `cargo bench` prints every step in one run; compare the medians of one run only, since machines are noisy.

use std::hint::black_box;
use std::io::Cursor;

use divan::Bencher;
use evenfield::acuity::Acuity;
use evenfield::chart::{self, Chart, Lines, Request};
use evenfield::check::{self, Expected};
use evenfield::export::png::{ColourChunk, encode};
use evenfield::raster;
use evenfield::room::Room;
use image::RgbImage;

const FOUR_K: &str = "[viewing]\ndistance_mm = 4000.0\n[screen]\npixels = [3840, 2160]\npitch_mm = 0.1816\n";

fn main() {
    divan::main();
}

/// A 4K desk screen and a chart of three lines for it.
fn desk() -> (Room, Request) {
    let room = Room::from_toml(FOUR_K, "bench").expect("the room of this file is legal");
    (room, Request::new(Lines::new([5, 3, 2].map(Acuity::standard).to_vec()).expect("three lines")))
}

fn chart() -> (Room, Chart) {
    let (room, request) = desk();
    let chart = chart::draw(&request, &room).expect("the lines suit the room");
    (room, chart)
}

fn picture() -> (Room, Chart, RgbImage) {
    let (room, chart) = chart();
    let image = raster::draw(&chart.scene, room.screen.pixels, &room.display);
    (room, chart, image)
}

fn file() -> Vec<u8> {
    let (room, chart, image) = picture();
    encode(&image, room.screen.pitch, &ColourChunk::Srgb, &chart.scene.metadata)
        .expect("it is a legal picture")
}

/// Letters, colours and layout, then pixels.
#[divan::bench]
fn draw(bencher: Bencher) {
    let (room, request) = desk();
    bencher.bench(|| {
        let chart = chart::draw(black_box(&request), &room).expect("the lines suit the room");
        raster::draw(&chart.scene, room.screen.pixels, &room.display)
    });
}

/// This project's PNG with its text and scale.
#[divan::bench]
fn encode_chart(bencher: Bencher) {
    let (room, chart, image) = picture();
    bencher.bench(|| encode(black_box(&image), room.screen.pitch, &ColourChunk::Srgb, &chart.scene.metadata));
}

/// The png crate alone at its balanced setting.
#[divan::bench]
fn encode_alone(bencher: Bencher) {
    let (.., image) = picture();
    bencher.bench(|| {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, image.width(), image.height());
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_compression(png::Compression::Balanced);
        let mut writer = encoder.write_header().expect("writing to memory");
        writer.write_image_data(black_box(&image)).expect("writing to memory");
        writer.finish().expect("writing to memory");
        bytes
    });
}

/// Decoding, finding, measuring and judging.
#[divan::bench]
fn check_chart(bencher: Bencher) {
    let file = file();
    bencher.bench(|| check::png_bytes(black_box(&file), "bench", &Expected::default()));
}

/// The png crate alone.
#[divan::bench]
fn decode_alone(bencher: Bencher) {
    let file = file();
    bencher.bench(|| {
        let mut reader = png::Decoder::new(Cursor::new(black_box(&file))).read_info().expect("a whole file");
        let mut pixels = vec![0; reader.output_buffer_size().expect("it fits")];
        reader.next_frame(&mut pixels).expect("a whole file");
        pixels
    });
}
