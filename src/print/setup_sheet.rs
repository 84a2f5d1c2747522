//! The picture by which a screen is set up without an instrument.
//!
//! Three things can be found out by looking. The bar has a known number of columns, so its length tells the pixels' size, and the
//! card's outline shows at once whether the size in the room file is right. Rows of white and black give half of white's light,
//! and melt into the grey that has it too: that grey's number is the gamma. On the match strip the faintest border of red and
//! green is their match.
//!
//! The sheet must reach the screen in the same way as the charts, pixel for pixel, or what is found on it holds for another
//! picture.

use crate::balance::words::SUPERVISION;
use crate::chart::FieldLight;
use crate::quantity::Length;
use crate::room::Room;
use crate::scene::look::{DIM, GLOW, NIGHT, Style};
use crate::scene::{Anchor, CARD_MM, Canvas, Face, Metadata, Paint, Scene, TextBlock, fitted, run};

/// What stands in the card's outline, or below it where the card is small against the picture.
const CARD: &str = "2  bank card";
const CAPTION_IN_CARD: f64 = 0.8;

/// The share of the picture's columns that the bar takes, whatever the room file says of their size.
const BAR_SHARE: (u32, u32) = (4, 5);

/// How many digits would fill the picture's height, one below the other, and how many of their heights its width.
const DIGITS_DOWN: f64 = 46.0;
const DIGITS_ACROSS: f64 = 82.0;

/// Minimum height of a digit: legible at arm's length.
const LEAST_DIGIT_MM: f64 = 2.4;

/// The exponents of the tone steps.
const GAMMAS: [f64; 5] = [1.8, 2.0, 2.2, 2.4, 2.6];

const WHITE: Paint = Paint { codes: [255; 3] };
const BLACK: Paint = Paint { codes: [0; 3] };

/// What to do, in four short steps; the command that takes each answer stands beside what is looked at.
const WHAT_TO_DO: [&str; 4] = [
    "Hold a steel rule to the bar at the foot. Is it as long as it says?",
    "Hold a bank card to its outline. If it does not fit, the size is wrong.",
    "Step back. Which grey can no longer be told from its stripes?",
    "Which border of red and green is hardest to see? Only ordinary colour vision can tell.",
];

/// What spoils every reading, to be seen to first.
const BEFORE: &str = "First let the screen warm up for 30 minutes, at its native resolution and without overscan. Switch \
                      off auto-brightness, night colour, HDR, dynamic contrast and power dimming.";

/// What is added where charts are seen through a mirror.
const AT_THE_SCREEN: &str = " Read 1 to 3 at the screen and 4 in the mirror, where the patient sees it: its steps are turned round for that.";

/// A picture for the whole screen that tells its size, its tone curve and its match without an instrument.
#[derive(Debug, Clone)]
pub struct SetupSheet {
    /// The picture.
    pub scene: Scene,
    /// The columns of the bar.
    pub bar_px: u32,
    /// The green codes of the match strip, from step 1.
    pub greens: Vec<u8>,
}

/// The columns of the bar on a picture of `columns`: what a measured length is divided by.
///
/// ```
/// # use evenfield::print::bar_px;
/// // Four fifths of 1920 columns. A bar of 421.6 mm then means a picture of 421.6 · 1920/1536 = 527 mm.
/// assert_eq!(bar_px(1920), 1536);
/// ```
#[must_use]
pub fn bar_px(columns: u32) -> u32 {
    columns * BAR_SHARE.0 / BAR_SHARE.1
}

impl SetupSheet {
    /// Lays the sheet out for a room with the light of its charts. It is read at the screen, so it is not mirrored, but for the steps
    /// of the match, which are looked at in the mirror.
    ///
    /// ```
    /// # use evenfield::{chart::FieldLight, print::SetupSheet, room::Room};
    /// let room = Room::demo();
    /// let sheet = SetupSheet::new(&room, &FieldLight::new(&room.display, None)?);
    /// assert_eq!((sheet.bar_px, sheet.greens[4]), (1536, 145));
    /// # Ok::<(), evenfield::chart::ColourError>(())
    /// ```
    #[must_use]
    pub fn new(room: &Room, light: &FieldLight) -> Self {
        let mut sheet = Sheet::new(room);
        let text_bottom = sheet.heading(room);
        sheet.card();
        sheet.place_rows(text_bottom);
        let greens = light.match_steps();
        sheet.tone_steps();
        sheet.match_strip(light.red, &greens, room.viewing.mirror);
        let bar_px = bar_px(room.screen.pixels[0]);
        sheet.bar(bar_px);
        Self { scene: sheet.scene(), bar_px, greens }
    }
}

