//! Views beside each other on a sheet.
//!
//! What holds of a column stands over it, what holds of a row beside it, and nothing is said twice.

use image::{RgbImage, imageops};

use crate::quantity::{Dioptres, Length};
use crate::raster;
use crate::room::Room;
use crate::scene::look::{BALANCE_AT_NIGHT, DIM, GLOW, NIGHT, Style};
use crate::scene::{Anchor, Canvas, Face, Metadata, Scene, TextBlock};

/// Views of one pupil.
#[derive(Debug, Clone)]
pub struct TileRow {
    /// The pupil in words.
    pub head: String,
    /// What reaches the retina, in device codes of the room's screen: a picture for each column.
    pub pictures: Vec<RgbImage>,
}

/// Where a sweep stands between its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// From which lens error to which.
    pub ends: [Dioptres; 2],
    /// The one that is seen now.
    pub at: Dioptres,
}

/// Tiles in rows on black, with heads, and with sentences beneath.
///
/// Pixel for pixel: show it unscaled, or the views are blurred once more.
#[derive(Debug, Clone)]
pub struct TileSheet {
    /// What all of them show.
    pub title: String,
    /// The lens error of each column.
    pub columns: Vec<String>,
    /// The rows, all pictures of one size.
    pub rows: Vec<TileRow>,
    /// Where a sweep stands, under its one picture.
    pub progress: Option<Progress>,
    /// What stands beneath.
    pub sentences: Vec<String>,
}

/// The least width of a sheet in pixels: half of a common screen.
pub const LEAST_WIDTH_PX: u32 = 960;

/// The em of captions in pixels, as a share of a tile's height, and between which bounds.
const EM_SHARE: f64 = 0.08;
const EM_PX: std::ops::RangeInclusive<f64> = 15.0..=20.0;

/// The widest head of a row, in ems.
const HEAD_EMS: f64 = 9.0;

/// Half the height of a sweep's marker, in ems.
const MARKER_EMS: f64 = 0.4;

/// Where things stand, in pixels.
struct Places {
    em: f64,
    /// A tile's width and height.
    tile: [f64; 2],
    /// The left end of the first column, and the top of the first row.
    corner: [f64; 2],
}

impl Places {
    const fn gap(&self) -> f64 {
        2.0 * self.em
    }

    fn left(&self, column: usize) -> f64 {
        self.corner[0] + column as f64 * (self.tile[0] + self.gap())
    }

    fn top(&self, row: usize) -> f64 {
        self.corner[1] + row as f64 * (self.tile[1] + self.gap())
    }

    /// A style of the sheet; a millimetre of its scene is a pixel.
    const fn style(&self, face: Face) -> Style {
        Style { face, em: Length::mm(self.em), paint: GLOW }
    }
}

impl TileSheet {
    /// The sheet in device codes of the room's screen, pixel for pixel.
    #[must_use]
    pub fn draw(&self, room: &Room) -> RgbImage {
        let Some(places) = self.places() else { return RgbImage::new(1, 1) };
        let right = places.left(self.columns.len()) - places.gap();
        let mut canvas = Canvas::default();
        self.heads(&mut canvas, &places);
        let mut bottom = places.top(self.rows.len());
        if let Some(progress) = self.progress {
            bottom = progress.draw(&mut canvas, &places, bottom);
        }
        let small = places.style(Face::Regular).in_paint(DIM);
        for sentence in &self.sentences {
            bottom = canvas.paragraph(sentence, small, [places.gap(), bottom], right - places.gap());
        }
        let size = [right + places.gap(), bottom + places.gap()];
        let scene = Scene {
            size: size.map(Length::mm),
            background: NIGHT,
            shapes: canvas.shapes,
            metadata: Metadata::default(),
        };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some thousand pixels")]
        let pixels = size.map(|side| side.ceil() as u32);
        let mut sheet = raster::draw(&scene, pixels, &room.display);
        self.lay(&mut sheet, &places);
        sheet
    }

    fn places(&self) -> Option<Places> {
        let first = self.rows.first()?.pictures.first()?;
        let tile = [first.width(), first.height()].map(f64::from);
        let em = (tile[1] * EM_SHARE).clamp(*EM_PX.start(), *EM_PX.end()).floor();
        let places = Places { em, tile, corner: [0.0; 2] };
        let style = places.style(Face::Regular);
        let heads = self.rows.iter().map(|row| TextBlock::new(&row.head, style, HEAD_EMS * em).width());
        let head = heads.fold(0.0, f64::max);
        // The title, and a line of heads under it.
        let corner = [2.0 * places.gap() + head, places.gap() + 2.0 * style.leading() + 0.5 * em];
        Some(Places { corner, ..places })
    }

    fn heads(&self, canvas: &mut Canvas, places: &Places) {
        let (bold, plain) = (places.style(Face::Bold), places.style(Face::Regular));
        let edge = places.gap();
        canvas.write(&self.title, bold, Anchor::Left, [edge, edge + places.em]);
        let baseline = places.top(0) - 0.5 * places.em;
        for (column, words) in self.columns.iter().enumerate() {
            canvas.write(words, plain, Anchor::Left, [places.left(column), baseline]);
        }
        for (row, TileRow { head, .. }) in self.rows.iter().enumerate() {
            canvas.paragraph(head, plain, [edge, places.top(row)], HEAD_EMS * places.em);
        }
    }

    #[allow(clippy::cast_possible_truncation, reason = "some thousand pixels")]
    fn lay(&self, sheet: &mut RgbImage, places: &Places) {
        for (row, TileRow { pictures, .. }) in self.rows.iter().enumerate() {
            for (column, picture) in pictures.iter().enumerate() {
                let (left, top) = (places.left(column), places.top(row));
                imageops::replace(sheet, picture, left.round() as i64, top.round() as i64);
            }
        }
    }
}

impl Progress {
    /// A line from end to end as wide as the picture, with a marker where the sweep stands; says where it ends below.
    fn draw(self, canvas: &mut Canvas, places: &Places, top: f64) -> f64 {
        let (left, wide, em) = (places.left(0), places.tile[0], places.em);
        let [from, to] = self.ends.map(Dioptres::to_d);
        let x = |at: Dioptres| left + wide * (at.to_d() - from) / (to - from);
        let half = MARKER_EMS * em;
        let line = top + half;
        canvas.straight((left, line), (left + wide, line), 0.08 * em, DIM);
        let at = x(self.at).clamp(left + half, left + wide - half);
        canvas.rect([at - half / 2.0, line - half, at + half / 2.0, line + half], BALANCE_AT_NIGHT);
        let small = places.style(Face::Regular).in_paint(DIM);
        for (end, anchor, x) in [(0, Anchor::Left, left), (1, Anchor::Right, left + wide)] {
            canvas.write(&self.ends[end].to_string(), small, anchor, [x, line + 1.8 * em]);
        }
        line + 3.0 * em
    }
}
