//! Finding the fields and the letters in the picture itself.
//!
//! Fields first, then whatever differs from them, in connected marks. Limits on runs, marks and samples come before anything is
//! examined one by one: a picture of something else is told from a chart in bounded time.

use std::ops::Range;

use image::{GrayImage, Luma, RgbImage};
use imageproc::region_labelling::{Connectivity, connected_components};

use super::glyph::Glyph;
use super::patch::Patch;
use crate::light::Channel;
use crate::room::Display;

/// The least size in pixels of a patch of ink that may be a letter; smaller ones are specks. A letter with the least
/// legal stroke is 10 px high.
const LEAST_LETTER_PX: u32 = 5;

/// Maximum number of runs of pixels that differ from their field. A picture with more is not a chart, and its marks are not
/// examined one by one. A 4K chart has about ten thousand.
const MOST_RUNS: usize = 1 << 20;

/// Maximum number of patches that are taken for letters. All standard lines on two fields have 170; a picture with more than
/// this is not a chart, and its letters are not measured one by one.
const MOST_LETTERS: usize = 1_000;

/// Maximum number of samples that all patches taken for letters have together, with the paper that is kept around each: they
/// are held as eight bytes each. On an 8K screen letters and the air that a row must have between them leave half of it.
const MOST_SAMPLES: u64 = 1 << 24;

/// Maximum number of pixels of an area in which patches are told apart, which takes about ten bytes for each. On an 8K screen a
/// letter that fills its field has about as many.
const MOST_AREA_PX: u64 = 1 << 24;

/// By how much the channels of a shade may differ in their share of the field's light: one code of each, where it is dark.
const SAME_SHADE: f64 = 0.1;

/// Of a letter some has less than this share of its field's light. The names of lines have 1/1.8 of it on the screen that they are made
/// for, and hardly less than half on one whose tone curve turns out to be another. This project's own decision.
const DARK_AS_LETTERS: f64 = 0.4;

/// How many rows are sampled for the fields' colours.
const SAMPLED_ROWS: u32 = 9;

/// The one-coloured grounds of a picture.
pub(super) struct Fields {
    /// The codes of each, from the left; one or two.
    pub(super) codes: Vec<[u8; 3]>,
    /// The first column of the second field, or the picture's width where there is one.
    pub(super) seam: u32,
    /// Columns between the two fields that belong to neither.
    pub(super) gap: i64,
}

/// The letters of one row, from the left, by field.
pub(super) struct Row {
    pub(super) letters: Vec<Vec<Patch>>,
}

/// What stands on the fields.
pub(super) struct Ink {
    /// The rows of letters, from the top.
    pub(super) rows: Vec<Row>,
    /// Marks that are not in a row of letters.
    pub(super) marks: Vec<Mark>,
    /// Pixels of another colour than their field's shades, down to black.
    pub(super) tinted: u64,
    /// Whether there are too many marks to examine; then none of them is.
    pub(super) crowded: bool,
}

/// A connected mark beside the letters.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mark {
    pub(super) place: Patch,
    /// Whether some of it has no more light than [`DARK_AS_LETTERS`].
    pub(super) dark: bool,
}

impl Fields {
    pub(super) fn find(image: &RgbImage) -> Self {
        let (width, height) = image.dimensions();
        let rows: Vec<u32> = (0..SAMPLED_ROWS).map(|part| part * (height - 1) / (SAMPLED_ROWS - 1)).collect();
        let quarter = width.div_ceil(4);
        let (left, right) =
            (commonest(image, &rows, 0..quarter), commonest(image, &rows, width - quarter..width));
        if left == right {
            return Self { codes: vec![left], seam: width, gap: 0 };
        }
        let column = |x: u32| rows.iter().map(move |y| image.get_pixel(x, *y).0);
        let seam =
            (0..width).rev().find(|x| column(*x).any(|codes| codes == left)).map_or(0, |last| last + 1);
        let start = (0..width).find(|x| column(*x).any(|codes| codes == right)).unwrap_or(width);
        Self { codes: vec![left, right], seam, gap: i64::from(start) - i64::from(seam) }
    }