/// The sheet as it grows, from the top: lengths in millimetres.
struct Sheet {
    canvas: Canvas,
    pixels: [u32; 2],
    width: f64,
    height: f64,
    /// The height of a digit, on which all spaces hang.
    digit: f64,
    margin: f64,
    pitch: [f64; 2],
    /// Where the rows under the heading begin, and how high each of the two is with its caption.
    rows_top: f64,
    row: f64,
}

impl Sheet {
    fn new(room: &Room) -> Self {
        let [width, height] = room.screen.size().map(Length::to_mm);
        let digit = (height / DIGITS_DOWN).min(width / DIGITS_ACROSS).max(LEAST_DIGIT_MM);
        let margin = 2.5 * digit;
        Self {
            width,
            height,
            digit,
            margin,
            pitch: room.screen.pitch.map(Length::to_mm),
            rows_top: 0.0,
            row: 0.0,
            canvas: Canvas::default(),
            pixels: room.screen.pixels,
        }
    }

    /// Puts the two rows between heading and card above and the bar below.
    fn place_rows(&mut self, text_bottom: f64) {
        self.rows_top = text_bottom.max(self.margin + CARD_MM[1] + 2.0 * self.digit);
        let bar_top = self.height - self.margin - 3.2 * self.digit;
        self.row = (bar_top - self.digit - self.rows_top) / 2.0;
    }

    fn scene(self) -> Scene {
        let [columns, rows] = self.pixels;
        Scene {
            size: [self.width, self.height].map(Length::mm),
            background: NIGHT,
            shapes: self.canvas.shapes,
            metadata: Metadata {
                title: "Setup sheet".into(),
                description: format!("For a screen of {columns} × {rows} pixels, full screen, at 100 %."),
                json: String::new(),
            },
        }
    }

    fn style(&self, paint: Paint) -> Style {
        Style { face: Face::Regular, em: Face::Regular.em_of_digits(Length::mm(self.digit)), paint }
    }

    fn text(&mut self, caption: &str, left: f64, baseline: f64, paint: Paint) {
        self.canvas.write(caption, self.style(paint), Anchor::Left, [left, baseline]);
    }

    fn centred(&mut self, caption: &str, middle: f64, baseline: f64, paint: Paint) {
        self.canvas.write(caption, self.style(paint), Anchor::Centre, [middle, baseline]);
    }

    /// The nearest place where a pixel begins, along an axis.
    fn whole_pixels(&self, axis: usize, mm: f64) -> f64 {
        (mm / self.pitch[axis]).round() * self.pitch[axis]
    }

    /// Writes the heading and what to do, and gives the place below them.
    fn heading(&mut self, room: &Room) -> f64 {
        let title = room.name().map_or_else(String::new, |name| format!(": {name}"));
        let (left, mut baseline) = (self.margin, self.margin + 1.4 * self.digit);
        let body = self.style(GLOW);
        let heading = Style { em: body.em * 1.25, ..body };
        let title =
            fitted(&format!("Setup sheet{title}"), heading, self.card_left() - left - 2.0 * self.digit);
        self.canvas.write(&title, heading, Anchor::Left, [left, baseline]);
        baseline += 2.7 * self.digit;
        let before = BEFORE.to_owned() + if room.viewing.mirror { AT_THE_SCREEN } else { "" };
        let room = self.card_left() - left - 2.0 * self.digit;
        let mut top = baseline - body.em.to_mm();
        top = self.lines(TextBlock::new(&before, self.style(DIM), room), top) + 0.9 * self.digit;
        for (number, step) in (1_u8..).zip(WHAT_TO_DO) {
            let number = number.to_string();
            let block = TextBlock::hanging((&number, body), 1.9 * self.digit, (step, body), room);
            top = self.lines(block, top) + 0.4 * self.digit;
        }
        top + body.em.to_mm()
    }

