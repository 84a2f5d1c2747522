//! The letters of a line at the border of the fields, as light and as frequencies, and what an eye makes of them.
//!
//! Blur is a product in frequency, so a picture is transformed once and every eye is a multiplication and a way back. The picture
//! is surrounded by its own fields as far as blur reaches, since a transform takes its opposite edges for neighbours. Two
//! channels share one complex transform.

use kurbo::Rect;
use rustfft::num_complex::Complex;

use super::transform::{Transform, quick_length};
use crate::acuity::Acuity;
use crate::chart::{ColourError, FieldColours, Layout, Request};
use crate::eye::{Eye, Sides};
use crate::light::Bands;
use crate::optotype::STROKES_A_SIDE;
use crate::quantity::{Angle, Dioptres, SpatialFrequency};
use crate::raster::{self, Light};
use crate::room::Room;

/// Maximum number of samples of a picture with its surround; working on them takes 1.1 GB.
const MOST_SAMPLES: usize = 1 << 24;

/// Maximum number of samples of all pictures of a sheet or a sweep, each with its surround: their codes take 400 MB, and working
/// them out takes about half a minute on one core.
const MOST_SAMPLES_IN_ALL: usize = 1 << 27;

/// How many strokes wider than the blurred disc the surround is, since the light of a point falls off slowly beyond the
/// disc.
const SURROUND_STROKES: f64 = 2.0;

/// In how many steps a transfer is worked out up to the cut-off, and in how many more for each of the waves that a
/// blurred disc makes in it. A cubic through four of them is off by at most 1e-3 (a test holds it).
const STEPS_TO_CUT_OFF: f64 = 64.0;
const STEPS_A_WAVE: f64 = 10.0;

/// What a close-up shows.
#[derive(Debug, Clone)]
pub struct Subject<'a> {
    /// The chart; of its lines the first one is shown.
    pub request: &'a Request,
    /// How many letters are shown on each side.
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
    /// The channels that vary over the picture, in pairs that share one complex picture.
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
    /// All together would take too much time and memory.
    #[error(
        "{pictures} pictures of {columns} × {rows} samples with their surround are more than {MOST_SAMPLES_IN_ALL} samples: ask for fewer pixels a stroke (--scale), fewer letters (--letters-a-side), fewer pictures or a shorter sweep"
    )]
    TooMany {
        /// How many pictures.
        pictures: usize,
        /// Samples across each.
        columns: usize,
        /// Samples down each.
        rows: usize,
    },
}

impl CloseUp {
    /// Prepares a subject for eyes with at most this blur: the diameter of a point's image.
    ///
    /// # Errors
    /// Fields that the screen cannot make, and more samples than memory should hold.
    pub fn new(subject: &Subject<'_>, room: &Room, sides: &Sides, blur: Angle) -> Result<Self, CloseUpError> {
        let line = subject.request.lines.first();
        let colours = FieldColours::of(subject.request, &room.display)?;
        let stroke = f64::from(subject.stroke_px);
        let layout = Layout::close_up(subject.request, room.viewing.distance, subject.letters);
        let mm_a_pixel = layout.rows[0].height.to_mm() / (STROKES_A_SIDE * stroke);
        let pixel = Angle::arcmin(line.to_mar() / stroke);
        let scene = layout.painted(&colours);
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
        let bands = [&sides.red, &sides.green, &sides.blue].map(Clone::clone);
        let whole = Self::of(light, pixel, bands);
        Ok(Self { line, pixels, left, top, stroke_px: usize::from(subject.stroke_px), ..whole })
    }

    /// A whole picture of light, whose channels have these bands.
    fn of(light: Light, pixel: Angle, bands: [Bands; 3]) -> Self {
        let pixels = [light.columns, light.rows];
        let transform = Transform::new(light.columns, light.rows);
        let pairs = pairs(&light, &transform);
        let (line, stroke_px) = (Acuity::standard(0), 1);
        Self { line, pixels, pixel, stroke_px, light, left: 0, top: 0, transform, pairs, bands }
    }