    /// Which field a column belongs to.
    pub(super) fn index(&self, column: u32) -> usize {
        usize::from(column >= self.seam)
    }

    /// A row of the picture with bare fields.
    fn bare_row(&self, width: u32) -> Vec<u8> {
        (0..width).flat_map(|column| self.codes[self.index(column)]).collect()
    }
}

/// The commonest codes among these rows and columns.
fn commonest(image: &RgbImage, rows: &[u32], columns: Range<u32>) -> [u8; 3] {
    let mut seen: Vec<[u8; 3]> =
        rows.iter().flat_map(|y| columns.clone().map(|x| image.get_pixel(x, *y).0)).collect();
    seen.sort_unstable();
    seen.chunk_by(|one, other| one == other).max_by_key(|run| run.len()).map_or([0; 3], |run| run[0])
}

impl Ink {
    /// Looks through the areas that differ from the bare fields; only there are pixels weighed one by one.
    pub(super) fn find(image: &RgbImage, fields: &Fields, display: &Display) -> Self {
        let canvas = Canvas::new(image, fields, display);
        let mut ink = Self { rows: Vec::new(), marks: Vec::new(), tinted: 0, crowded: false };
        let bands = bands(image, &canvas.bare);
        let areas: Vec<Patch> = bands.iter().flat_map(|band| areas(image, &canvas.bare, band)).collect();
        let is_large = |area: &Patch| u64::from(area.width()) * u64::from(area.height()) > MOST_AREA_PX;
        if areas.iter().any(is_large) || canvas.runs(&areas) > MOST_RUNS {
            return Self { crowded: true, ..ink };
        }
        let mut boxes: Vec<Patch> = Vec::new();
        for area in areas {
            let dark = canvas.connected(area, |x, y| canvas.is_dark(x, y));
            let dark = dark.iter().filter(|mark| mark.dark);
            let mut letters: Vec<Patch> = dark.map(|mark| mark.place).collect();
            letters.retain(|patch| patch.width().min(patch.height()) >= LEAST_LETTER_PX);
            let samples: u64 = boxes.iter().chain(&letters).map(|place| Glyph::samples(*place)).sum();
            if boxes.len() + letters.len() > MOST_LETTERS || samples > MOST_SAMPLES {
                return Self { crowded: true, rows: Vec::new(), marks: Vec::new(), tinted: 0 };
            }
            ink.marks.extend(canvas.marks(area, &letters));
            ink.tinted += canvas.tinted(area);
            boxes.extend(letters);
        }
        ink.rows = rows(boxes, fields);
        ink
    }
}

/// A picture with what its fields would be if nothing stood on them.
struct Canvas<'a> {
    image: &'a RgbImage,
    fields: &'a Fields,
    display: &'a Display,
    bare: Vec<u8>,
    /// Half-way between field and black, in cd/m², for each field.
    half_dark: Vec<f64>,
    /// Below this some of every letter lies, in cd/m², for each field.
    as_letters: Vec<f64>,
}

impl<'a> Canvas<'a> {
    fn new(image: &'a RgbImage, fields: &'a Fields, display: &'a Display) -> Self {
        let between = |share: f64| {
            let black = display.black().to_cd_m2();
            let at = |codes: &[u8; 3]| share.mul_add(display.luminance(*codes).to_cd_m2() - black, black);
            fields.codes.iter().map(at).collect()
        };
        let (half_dark, as_letters) = (between(0.5), between(DARK_AS_LETTERS));
        Self { image, fields, display, bare: fields.bare_row(image.width()), half_dark, as_letters }
    }

    fn is_off(&self, x: u32, y: u32) -> bool {
        self.image.get_pixel(x, y).0 != self.bare[3 * x as usize..][..3]
    }

    fn is_dark(&self, x: u32, y: u32) -> bool {
        self.is_under(&self.half_dark, x, y)
    }

    /// Whether a pixel is off its field and has less light than the level of that field.
    fn is_under(&self, levels: &[f64], x: u32, y: u32) -> bool {
        let luminance = || self.display.luminance(self.image.get_pixel(x, y).0).to_cd_m2();
        self.is_off(x, y) && luminance() < levels[self.fields.index(x)]
    }