    /// Draws words from the left margin; says where they end below.
    fn lines(&mut self, block: TextBlock, top: f64) -> f64 {
        block.with_leading(1.5 * self.digit).draw(&mut self.canvas, [self.margin, top])
    }

    fn card_left(&self) -> f64 {
        self.width - self.margin - CARD_MM[0]
    }

    /// The outline as a ring two pixels wide, whose outer edge is the card's.
    fn card(&mut self) {
        let [width, height] = CARD_MM;
        let (left, top) = (self.card_left(), self.margin);
        self.canvas.card([left, top], 2.0 * self.pitch[0], GLOW);
        let caption = run(CARD, self.style(DIM));
        if caption < CAPTION_IN_CARD * width {
            self.centred(CARD, left + width / 2.0, top + height / 2.0 + self.digit / 2.0, DIM);
        } else {
            self.text(CARD, left + width - caption, top + height + 1.8 * self.digit, DIM);
        }
    }

    /// Red over green in steps, border on border; nothing moves and nothing flickers. Where a mirror turns them round, they are turned
    /// round before, so that they read there from 1 on.
    fn match_strip(&mut self, red: Paint, greens: &[u8], mirror: bool) {
        let top = self.rows_top + self.row;
        self.text(
            "4  Match, the faintest border, again until it is 5: evenfield room set … --matched-step NUMBER",
            self.margin,
            top + self.digit,
            DIM,
        );
        let (patch_top, bottom) = (top + 2.0 * self.digit, top + self.row - 3.6 * self.digit);
        let border = self.whole_pixels(1, (patch_top + bottom) / 2.0);
        let count = f64::from(u8::try_from(greens.len()).unwrap_or(u8::MAX));
        let slot = (self.width - 2.0 * self.margin + self.digit) / count;
        let caption = self.canvas.shapes.len();
        for (number, green) in (1_u8..).zip(greens) {
            let left = self.margin + slot * f64::from(number - 1);
            let right = left + slot - self.digit;
            self.canvas.rect([left, patch_top, right, border], red);
            self.canvas.rect([left, border, right, bottom], Paint { codes: [0, *green, 0] });
            self.centred(&number.to_string(), (left + right) / 2.0, bottom + 1.6 * self.digit, GLOW);
        }
        if mirror {
            let (steps, width) = (self.canvas.shapes.split_off(caption), Length::mm(self.width));
            self.canvas.shapes.extend(steps.into_iter().map(|shape| shape.mirrored(width)));
        }
    }

    /// Rows of white and black, half the light of white, around the grey that equals them at each gamma.
    fn tone_steps(&mut self) {
        let top = self.rows_top;
        self.text(
            "3  Tone, the grey that vanishes: evenfield room set … --matched-gamma NUMBER",
            self.margin,
            top + self.digit,
            DIM,
        );
        let (patch_top, bottom) =
            (self.whole_pixels(1, top + 2.0 * self.digit), top + self.row - 3.6 * self.digit);
        let slot = (self.width - 2.0 * self.margin + self.digit) / 5.0;
        for (number, gamma) in (0_u8..).zip(GAMMAS) {
            let left = self.whole_pixels(0, self.margin + slot * f64::from(number));
            let right = self.whole_pixels(0, left + slot - self.digit);
            self.canvas.rect([left, patch_top, right, bottom], BLACK);
            let mut row = patch_top;
            while row + self.pitch[1] <= bottom {
                self.canvas.rect([left, row, right, row + self.pitch[1]], WHITE);
                row += 2.0 * self.pitch[1];
            }
            let (wide, high) = ((right - left) / 3.0, (bottom - patch_top) / 4.0);
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of 255")]
            let grey = (0.5_f64.powf(1.0 / gamma) * 255.0).round() as u8;
            self.canvas.rect(
                [left + wide, patch_top + high, right - wide, bottom - high],
                Paint { codes: [grey; 3] },
            );
            self.centred(&format!("{gamma:.1}"), (left + right) / 2.0, bottom + 1.6 * self.digit, GLOW);
        }
    }

