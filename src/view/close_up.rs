use kurbo::{Affine, Rect};
use rustfft::num_complex::Complex;

use super::transform::{Transform, quick_length};
use crate::acuity::Acuity;
use crate::chart::{ColourError, FieldColours, Request, letter_height};
use crate::eye::{Eye, Sides};
use crate::light::Bands;
use crate::optotype::{Draw, STROKES_A_SIDE};
use crate::quantity::{Angle, Dioptres, SpatialFrequency};
use crate::raster::{self, Light};
use crate::room::Room;
use crate::scene::{Geometry, Metadata, Paint, Scene, Shape};

/// The most samples of a picture with its surround: about half a gigabyte while it is worked on.
const MOST_SAMPLES: usize = 1 << 24;

/// Beyond the blurred disc the light of a point falls off slowly; the surround is wider by so many strokes.
const SURROUND_STROKES: f64 = 2.0;

/// A transfer is worked out in so many steps up to the cut-off, and so many for each of the waves that a blurred disc makes
/// in it: straight between them it is off by at most 1e-3.
const STEPS_TO_CUT_OFF: f64 = 256.0;
const STEPS_A_WAVE: f64 = 32.0;

/// What a close-up shows.
#[derive(Debug, Clone)]
pub struct Subject<'a> {
    /// The chart that it is of; its first line counts.
    pub request: &'a Request,
    /// Letters to each side.
    pub letters: usize,
    /// Pixels a stroke.
    pub stroke_px: u16,
}

/// The letters of one line on both fields, drawn together at the border, as light and as frequencies.
///
/// Letters, their sizes and the fields are those of the room's chart; only the empty field between them is left out.
pub struct CloseUp {
    /// The line.
    pub line: Acuity,
    /// Pixels across and down of what is shown.
    pub pixels: [usize; 2],
    /// The angle of a pixel.
    pub pixel: Angle,
    stroke_px: usize,
    light: Light,
    left: usize,
    top: usize,
    transform: Transform,
    /// Channels that vary, two and two as one complex picture.
    pairs: Vec<([usize; 2], Vec<Complex<f64>>)>,
    bands: [Bands; 3],
}

/// Why there is no close-up.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CloseUpError {
    /// The fields cannot have that light.
    #[error(transparent)]
    Colour(#[from] ColourError),
    /// It would take too much memory.
    #[error(
        "a view of {columns} × {rows} samples with its surround takes too much memory: ask for fewer pixels a stroke (--scale), fewer letters, or less blur"
    )]
    TooLarge {
        /// Samples across.
        columns: usize,
        /// Samples down.
        rows: usize,
    },
}

impl CloseUp {
    /// Prepares a subject for eyes with at most this blur: the diameter of a point's image.
    ///
    /// # Errors
    /// Fields that the screen cannot make, and more samples than memory should hold.
    pub fn new(subject: &Subject<'_>, room: &Room, sides: &Sides, blur: Angle) -> Result<Self, CloseUpError> {
        let line = subject.request.lines.first().copied().unwrap_or(Acuity::standard(3));
        let colours = FieldColours::choose(subject.request, &room.display)?;
        let stroke = f64::from(subject.stroke_px);
        let height = letter_height(line, room.viewing.distance).to_mm();
        let mm_a_pixel = height / (STROKES_A_SIDE * stroke);
        let pixel = Angle::arcmin(line.to_mar() / stroke);
        let scene = scene(subject, line, height, &colours);
        let pixels = scene.size.map(|side| whole(side.to_mm() / mm_a_pixel));
        let surround =
            whole((blur.to_arcmin() / pixel.to_arcmin() / 2.0).max(1.0) + SURROUND_STROKES * stroke);
        let [columns, rows] = pixels.map(|side| quick_length(side + 2 * surround));
        if columns.saturating_mul(rows) > MOST_SAMPLES {
            return Err(CloseUpError::TooLarge { columns, rows });
        }
        let [left, top] = [(columns - pixels[0]) / 2, (rows - pixels[1]) / 2];
        let corner = [left, top].map(|px| -(px as f64) * mm_a_pixel);
        let window = Rect::new(
            corner[0],
            corner[1],
            corner[0] + columns as f64 * mm_a_pixel,
            corner[1] + rows as f64 * mm_a_pixel,
        );
        let light = raster::light(&scene, window, [columns, rows], &room.display);
        let transform = Transform::new(columns, rows);
        let pairs = pairs(&light, &transform);
        let bands = [&sides.red, &sides.green, &sides.blue].map(Clone::clone);
        Ok(Self {
            line,
            pixels,
            pixel,
            stroke_px: usize::from(subject.stroke_px),
            light,
            left,
            top,
            transform,
            pairs,
            bands,
        })
    }