    /// The boxes of the connected patches in an area, and whether some of each is as dark as letters.
    fn connected(&self, area: Patch, counts: impl Fn(u32, u32) -> bool) -> Vec<Mark> {
        if area.width() == 1 && area.height() == 1 {
            // The labelling has no room for the label of a lone pixel.
            let mark = Mark { place: area, dark: self.is_under(&self.as_letters, area.left, area.top) };
            return if counts(area.left, area.top) { vec![mark] } else { Vec::new() };
        }
        let mask = GrayImage::from_fn(area.width(), area.height(), |x, y| {
            Luma([u8::from(counts(area.left + x, area.top + y))])
        });
        let labels = connected_components(&mask, Connectivity::Eight, Luma([0]));
        let mut marks: Vec<Option<Mark>> = Vec::new();
        for (x, y, label) in labels.enumerate_pixels().filter(|(_, _, label)| label[0] > 0) {
            let index = label[0] as usize;
            marks.resize(marks.len().max(index + 1), None);
            let (left, top) = (area.left + x, area.top + y);
            let pixel = Patch { left, top, right: left + 1, bottom: top + 1 };
            let known = marks[index].unwrap_or(Mark { place: pixel, dark: false });
            let dark = known.dark || self.is_under(&self.as_letters, left, top);
            marks[index] = Some(Mark { place: known.place.with(pixel), dark });
        }
        marks.into_iter().flatten().collect()
    }

    /// A row of an area, as pixels of the picture and of the bare field.
    fn row(&self, area: Patch, y: u32) -> impl Iterator<Item = (&[u8], &[u8])> {
        let columns = 3 * area.left as usize..3 * area.right as usize;
        let start = self.bare.len() * y as usize;
        let picture = &self.image.as_raw()[start + columns.start..start + columns.end];
        picture.chunks_exact(3).zip(self.bare[columns].chunks_exact(3))
    }

    /// How many runs of pixels differ from their field, row by row; counting stops when there are far too many.
    fn runs(&self, areas: &[Patch]) -> usize {
        let mut runs = 0;
        for (area, y) in areas.iter().flat_map(|area| (area.top..area.bottom).map(|y| (*area, y))) {
            let mut was_off = false;
            for (pixel, bare) in self.row(area, y) {
                let is_off = pixel != bare;
                runs += usize::from(is_off && !was_off);
                was_off = is_off;
            }
            if runs > MOST_RUNS {
                break;
            }
        }
        runs
    }

    /// What is off its field in an area and farther than the pixel or two of a smooth edge from every letter.
    fn marks(&self, area: Patch, letters: &[Patch]) -> Vec<Mark> {
        let near: Vec<Patch> = letters.iter().map(|letter| letter.grown(2)).collect();
        if near.iter().any(|letter| letter.covers(area)) {
            return Vec::new();
        }
        let near = Cover::of(area, &near);
        let off = |x: u32, y: u32| !near.holds(x, y) && self.is_off(x, y);
        if !area.places().any(|(x, y)| off(x, y)) {
            return Vec::new();
        }
        self.connected(area, off)
    }

    /// How many pixels of an area have a light that no shade of their field has.
    fn tinted(&self, area: Patch) -> u64 {
        let is_tinted =
            |(pixel, bare): &(&[u8], &[u8])| *pixel != [0; 3] && pixel != bare && !self.is_shade(pixel, bare);
        (area.top..area.bottom).map(|y| self.row(area, y).filter(is_tinted).count() as u64).sum()
    }

    /// Whether a pixel is its field made darker, in all channels alike.
    fn is_shade(&self, pixel: &[u8], field: &[u8]) -> bool {
        let (mut least, mut most) = (1.0_f64, 0.0_f64);
        for channel in Channel::ALL {
            let index = channel.index();
            if pixel[index] > field[index] {
                return false;
            }
            if field[index] > 0 {
                let tone = self.display.tone(channel);
                let share = tone.light(pixel[index]) / tone.light(field[index]);
                (least, most) = (least.min(share), most.max(share));
            }
        }
        most - least <= SAME_SHADE
    }
}

