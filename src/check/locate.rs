//! Finding the fields and the letters in the picture itself.

use std::ops::Range;

use image::RgbImage;

use super::glyph::Glyph;
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

/// By how much the channels of a shade may differ in their share of the field's light: one code of each, where it is dark.
const SAME_SHADE: f64 = 0.1;

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

/// A box of whole pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Patch {
    pub(super) left: u32,
    pub(super) top: u32,
    pub(super) right: u32,
    pub(super) bottom: u32,
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
    /// Whether some of it is nearer to black than to its field.
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
        if canvas.runs(&areas) > MOST_RUNS {
            return Self { crowded: true, ..ink };
        }
        let Some(boxes) =
            areas.into_iter().try_fold(Vec::new(), |boxes, area| ink.take(&canvas, area, boxes))
        else {
            return Self { crowded: true, rows: Vec::new(), marks: Vec::new(), tinted: 0 };
        };
        ink.rows = rows(boxes, fields);
        ink
    }

    /// Adds what stands on an area, its letters to those that are known; none where there are too many or too large ones.
    fn take(&mut self, canvas: &Canvas<'_>, area: Patch, mut boxes: Vec<Patch>) -> Option<Vec<Patch>> {
        let dark =
            canvas.connected(area, |y| canvas.columns(area).map(|x| canvas.is_dark(x, y)).collect())?;
        let mut letters: Vec<Patch> = dark.iter().map(|mark| mark.place).collect();
        letters.retain(|patch| patch.width().min(patch.height()) >= LEAST_LETTER_PX);
        boxes.extend(&letters);
        let samples: u64 = boxes.iter().map(|place| Glyph::samples(*place)).sum();
        if boxes.len() > MOST_LETTERS || samples > MOST_SAMPLES {
            return None;
        }
        self.marks.extend(canvas.marks(area, &letters)?);
        self.tinted += canvas.tinted(area);
        Some(boxes)
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
}

impl<'a> Canvas<'a> {
    fn new(image: &'a RgbImage, fields: &'a Fields, display: &'a Display) -> Self {
        let half = |codes: &[u8; 3]| (display.luminance(*codes) + display.black()).to_cd_m2() / 2.0;
        let half_dark = fields.codes.iter().map(half).collect();
        Self { image, fields, display, bare: fields.bare_row(image.width()), half_dark }
    }

    fn is_off(&self, x: u32, y: u32) -> bool {
        self.image.get_pixel(x, y).0 != self.bare[3 * x as usize..][..3]
    }

    fn is_dark(&self, x: u32, y: u32) -> bool {
        let luminance = || self.display.luminance(self.image.get_pixel(x, y).0).to_cd_m2();
        self.is_off(x, y) && luminance() < self.half_dark[self.fields.index(x)]
    }

    fn columns(&self, area: Patch) -> Range<u32> {
        area.left..area.right
    }

    /// The boxes of the patches in an area whose pixels touch each other, if only by a corner, and whether some of each is
    /// dark; none where they are of too many runs. `counts` tells which pixels of a row count.
    fn connected(&self, area: Patch, counts: impl Fn(u32) -> Vec<bool>) -> Option<Vec<Mark>> {
        let mut groups = Groups::default();
        let mut above: Vec<(Range<u32>, usize)> = Vec::new();
        for y in area.top..area.bottom {
            let mut first = 0;
            let mut here = Vec::new();
            for run in runs(counts(y).into_iter()) {
                let run = area.left + run.start..area.left + run.end;
                let place = Patch { left: run.start, top: y, right: run.end, bottom: y + 1 };
                let own = groups.add(Mark { place, dark: run.clone().any(|x| self.is_dark(x, y)) });
                while above.get(first).is_some_and(|(other, _)| other.end < run.start) {
                    first += 1;
                }
                for (_, other) in above[first..].iter().take_while(|(other, _)| other.start <= run.end) {
                    groups.join(own, *other);
                }
                here.push((run, own));
            }
            if groups.marks.len() > MOST_RUNS {
                return None;
            }
            above = here;
        }
        Some(groups.whole())
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

    /// What is off its field in an area and farther than the pixel or two of a smooth edge from every letter; none where it is
    /// of too many runs.
    fn marks(&self, area: Patch, letters: &[Patch]) -> Option<Vec<Mark>> {
        let near: Vec<Patch> = letters.iter().map(|letter| letter.grown(2)).collect();
        if near.iter().any(|letter| letter.covers(area)) {
            return Some(Vec::new());
        }
        self.connected(area, |y| {
            let off = self.row(area, y).map(|(pixel, bare)| pixel != bare);
            off.zip(covered(area, y, &near)).map(|(off, near)| off && !near).collect()
        })
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

/// Which pixels of a row of an area lie in any of some boxes: each box counts up where it begins and down where it ends.
fn covered(area: Patch, y: u32, boxes: &[Patch]) -> impl Iterator<Item = bool> {
    let place = |x: u32| (x.clamp(area.left, area.right) - area.left) as usize;
    let mut steps = vec![0_i32; area.width() as usize + 1];
    for one in boxes.iter().filter(|one| one.top <= y && y < one.bottom) {
        steps[place(one.left)] += 1;
        steps[place(one.right)] -= 1;
    }
    steps.into_iter().scan(0, |boxes, step| {
        *boxes += step;
        Some(*boxes > 0)
    })
}

/// Runs of pixels joined to patches: each run points to another one of its patch, and the last one to itself.
#[derive(Default)]
struct Groups {
    next: Vec<usize>,
    marks: Vec<Mark>,
}

impl Groups {
    fn add(&mut self, mark: Mark) -> usize {
        self.next.push(self.next.len());
        self.marks.push(mark);
        self.marks.len() - 1
    }

    fn last(&mut self, mut run: usize) -> usize {
        while self.next[run] != run {
            self.next[run] = self.next[self.next[run]];
            run = self.next[run];
        }
        run
    }

    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.last(one), self.last(other));
        if one == other {
            return;
        }
        // The earlier one stays, so that patches keep the order in which they begin.
        let (kept, gone) = (one.min(other), one.max(other));
        self.next[gone] = kept;
        let with = self.marks[gone];
        let mark = &mut self.marks[kept];
        *mark = Mark { place: mark.place.with(with.place), dark: mark.dark || with.dark };
    }

    fn whole(self) -> Vec<Mark> {
        let Self { next, marks } = self;
        let is_last = |(run, next): (usize, &usize)| run == *next;
        next.iter().enumerate().zip(marks).filter(|(run, _)| is_last(*run)).map(|(_, mark)| mark).collect()
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

impl Patch {
    pub(super) const fn width(self) -> u32 {
        self.right - self.left
    }

    pub(super) const fn height(self) -> u32 {
        self.bottom - self.top
    }

    pub(super) fn with(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    pub(super) const fn contains(self, x: u32, y: u32) -> bool {
        self.left <= x && x < self.right && self.top <= y && y < self.bottom
    }

    /// Whether all of another lies within it.
    const fn covers(self, other: Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }

    pub(super) const fn grown(self, by: u32) -> Self {
        Self {
            left: self.left.saturating_sub(by),
            top: self.top.saturating_sub(by),
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }
}