    /// The picture as it is on the screen.
    #[must_use]
    pub fn sharp(&self) -> Light {
        self.cropped(&self.light)
    }

    /// What reaches the retina.
    #[must_use]
    pub fn seen(&self, eye: &Eye, lens_error: Dioptres) -> Light {
        self.cropped(&self.seen_with_surround(eye, lens_error))
    }

    /// The same with all of its surround, whose mean is that of the picture on the screen.
    #[must_use]
    pub fn seen_with_surround(&self, eye: &Eye, lens_error: Dioptres) -> Light {
        let mut seen = self.light.clone();
        for (channels, frequencies) in &self.pairs {
            let tables = channels.map(|channel| self.table(eye, lens_error, &self.bands[channel]));
            let picture = self.transform.back(self.transferred(frequencies, &tables));
            for (at, light) in picture.iter().enumerate() {
                seen.planes[channels[0]][at] = light.re;
                if channels[0] != channels[1] {
                    seen.planes[channels[1]][at] = light.im;
                }
            }
        }
        seen
    }

    /// The transfer of a light from frequency nought to the cut-off, in steps fine enough to go straight between them.
    fn table(&self, eye: &Eye, lens_error: Dioptres, light: &Bands) -> Table {
        let cut_off = eye.cut_off().to_cycles_per_degree();
        let step =
            (cut_off / STEPS_TO_CUT_OFF).min(1.0 / (STEPS_A_WAVE * eye.blur(lens_error, light).to_degrees()));
        let mut values = Vec::new();
        while (values.len() as f64) * step < cut_off {
            let frequency = SpatialFrequency::cycles_per_degree(values.len() as f64 * step);
            values.push(eye.transfer(lens_error, light, frequency));
        }
        Table { step, values }
    }

    /// Multiplies two channels that share a complex picture each by its own transfer. The frequencies of a real picture
    /// at k and −k are conjugate, so with Z' the conjugate at −k the first channel is (Z + Z')/2, the second (Z − Z')/2i.
    fn transferred(&self, frequencies: &[Complex<f64>], tables: &[Table; 2]) -> Vec<Complex<f64>> {
        let (columns, rows) = (self.light.columns, self.light.rows);
        let cycles = |index: usize, count: usize| {
            index.min(count - index) as f64 / (count as f64 * self.pixel.to_degrees())
        };
        let down: Vec<f64> = (0..rows).map(|y| cycles(y, rows).powi(2)).collect();
        let mut transferred = vec![Complex::default(); frequencies.len()];
        for x in 0..columns {
            let across = cycles(x, columns).powi(2);
            let (own, other) = (x * rows, (columns - x) % columns * rows);
            for y in 0..rows {
                let [first, second] = [0, 1].map(|index| tables[index].at((across + down[y]).sqrt()));
                let (here, there) = (frequencies[own + y], frequencies[other + (rows - y) % rows].conj());
                transferred[own + y] = here * ((first + second) / 2.0) + there * ((first - second) / 2.0);
            }
        }
        transferred
    }

