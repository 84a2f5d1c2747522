//! Fourier transforms of pictures.

use std::sync::Arc;

use rustfft::num_complex::Complex;
use rustfft::{Fft, FftPlanner};

/// The fast Fourier transform of a picture and its inverse.
pub(super) struct Transform {
    columns: usize,
    rows: usize,
    /// Along rows and along columns, each forward and inverse.
    forth: [Arc<dyn Fft<f64>>; 2],
    back: [Arc<dyn Fft<f64>>; 2],
}

impl Transform {
    pub(super) fn new(columns: usize, rows: usize) -> Self {
        let mut planner = FftPlanner::new();
        let forth = [columns, rows].map(|length| planner.plan_fft_forward(length));
        let back = [columns, rows].map(|length| planner.plan_fft_inverse(length));
        Self { columns, rows, forth, back }
    }

    /// A picture's frequencies; they lie column by column.
    pub(super) fn forth(&self, mut picture: Vec<Complex<f64>>) -> Vec<Complex<f64>> {
        self.forth[0].process(&mut picture);
        let mut turned = turned(&picture, self.columns, self.rows);
        self.forth[1].process(&mut turned);
        turned
    }

    /// The picture of frequencies that lie column by column.
    pub(super) fn back(&self, mut frequencies: Vec<Complex<f64>>) -> Vec<Complex<f64>> {
        self.back[1].process(&mut frequencies);
        let mut picture = turned(&frequencies, self.rows, self.columns);
        self.back[0].process(&mut picture);
        let scale = 1.0 / (self.columns * self.rows) as f64;
        picture.iter_mut().for_each(|light| *light *= scale);
        picture
    }
}

/// The side of the blocks in which a picture is transposed, so that neither reading nor writing strides through memory.
const BLOCK: usize = 16;

/// Rows become columns.
fn turned(picture: &[Complex<f64>], columns: usize, rows: usize) -> Vec<Complex<f64>> {
    let mut turned = vec![Complex::default(); picture.len()];
    for top in (0..rows).step_by(BLOCK) {
        for left in (0..columns).step_by(BLOCK) {
            for y in top..(top + BLOCK).min(rows) {
                for x in left..(left + BLOCK).min(columns) {
                    turned[x * rows + y] = picture[y * columns + x];
                }
            }
        }
    }
    turned
}

/// The next length that transforms quickly: one whose only prime factors are 2, 3 and 5.
pub(super) fn quick_length(least: usize) -> usize {
    let smooth = |length: &usize| {
        let mut rest = *length;
        for prime in [2, 3, 5] {
            while rest.is_multiple_of(prime) {
                rest /= prime;
            }
        }
        rest == 1
    };
    (least.max(1)..).find(smooth).unwrap_or(least)
}