    /// Whether this number of views may be worked out, one after the other.
    ///
    /// # Errors
    /// More samples in all than time and memory should be spent on.
    pub fn bounded(&self, pictures: usize) -> Result<(), CloseUpError> {
        let (columns, rows) = (self.light.columns, self.light.rows);
        if pictures.saturating_mul(columns * rows) > MOST_SAMPLES_IN_ALL {
            return Err(CloseUpError::TooMany { pictures, columns, rows });
        }
        Ok(())
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

    /// The same with all of its surround. Its mean light is that of the picture on the screen.
    ///
    /// Blur spreads light and neither adds nor takes any; a test holds that to a millionth.
    #[must_use]
    pub fn seen_with_surround(&self, eye: &Eye, lens_error: Dioptres) -> Light {
        let mut seen = self.light.clone();
        for (channels, frequencies) in &self.pairs {
            let table = |channel: usize| self.table(eye, lens_error, &self.bands[channel]);
            let first = table(channels[0]);
            let second = if channels[0] == channels[1] { first.clone() } else { table(channels[1]) };
            let picture = self.transform.back(self.transferred(frequencies, &[first, second]));
            for (at, light) in picture.iter().enumerate() {
                seen.planes[channels[0]][at] = light.re;
                if channels[0] != channels[1] {
                    seen.planes[channels[1]][at] = light.im;
                }
            }
        }
        seen
    }

    /// The transfer of a light from frequency zero to the cut-off or beyond the picture's own frequencies, in steps fine enough
    /// for a cubic.
    fn table(&self, eye: &Eye, lens_error: Dioptres, light: &Bands) -> Table {
        let cut_off = eye.cut_off().to_cycles_per_degree();
        let step =
            (cut_off / STEPS_TO_CUT_OFF).min(1.0 / (STEPS_A_WAVE * eye.blur(lens_error, light).to_degrees()));
        // Along the diagonal; between two steps the later one counts as well.
        let highest = 0.5_f64.sqrt() / self.pixel.to_degrees() + 2.0 * step;
        let mut values = Vec::new();
        while (values.len() as f64) * step < cut_off.min(highest) {
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
            // Rows at k and −k have one frequency.
            let passed: Vec<[f64; 2]> = down[..=rows / 2]
                .iter()
                .map(|down| (across + down).sqrt())
                .map(|cycles| [tables[0].at(cycles), tables[1].at(cycles)])
                .collect();
            for y in 0..rows {
                let [first, second] = passed[y.min(rows - y)];
                let (here, there) = (frequencies[own + y], frequencies[other + (rows - y) % rows].conj());
                transferred[own + y] = here * ((first + second) / 2.0) + there * ((first - second) / 2.0);
            }
        }
        transferred
    }

    /// The largest change from one picture to another of any area of a stroke's size, as a share of the fields' light.
    ///
    /// Over squares with a stroke's side, each channel against its own brightest light; 0 for equal pictures, 1 where a square goes
    /// from dark to the field's full light.
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

/// The channels that vary over a picture, in pairs.
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

/// A transfer at equal steps of frequency, in cycles a degree; zero beyond the last.
#[derive(Clone)]
struct Table {
    step: f64,
    values: Vec<f64>,
}

impl Table {
    /// By Lagrange's cubic through the four values about a frequency. At none the transfer has a corner, so the cubic does not reach
    /// across it.
    fn at(&self, cycles: f64) -> f64 {
        let place = cycles / self.step;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a picture has some thousand frequencies"
        )]
        let index = place as usize;
        if index >= self.values.len() {
            return 0.0;
        }
        let from = index.saturating_sub(1);
        let [one, two, three, four] = [0, 1, 2, 3].map(|next| self.values.get(from + next).unwrap_or(&0.0));
        let at = place - from as f64;
        let [one_off, two_off, three_off] = [1.0, 2.0, 3.0].map(|node| at - node);
        (two * at * two_off * three_off - three * at * one_off * three_off) / 2.0
            + (four * at * one_off * two_off - one * one_off * two_off * three_off) / 6.0
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some thousand pixels")]
pub(super) fn whole(pixels: f64) -> usize {
    pixels.round().max(1.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::Pupil;
    use crate::light::Spectrum;
    use crate::quantity::{Length, Wavelength};
    use crate::view::{Sweep, out_and_back};

    fn eye(mm: f64) -> Eye {
        Eye { spherical_um: 0.0, ..Eye::with_pupil(Pupil::new(Length::mm(mm)).unwrap()) }
    }

    fn demo(stroke_px: u16, tenths: i8) -> CloseUp {
        let room = Room::demo();
        let spectra = room.primaries.spectra().unwrap();
        let sides = Sides::of(&spectra, &room.display, [255; 3]);
        let request = Request::new(Acuity::standard(tenths));
        let subject = Subject { request: &request, letters: 2, stroke_px };
        CloseUp::new(&subject, &room, &sides, eye(5.0).blur(Dioptres::new(0.5), &sides.red)).unwrap()
    }

    /// A green light of one wavelength, held in focus, in every channel.
    fn one_wavelength(light: Light, pixel: Angle) -> (CloseUp, Wavelength) {
        let green = Wavelength::nm(550.0);
        let bands = Bands::of(&Spectrum::line(green));
        (CloseUp::of(light, pixel, [bands.clone(), bands.clone(), bands]), green)
    }

    #[test]
    fn blur_neither_adds_light_nor_takes_any() {
        let close_up = demo(4, 3);
        let before = close_up.light.mean();
        for (mm, lens_error) in [(1.6, 0.0), (3.0, 0.5), (5.0, -0.5)] {
            let after = close_up.seen_with_surround(&eye(mm), Dioptres::new(lens_error)).mean();
            for (before, after) in before.into_iter().zip(after) {
                assert!((after - before).abs() <= 1e-6 * before, "{mm} mm: {before} {after}");
            }
        }
    }

    #[test]
    fn a_point_becomes_airys_disc() {
        // First dark ring at 1.2197 λ/D (first zero of J₁, 3.8317, over π); at half of that 2J₁(x)/x squared is 0.3675
        // of the middle (J₁(1.9159) = 0.58072, by scipy, version not recorded).
        const SIDE: usize = 240;
        let ring = 1.2197 * 550e-9 / 3e-3;
        let pixel = Angle::radians(ring / 12.0);
        let mut plane = vec![0.0; SIDE * SIDE];
        plane[120 * SIDE + 120] = 1.0;
        let light = Light { columns: SIDE, rows: SIDE, planes: [plane.clone(), plane.clone(), plane] };
        let (close_up, green) = one_wavelength(light, pixel);
        let seen = close_up.seen(&Eye { focus_at: green, ..eye(3.0) }, Dioptres::new(0.0));
        for plane in &seen.planes {
            let middle = plane[120 * SIDE + 120];
            let at = |right: usize, down: usize| plane[(120 + down) * SIDE + 120 + right] / middle;
            assert!(at(12, 0).abs() < 2e-3 && at(0, 12).abs() < 2e-3, "{} {}", at(12, 0), at(0, 12));
            assert!((at(6, 0) - 0.3675).abs() < 2e-3, "{}", at(6, 0));
            // The second dark ring, at 2.2331 λ/D, lies 22 pixels out.
            assert!(at(22, 0).abs() < 1e-3);
            assert!((plane.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn between_its_frequencies_a_table_is_right_to_a_thousandth() {
        let close_up = demo(8, -3);
        let mut most = 0.0_f64;
        for mm in [1.6, 3.0, 5.0, 7.0] {
            for lens_error in [0.0, 0.3, -1.0, 2.0].map(Dioptres::new) {
                for light in &close_up.bands {
                    let eye = Eye { spherical_um: 0.1, ..eye(mm) };
                    let table = close_up.table(&eye, lens_error, light);
                    for place in 0..table.values.len() {
                        let cycles = (place as f64 + 0.4) * table.step;
                        let frequency = SpatialFrequency::cycles_per_degree(cycles);
                        most =
                            most.max((table.at(cycles) - eye.transfer(lens_error, light, frequency)).abs());
                    }
                }
            }
        }
        assert!(most < 1e-3, "{most}");
        // Far coarser ones would not be.
        assert!(most > 1e-5, "{most}");
    }

    #[test]
    fn a_wide_pupil_in_focus_gives_the_chart_back() {
        // 20/200 at 2 pixels a stroke: the finest pattern that they hold, 6 cycles a degree, is transferred to 0.97.
        let coarse = demo(2, 10);
        let (close_up, green) = one_wavelength(coarse.light.clone(), coarse.pixel);
        let seen = close_up.seen(&Eye { focus_at: green, ..eye(9.0) }, Dioptres::new(0.0));
        for (before, after) in close_up.light.planes.iter().zip(&seen.planes) {
            assert!(before.iter().zip(after).all(|(before, after)| (before - after).abs() < 0.05));
        }
    }

    /// How much darker the letters are than their fields on each side, at their darkest.
    fn depth(close_up: &CloseUp, lens_error: f64) -> [f64; 2] {
        let seen = close_up.seen(&eye(3.0), Dioptres::new(lens_error));
        let half = seen.columns / 2;
        [(0, 0..half), (1, half..seen.columns)].map(|(channel, side): (usize, _)| {
            let inner = side.start + half / 10..side.end - half / 10;
            let rows = seen.rows / 3..2 * seen.rows / 3;
            let lights = rows.flat_map(|y| inner.clone().map(move |x| (x, y)));
            let lights = lights.map(|(x, y)| seen.planes[channel][y * seen.columns + x]);
            let (low, high) =
                lights.fold((1.0_f64, 0.0_f64), |(low, high), light| (low.min(light), high.max(light)));
            1.0 - low / high
        })
    }

    #[test]
    fn too_much_plus_leaves_the_red_letters_darker() {
        let close_up = demo(4, 3);
        let [red, green] = depth(&close_up, 0.4);
        assert!(red > green + 0.2, "{red} {green}");
        let [red, green] = depth(&close_up, -0.4);
        assert!(green > red + 0.2, "{red} {green}");
    }

    fn sweep(close_up: &CloseUp, mm: f64, ends: [f64; 2]) -> Sweep<Light> {
        Sweep::new(close_up, &eye(mm), ends.map(Dioptres::new), |_, light| light.clone()).unwrap()
    }

    fn most_change(close_up: &CloseUp, sweep: &Sweep<Light>) -> f64 {
        let pictures: Vec<&Light> = out_and_back(&sweep.pictures).collect();
        pictures.windows(2).map(|pair| close_up.change(pair[0], pair[1])).fold(0.0, f64::max)
    }

    #[test]
    fn a_sweep_goes_out_and_back_without_a_flash() {
        let close_up = demo(3, 2);
        let sweep = sweep(&close_up, 5.0, [-0.5, 0.5]);
        let errors: Vec<f64> = sweep.lens_errors.iter().map(|at| at.to_d()).collect();
        assert!((errors[0] + 0.5).abs() < 1e-9 && (errors[errors.len() - 1] - 0.5).abs() < 1e-9);
        assert!(out_and_back(&sweep.pictures).next() == out_and_back(&sweep.pictures).last());
        assert_eq!(out_and_back(&sweep.pictures).count(), 2 * errors.len() - 1);
        let steps = errors.windows(2).map(|pair| (pair[1] - pair[0]).abs());
        assert!(steps.clone().fold(0.0, f64::max) < 1.001 * steps.fold(1.0, f64::min));
        let most = most_change(&close_up, &sweep);
        assert!(most <= 0.1 && most > 0.001, "{most}");
    }

    #[test]
    fn a_sweep_goes_slower_where_blur_grows_faster() {
        let close_up = demo(3, 2);
        let sweep = sweep(&close_up, 9.0, [0.0, 0.2]);
        // Steps of 0.05 D would make nine pictures out and back, and change an area by more than a tenth.
        assert!(out_and_back(&sweep.pictures).count() > 9, "{}", sweep.pictures.len());
        assert!(most_change(&close_up, &sweep) <= 0.1);
    }

    #[test]
    fn all_pictures_together_are_bounded_before_the_first() {
        let close_up = demo(3, 2);
        let samples = close_up.light.columns * close_up.light.rows;
        let most = MOST_SAMPLES_IN_ALL / samples;
        assert_eq!(close_up.bounded(most), Ok(()));
        let refused = close_up.bounded(most + 1).unwrap_err();
        assert!(matches!(refused, CloseUpError::TooMany { .. }), "{refused}");
        let (mut seen, far) = (0, most as f64 * 0.05);
        let swept = Sweep::new(&close_up, &eye(5.0), [0.0, far].map(Dioptres::new), |_, _| seen += 1);
        assert!(swept.is_err() && seen == 0, "{seen}");
    }

    #[test]
    fn a_view_larger_than_memory_is_refused() {
        let room = Room::demo();
        let sides = Sides::of(&room.primaries.spectra().unwrap(), &room.display, [255; 3]);
        let request = Request::new(Acuity::standard(-3));
        let subject = Subject { request: &request, letters: 5, stroke_px: 64 };
        let refused = CloseUp::new(&subject, &room, &sides, Angle::arcmin(100.0));
        assert!(matches!(refused, Err(CloseUpError::TooLarge { .. })));
    }
}