    /// From the first to the last lit column.
    fn bar(&mut self, px: u32) {
        let length = f64::from(px) * self.pitch[0];
        let left = self.whole_pixels(0, (self.width - length) / 2.0);
        let top = self.height - self.margin - self.digit;
        self.canvas.rect([left, top, left + length, top + self.digit], WHITE);
        let caption = format!("1  Bar: {length:.1} mm? If not: evenfield room set … --measured-bar LENGTH");
        self.text(&caption, left, top - 0.9 * self.digit, DIM);
        let small = Length::mm((0.75 * self.digit).max(LEAST_DIGIT_MM));
        let style = Style { em: Face::Regular.em_of_digits(small), ..self.style(DIM) };
        let words = fitted(SUPERVISION, style, self.width - 2.0 * self.margin);
        let place = [self.width / 2.0, self.height - 0.7 * self.digit];
        self.canvas.write(&words, style, Anchor::Centre, place);
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Shape as _;

    use super::*;
    use crate::scene::Geometry;

    /// Words with their place; none of another shape.
    fn words(shape: &crate::scene::Shape) -> Option<(String, kurbo::Rect)> {
        match &shape.geometry {
            Geometry::Text(text) => Some((text.words().to_owned(), text.outline().bounding_box())),
            Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Image(_) => None,
        }
    }

    fn sheet(pixels: [u32; 2], [width, height]: [f64; 2], mirror: bool) -> SetupSheet {
        let text = format!(
            "name = \"Quillhaven practice, room 3\"\n[viewing]\ndistance_mm = 3000\nmirror = {mirror}\n[screen]\n\
             pixels = {pixels:?}\nsize_mm = [{width}, {height}]\n"
        );
        let room = Room::from_toml(&text, "room").unwrap();
        SetupSheet::new(&room, &FieldLight::new(&room.display, None).unwrap())
    }

    #[test]
    fn steps_that_are_looked_at_in_a_mirror_read_there_from_the_left() {
        // Where each green begins, and where the number of each step does, from the left.
        let strip = |mirror: bool| {
            let sheet = sheet([1920, 1080], [527.0, 296.44], mirror);
            let left = |green: u8| {
                let patch = |shape: &&crate::scene::Shape| shape.paint.codes == [0, green, 0];
                let patch = sheet.scene.shapes.iter().find(patch).unwrap();
                let Geometry::Rect(patch) = &patch.geometry else { panic!("a patch is a rectangle") };
                patch.x0
            };
            let number = |wanted: u8| {
                // The last of that name: the steps of what to do are numbered as well.
                let all = sheet.scene.shapes.iter().rev().filter_map(words);
                all.into_iter().find(|(said, _)| *said == wanted.to_string()).unwrap().1.x0
            };
            (
                sheet.greens.iter().map(|green| left(*green)).collect::<Vec<_>>(),
                (1..=9).map(number).collect::<Vec<_>>(),
            )
        };
        let ((greens, numbers), (turned, names)) = (strip(false), strip(true));
        assert!(greens.is_sorted() && numbers.is_sorted());
        assert!(turned.iter().rev().is_sorted() && names.iter().rev().is_sorted(), "{turned:?} {names:?}");
        // Nothing of the strip has moved to another place: first and last have changed theirs.
        assert!((turned[0] - greens[8]).abs() < 1e-6 && (turned[8] - greens[0]).abs() < 1e-6);
    }

    #[test]
    fn no_words_lie_over_others_or_leave_the_screen() {
        for (pixels, width, height) in [
            ([1920, 1080], 527.0, 296.44),
            ([1366, 768], 344.0, 193.4),
            ([1280, 720], 400.0, 225.0),
            ([1024, 768], 320.0, 240.0),
            ([1024, 600], 222.0, 130.08),
        ] {
            let sheet = sheet(pixels, [width, height], true);
            let all: Vec<_> = sheet.scene.shapes.iter().filter_map(words).collect();
            assert!(all.iter().any(|(said, _)| said == SUPERVISION), "{pixels:?}");
            for (index, (said, place)) in all.iter().enumerate() {
                let inside = place.x0 > 0.0 && place.x1 < width && place.y0 > 0.0 && place.y1 < height;
                assert!(inside, "{pixels:?}: {said:?} at {place:?}");
                for (other, beside) in &all[..index] {
                    assert!(place.intersect(*beside).area() <= 0.0, "{pixels:?}: {said:?} over {other:?}");
                }
            }
        }
    }
}
