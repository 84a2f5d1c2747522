//! The eye: a whole curve with its prediction, and a two-field view of a million samples beside its bare Fourier transforms.

#![allow(clippy::unwrap_used, reason = "a benchmark may stop")]

use divan::{Bencher, black_box};
use evenfield::acuity::Acuity;
use evenfield::chart::Request;
use evenfield::eye::{Curve, Eye, Pupil, Sides};
use evenfield::quantity::{Dioptres, Length, Luminance};
use evenfield::room::Room;
use evenfield::view::{CloseUp, Subject};
use rustfft::FftPlanner;
use rustfft::num_complex::Complex;

fn main() {
    divan::main();
}

fn eye(mm: f64) -> Eye {
    Eye::with_pupil(Pupil::new(Length::mm(mm)).unwrap())
}

fn demo() -> (Room, Sides) {
    let room = Room::demo();
    let sides = Sides::of(&room.primaries.spectra().unwrap(), &room.display, [255; 3]);
    (room, sides)
}

/// Thirteen lens errors of red, green and white, balance and best white.
#[divan::bench(args = [1.6, 3.0, 5.0])]
fn curve(bencher: Bencher<'_, '_>, mm: f64) {
    let (_, sides) = demo();
    let curve = Curve::new(&eye(mm), &sides, Acuity::standard(2), Luminance::cd_m2(50.0));
    bencher.bench_local(|| {
        let points: Vec<_> =
            (-6..=6).map(|quarter| curve.at(Dioptres::new(f64::from(quarter) / 4.0))).collect();
        black_box((points, curve.prediction()))
    });
}

/// The points alone: what the straightforward way computes as well.
#[divan::bench(args = [1.6, 3.0, 5.0])]
fn points(bencher: Bencher<'_, '_>, mm: f64) {
    let (_, sides) = demo();
    let curve = Curve::new(&eye(mm), &sides, Acuity::standard(2), Luminance::cd_m2(50.0));
    bencher.bench_local(|| {
        (-6..=6).map(|quarter| curve.at(Dioptres::new(f64::from(quarter) / 4.0))).collect::<Vec<_>>()
    });
}

/// Five letters a side at 20 pixels a stroke: with its surround about as many samples as 1024 × 1024.
#[divan::bench]
fn view(bencher: Bencher<'_, '_>) {
    let (room, sides) = demo();
    let (eye, at) = (eye(3.0), Dioptres::new(0.25));
    let request = Request::new(Acuity::standard(3));
    let subject = Subject { request: &request, letters: 5, stroke_px: 21 };
    bencher.bench_local(|| {
        let close_up = CloseUp::new(&subject, &room, &sides, eye.blur(at, &sides.green)).unwrap();
        black_box(close_up.seen(&eye, at))
    });
}

/// What a view cannot be faster than on one core: two real fields in one complex picture of its size, there and back, along rows and
/// along columns.
#[divan::bench]
fn transforms_alone(bencher: Bencher<'_, '_>) {
    let (room, sides) = demo();
    let (eye, at) = (eye(3.0), Dioptres::new(0.25));
    let request = Request::new(Acuity::standard(3));
    let subject = Subject { request: &request, letters: 5, stroke_px: 21 };
    let close_up = CloseUp::new(&subject, &room, &sides, eye.blur(at, &sides.green)).unwrap();
    let whole = close_up.seen_with_surround(&eye, at);
    let mut planner = FftPlanner::<f64>::new();
    let lengths = [whole.columns, whole.rows];
    let forth = lengths.map(|length| planner.plan_fft_forward(length));
    let back = lengths.map(|length| planner.plan_fft_inverse(length));
    let picture = vec![Complex::new(1.0, 0.5); whole.columns * whole.rows];
    bencher.with_inputs(|| picture.clone()).bench_local_values(|mut picture| {
        for pass in forth.iter().chain(&back) {
            pass.process(&mut picture);
        }
        picture
    });
}