    /// The largest change from one picture to another of any area of a stroke's size, as a share of the fields' light.
    #[must_use]
    pub fn change(&self, one: &Light, other: &Light) -> f64 {
        let side = self.stroke_px;
        let area = |left: usize, top: usize, channel: usize| {
            let (right, bottom) = ((left + side).min(one.columns), (top + side).min(one.rows));
            let row = |light: &Light, y: usize| {
                light.planes[channel][y * one.columns + left..y * one.columns + right].iter().sum::<f64>()
            };
            let change: f64 = (top..bottom).map(|y| row(other, y) - row(one, y)).sum();
            change.abs() / ((right - left) * (bottom - top)) as f64
        };
        let most = |channel: usize| {
            let field = self.light.planes[channel].iter().copied().fold(0.0, f64::max);
            let tops = (0..one.rows).step_by(side);
            let changes = tops.flat_map(|top| (0..one.columns).step_by(side).map(move |left| (left, top)));
            let largest = changes.map(|(left, top)| area(left, top, channel)).fold(0.0, f64::max);
            if field > 0.0 { largest / field } else { 0.0 }
        };
        (0..3).map(most).fold(0.0, f64::max)
    }

    fn cropped(&self, light: &Light) -> Light {
        let [columns, rows] = self.pixels;
        let planes = [0, 1, 2].map(|channel: usize| {
            let row = |y: usize| {
                let start = (self.top + y) * light.columns + self.left;
                &light.planes[channel][start..start + columns]
            };
            (0..rows).flat_map(row).copied().collect()
        });
        Light { columns, rows, planes }
    }
}

/// Two fields with the same letters to each side of the border, one letter's air around; in millimetres.
fn scene(subject: &Subject<'_>, line: Acuity, height: f64, colours: &FieldColours) -> Scene {
    let letters = Draw::new(subject.request.letters, subject.request.seed).take(subject.letters);
    let count = f64::from(u32::try_from(subject.letters).unwrap_or(u32::MAX));
    let field = (2.0 * count + 1.0) * height;
    let far = 1e3 * field;
    let second = colours.right.unwrap_or(colours.left);
    let fields = if colours.right.is_some() { 2.0 } else { 1.0 };
    let border = Rect::new(field, -far, far, far);
    let mut shapes = vec![Shape { geometry: Geometry::Rect(border), paint: second }];
    let unit = height / STROKES_A_SIDE;
    for (index, letter) in (0_u32..).zip(letters) {
        let outline = letter.outline();
        let left = (1.0 + 2.0 * f64::from(index)) * height;
        for field_left in [0.0, field].into_iter().take(if fields > 1.0 { 2 } else { 1 }) {
            let place = Affine::translate((field_left + left, height)) * Affine::scale(unit);
            shapes.push(Shape {
                geometry: Geometry::Path(place * outline.clone()),
                paint: Paint { codes: [0; 3] },
            });
        }
    }
    Scene {
        size: [fields * field, 3.0 * height].map(crate::quantity::Length::mm),
        background: colours.left,
        shapes,
        metadata: Metadata { title: format!("Close-up of {line}"), ..Metadata::default() },
    }
}

/// The channels that vary over a picture, two and two.
fn pairs(light: &Light, transform: &Transform) -> Vec<([usize; 2], Vec<Complex<f64>>)> {
    let varies = |plane: &[f64]| plane.iter().any(|light| (light - plane[0]).abs() > 0.0);
    let varying: Vec<usize> = (0..3).filter(|channel| varies(&light.planes[*channel])).collect();
    let pair = |channels: &[usize]| {
        let channels = [channels[0], channels[channels.len() - 1]];
        let alone = channels[0] == channels[1];
        let [first, second] = channels.map(|channel| &light.planes[channel]);
        let complex =
            first.iter().zip(second).map(|(re, im)| Complex::new(*re, if alone { 0.0 } else { *im }));
        (channels, transform.forth(complex.collect()))
    };
    varying.chunks(2).map(pair).collect()
}

/// A transfer at equal steps of frequency, in cycles a degree; nought beyond.
struct Table {
    step: f64,
    values: Vec<f64>,
}

impl Table {
    fn at(&self, cycles: f64) -> f64 {
        let place = cycles / self.step;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a picture has some thousand frequencies"
        )]
        let index = place as usize;
        match (self.values.get(index), self.values.get(index + 1)) {
            (Some(one), other) => one + (other.unwrap_or(&0.0) - one) * (place - index as f64),
            (None, _) => 0.0,
        }
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some thousand pixels")]
fn whole(pixels: f64) -> usize {
    pixels.round().max(1.0) as usize
}
