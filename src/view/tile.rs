//! Views beside each other on a sheet.

use image::{RgbImage, imageops};

use super::CloseUp;
use crate::eye::Eye;
use crate::quantity::{Dioptres, Length};
use crate::raster;
use crate::room::{Display, Room};
use crate::scene::look::{DIM, GLOW, NIGHT, Style};
use crate::scene::{Anchor, Canvas, Face, Metadata, Scene, Text, wrapped};

/// One view with what stands under it.
#[derive(Debug, Clone)]
pub struct Tile {
    /// What reaches the retina, in device codes of the room's screen.
    pub picture: RgbImage,
    /// Pupil, lens error and line.
    pub caption: String,
}

impl Tile {
    /// Looks at a close-up, to be shown on a display; the pupil in words.
    #[must_use]
    pub fn new(close_up: &CloseUp, eye: &Eye, pupil: &str, lens_error: Dioptres, display: &Display) -> Self {
        let caption = format!("{pupil}   {lens_error}   {}", close_up.line);
        Self { picture: close_up.seen(eye, lens_error).to_codes(display), caption }
    }
}

/// Tiles in rows on black, with sentences beneath.
///
/// Pixel for pixel: show it unscaled, or the views are blurred once more.
#[derive(Debug, Clone)]
pub struct TileSheet {
    /// The rows, all tiles of one size.
    pub rows: Vec<Vec<Tile>>,
    /// What stands beneath.
    pub sentences: Vec<String>,
}

/// The em of captions in pixels, at least, and as a share of a tile's height.
const EM_PX: f64 = 15.0;
const EM_SHARE: f64 = 0.1;

impl TileSheet {
    /// The sheet in device codes of the room's screen, pixel for pixel.
    #[must_use]
    pub fn draw(&self, room: &Room) -> RgbImage {
        let Some(first) = self.rows.first().and_then(|row| row.first()) else { return RgbImage::new(1, 1) };
        let [width, height] = [first.picture.width(), first.picture.height()].map(f64::from);
        let em = self.em(width, height);
        let gap = 2.0 * em;
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(1) as f64;
        let picture_width = gap + columns * (width + gap);
        let style = Style { face: Face::Regular, em: Length::mm(em), paint: GLOW };
        let small = style.in_paint(DIM);
        let mut canvas = Canvas::default();
        let mut top = gap;
        for row in &self.rows {
            for (index, tile) in row.iter().enumerate() {
                let left = gap + index as f64 * (width + gap);
                canvas.write(&tile.caption, style, Anchor::Left, [left, top + height + 1.5 * em]);
            }
            top += height + 1.5 * em + gap;
        }
        for sentence in self.sentences.iter().flat_map(|said| wrapped(said, small, picture_width - 2.0 * gap))
        {
            canvas.write(&sentence, small, Anchor::Left, [gap, top + em]);
            top += small.leading();
        }
        let size = [picture_width, top + gap];
        // A millimetre of this scene is a pixel.
        let scene = Scene {
            size: size.map(Length::mm),
            background: NIGHT,
            shapes: canvas.shapes,
            metadata: Metadata::default(),
        };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some thousand pixels")]
        let pixels = size.map(|side| side.ceil() as u32);
        let mut sheet = raster::draw(&scene, pixels, &room.display);
        self.lay(&mut sheet, [gap, width, height, em]);
        sheet
    }

    /// The em of captions in pixels: the longest is no wider than its tile.
    fn em(&self, width: f64, height: f64) -> f64 {
        let longest = self
            .rows
            .iter()
            .flatten()
            .map(|tile| Text::new(&tile.caption, Face::Regular, Length::mm(1.0)).width().to_mm())
            .fold(0.0, f64::max);
        (height * EM_SHARE).max(EM_PX).min(width / longest).floor()
    }

    #[allow(clippy::cast_possible_truncation, reason = "some thousand pixels")]
    fn lay(&self, sheet: &mut RgbImage, [gap, width, height, em]: [f64; 4]) {
        for (number, row) in self.rows.iter().enumerate() {
            let top = gap + number as f64 * (height + 1.5 * em + gap);
            for (index, tile) in row.iter().enumerate() {
                let left = gap + index as f64 * (width + gap);
                imageops::replace(sheet, &tile.picture, left as i64, top as i64);
            }
        }
    }
}