/// Which pixels of an area lie in any of some boxes, worked out once whatever their number: each box's corners count up and
/// down, and running sums along rows and columns count how many boxes hold a pixel.
struct Cover {
    area: Patch,
    counts: Vec<i32>,
}

impl Cover {
    fn of(area: Patch, boxes: &[Patch]) -> Self {
        let [across, down] = [area.width(), area.height()].map(|side| side as usize + 1);
        let mut counts = vec![0; across * down];
        for one in boxes {
            let x = [one.left, one.right].map(|x| (x.clamp(area.left, area.right) - area.left) as usize);
            let y = [one.top, one.bottom].map(|y| (y.clamp(area.top, area.bottom) - area.top) as usize);
            counts[y[0] * across + x[0]] += 1;
            counts[y[0] * across + x[1]] -= 1;
            counts[y[1] * across + x[0]] -= 1;
            counts[y[1] * across + x[1]] += 1;
        }
        for place in (0..counts.len()).filter(|place| place % across > 0) {
            counts[place] += counts[place - 1];
        }
        for place in across..counts.len() {
            counts[place] += counts[place - across];
        }
        Self { area, counts }
    }

    /// Whether a pixel of the area lies in a box.
    fn holds(&self, x: u32, y: u32) -> bool {
        let across = self.area.width() as usize + 1;
        self.counts[(y - self.area.top) as usize * across + (x - self.area.left) as usize] > 0
    }
}

/// The runs of rows that are not bare.
fn bands(image: &RgbImage, bare: &[u8]) -> Vec<Range<u32>> {
    runs(image.chunks_exact(bare.len()).map(|row| row != bare))
}

/// The runs of columns of a band that are not bare.
fn areas(image: &RgbImage, bare: &[u8], band: &Range<u32>) -> Vec<Patch> {
    let mut differs = vec![0; bare.len()];
    for row in image.chunks_exact(bare.len()).skip(band.start as usize).take(band.len()) {
        for ((differs, code), bare) in differs.iter_mut().zip(row).zip(bare) {
            *differs |= code ^ bare;
        }
    }
    let columns = runs(differs.chunks_exact(3).map(|codes| codes != [0; 3]));
    let area = |columns: Range<u32>| Patch {
        left: columns.start,
        top: band.start,
        right: columns.end,
        bottom: band.end,
    };
    columns.into_iter().map(area).collect()
}

/// The runs of places at which a sequence is true.
fn runs(holds: impl Iterator<Item = bool>) -> Vec<Range<u32>> {
    let mut runs: Vec<Range<u32>> = Vec::new();
    for (place, _) in (0..).zip(holds).filter(|(_, holds)| *holds) {
        match runs.last_mut() {
            Some(run) if run.end == place => run.end = place + 1,
            _ => runs.push(place..place + 1),
        }
    }
    runs
}

/// Letters that share a height form a row; a row is split at the seam.
fn rows(mut boxes: Vec<Patch>, fields: &Fields) -> Vec<Row> {
    boxes.sort_by_key(|letter| (letter.top, letter.left));
    let mut groups: Vec<Vec<Patch>> = Vec::new();
    let mut lowest = 0;
    for letter in boxes {
        match groups.last_mut() {
            Some(row) if letter.top + letter.bottom < 2 * lowest => row.push(letter),
            _ => {
                groups.push(vec![letter]);
                lowest = 0;
            }
        }
        lowest = lowest.max(letter.bottom);
    }
    let split = |mut row: Vec<Patch>| {
        row.sort_by_key(|letter| letter.left);
        let mut letters = vec![Vec::new(); fields.codes.len()];
        for letter in row {
            letters[fields.index(letter.left)].push(letter);
        }
        Row { letters }
    };
    groups.into_iter().map(split).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_cover_what_lies_in_any_of_them() {
        let area = Patch { left: 3, top: 5, right: 12, bottom: 11 };
        let patch = |left, top, right, bottom| Patch { left, top, right, bottom };
        let inside = patch(5, 6, 8, 9);
        // Apart, overlapping, twice the same, over each border, all around, and beyond.
        for boxes in [
            vec![],
            vec![inside],
            vec![inside, inside, patch(7, 8, 11, 10)],
            vec![patch(0, 0, 4, 7), patch(10, 9, 20, 20), patch(5, 0, 6, 30)],
            vec![patch(0, 0, 40, 40)],
            vec![patch(20, 20, 30, 30), patch(0, 0, 2, 3)],
        ] {
            let cover = Cover::of(area, &boxes);
            for (x, y) in area.places() {
                assert_eq!(
                    cover.holds(x, y),
                    boxes.iter().any(|one| one.contains(x, y)),
                    "{boxes:?} {x} {y}"
                );
            }
        }
    }

    #[test]
    fn runs_are_of_neighbours() {
        let found = runs([true, true, false, true, false, false, true, true, true].into_iter());
        assert_eq!(found, [0..2, 3..4, 6..9]);
        assert_eq!(runs([false; 3].into_iter()), []);
    }

    #[test]
    fn letters_stand_in_a_row_where_their_middle_lies_above_its_lowest() {
        let fields = Fields { codes: vec![[255, 0, 0], [0, 147, 0]], seam: 50, gap: 0 };
        let letter = |left, top| Patch { left, top, right: left + 10, bottom: top + 10 };
        // From 20 to 30: a middle at 29 is level with it, at 30 no longer.
        let shape = |boxes: Vec<Patch>| -> Vec<Vec<usize>> {
            rows(boxes, &fields).iter().map(|row| row.letters.iter().map(Vec::len).collect()).collect()
        };
        assert_eq!(shape(vec![letter(0, 20), letter(60, 20), letter(20, 24)]), [[2, 1]]);
        assert_eq!(shape(vec![letter(0, 20), letter(60, 25)]), [[1, 0], [0, 1]]);
        // A column belongs to the right field from the seam on.
        assert_eq!(shape(vec![letter(49, 0), letter(50, 0)]), [[1, 1]]);
    }

    #[test]
    fn a_shade_is_its_field_made_darker_in_all_channels_alike() {
        let display = Display::assumed();
        let image = RgbImage::from_pixel(8, 8, image::Rgb([200, 100, 0]));
        let fields = Fields { codes: vec![[200, 100, 0]], seam: 8, gap: 0 };
        let canvas = Canvas::new(&image, &fields, &display);
        let light = |share: f64| {
            [200_u8, 100, 0].map(|code| {
                let tone = display.tone(Channel::Red);
                if code == 0 { 0 } else { tone.nearest_code(share * tone.light(code)) }
            })
        };
        for share in [1.0, 0.8, 0.5, 0.2] {
            assert!(canvas.is_shade(&light(share), &[200, 100, 0]), "{share}");
        }
        // Lighter in one channel, and darker in one alone.
        assert!(!canvas.is_shade(&[201, 100, 0], &[200, 100, 0]));
        assert!(!canvas.is_shade(&[200, 100, 1], &[200, 100, 0]));
        assert!(!canvas.is_shade(&[200, 40, 0], &[200, 100, 0]));
        assert!(!canvas.is_shade(&[80, 100, 0], &[200, 100, 0]));
    }

    const RED: [u8; 3] = [255, 0, 0];
    const GREEN: [u8; 3] = [0, 147, 0];

    #[test]
    fn fields_are_the_commonest_codes_of_either_quarter_and_end_where_a_sampled_row_has_them_last() {
        // 40 × 33 pixels, of which every fourth row is looked at.
        let of = |change: &dyn Fn(&mut RgbImage)| {
            let code = |x: u32, _| {
                image::Rgb(if x < 18 {
                    RED
                } else if x < 20 {
                    [0; 3]
                } else {
                    GREEN
                })
            };
            let mut image = RgbImage::from_fn(40, 33, code);
            change(&mut image);
            let fields = Fields::find(&image);
            (fields.codes, fields.seam, fields.gap)
        };
        let two = || vec![RED, GREEN];
        assert_eq!(of(&|_| {}), (two(), 18, 2));
        // At the first and the last row, and at one between two that are looked at.
        assert_eq!(of(&|image| image.put_pixel(18, 0, image::Rgb(RED))), (two(), 19, 1));
        assert_eq!(of(&|image| image.put_pixel(19, 32, image::Rgb(GREEN))), (two(), 18, 1));
        assert_eq!(of(&|image| image.put_pixel(18, 5, image::Rgb(RED))), (two(), 18, 2));
        // Each quarter is ten columns wide: what fills four of the right one's is not its commonest.
        assert_eq!(
            of(&|image| (36..40).for_each(|x| (0..33).for_each(|y| image.put_pixel(x, y, image::Rgb(RED))))),
            (two(), 40, -20)
        );
        let single = Fields::find(&RgbImage::from_pixel(40, 33, image::Rgb(GREEN)));
        assert_eq!((single.codes, single.seam, single.gap), (vec![GREEN], 40, 0));
    }

    #[test]
    fn ink_is_sorted_into_letters_marks_and_colours() {
        let display = Display::assumed();
        // Two fields of 30 × 40 pixels each.
        let mut image = RgbImage::from_fn(60, 40, |x, _| image::Rgb(if x < 30 { RED } else { GREEN }));
        let mut paint = |left: u32, top: u32, wide: u32, high: u32, codes: [u8; 3]| {
            for (x, y) in (left..left + wide).flat_map(|x| (top..top + high).map(move |y| (x, y))) {
                image.put_pixel(x, y, image::Rgb(codes));
            }
        };
        // A letter on each field; four pixels are too few for one. A faint mark, a dark one, and three pixels of other colours.
        paint(5, 10, 6, 6, [0; 3]);
        paint(40, 10, 6, 6, [0; 3]);
        paint(15, 10, 4, 8, [0; 3]);
        paint(22, 30, 3, 1, [250, 0, 0]);
        paint(50, 30, 1, 1, [0; 3]);
        paint(55, 20, 3, 1, [0, 147, 90]);
        let fields = Fields::find(&image);
        let ink = Ink::find(&image, &fields, &display);
        let letter = |left: u32| Patch { left, top: 10, right: left + 6, bottom: 16 };
        assert_eq!(ink.rows.len(), 1);
        assert_eq!(ink.rows[0].letters, [vec![letter(5)], vec![letter(40)]]);
        let mut marks: Vec<(u32, u32, bool)> =
            ink.marks.iter().map(|mark| (mark.place.left, mark.place.width(), mark.dark)).collect();
        marks.sort_unstable();
        assert_eq!(marks, [(15, 4, true), (22, 3, false), (50, 1, true), (55, 3, false)]);
        assert_eq!((ink.tinted, ink.crowded), (3, false));
        // Row by row: each piece of each row is a run.
        let canvas = Canvas::new(&image, &fields, &display);
        let whole = Patch { left: 0, top: 0, right: 60, bottom: 40 };
        assert_eq!(canvas.runs(&[whole]), 6 + 6 + 8 + 1 + 1 + 1);
        assert_eq!(canvas.runs(&[letter(5), letter(40)]), 12);
        assert_eq!(canvas.tinted(whole), 3);
        assert!(canvas.is_dark(5, 10) && !canvas.is_dark(22, 30) && !canvas.is_dark(0, 0));
        assert!(canvas.is_off(22, 30) && !canvas.is_off(0, 0) && !canvas.is_off(59, 0));
        // Apart in one column, and joined by a corner.
        let found = |places: &[(u32, u32)], area: Patch| {
            canvas
                .connected(area, |x, y| places.contains(&(x, y)))
                .into_iter()
                .map(|mark| mark.place)
                .collect::<Vec<_>>()
        };
        let at = |left: u32, top: u32, right: u32, bottom: u32| Patch { left, top, right, bottom };
        assert_eq!(found(&[(3, 5), (3, 7)], at(3, 5, 4, 8)), [at(3, 5, 4, 6), at(3, 7, 4, 8)]);
        assert_eq!(found(&[(3, 5), (4, 6)], at(3, 5, 6, 8)), [at(3, 5, 5, 7)]);
        assert_eq!(found(&[(3, 5)], at(3, 5, 4, 6)), [at(3, 5, 4, 6)]);
        assert_eq!(found(&[], at(3, 5, 4, 6)), []);
        assert_eq!(found(&[(3, 5)], at(3, 5, 6, 6)), [at(3, 5, 4, 6)]);
    }
}
