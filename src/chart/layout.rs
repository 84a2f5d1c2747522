//! Where the letters of a chart stand, whatever its colours.
//!
//! Rows from the top, the largest letters first, letters their own width apart and as much air around them. Each row begins where
//! a pixel begins, and the second field is the first one moved by whole pixels, so that both have the same grey edges.

use kurbo::{Affine, Rect};

use super::colours::INK;
use super::label::Labels;
use super::size::{letter_height, stroke_px};
use super::{FieldColours, Request};
use crate::acuity::{Acuity, Notation};
use crate::light::Fields;
use crate::optotype::{Draw, Optotype, STROKES_A_SIDE};
use crate::quantity::Length;
use crate::room::{LEAST_STROKE_PX, Room};
use crate::scene::{Geometry, Metadata, Scene, Shape};

/// How many letters a line has where there is room. ISO 8596 is said to ask for five (from memory); also common practice.
pub const LETTERS_A_LINE: usize = 5;

/// How far the second field of a close-up goes on to each side, in widths of the picture: the light beside the picture
/// reaches the eye as well.
const GROUND_BEYOND: f64 = 1e3;

/// Rows of letters on one field or on two.
///
/// It knows no colour, so one layout serves every field and every page; [`painted`](Self::painted) gives it its paints. Lengths
/// are in the picture as the patient sees it: a mirror comes later.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Its rows, from the top.
    pub rows: Vec<Row>,
    /// The picture, across and down.
    pub size: [Length; 2],
    /// Where the second field begins, from the left, if there are two.
    pub seam: Option<Length>,
    /// How far the second field goes on beyond the picture, above, below and to the right.
    beyond: Length,
}

/// One line of a chart, the same on every field.
///
/// The letters stand a letter's width apart, so letter `n` begins `2·n·height` to the right of the corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its size.
    pub acuity: Acuity,
    /// Its letters from left to right as the patient sees them.
    pub letters: Vec<Optotype>,
    /// Their height.
    pub height: Length,
    /// Where the first of them begins, from the upper left corner of its field.
    pub corner: [Length; 2],
}

/// Why lines do not suit the screen.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LayoutError {
    /// Strokes of fewer pixels than can draw them.
    #[error(
        "line {line} has strokes of {stroke_px:.2} px on this screen at this distance, under 2 px: \
         the smallest line that can be drawn here is {smallest}"
    )]
    TooSmall {
        /// The line.
        line: Acuity,
        /// Its stroke in pixels.
        stroke_px: f64,
        /// The smallest standard line that can be drawn.
        smallest: String,
    },
    /// Not one letter fits across.
    #[error(
        "line {line} has letters of {height}, too large for a field {field} wide with their own width of air{}: the largest line that fits is {largest}",
        if *labelled { " and labels" } else { "" }
    )]
    TooWide {
        /// The line.
        line: Acuity,
        /// Its letters' height.
        height: Length,
        /// A field's width.
        field: Length,
        /// The largest standard line of which a letter fits.
        largest: String,
        /// Whether labels take some of the room.
        labelled: bool,
    },
    /// All lines together do not fit down.
    #[error(
        "{}, with gaps and with {first}'s height of air above and below, take {height} of a picture {picture} high: ask for fewer or smaller lines",
        if *lines == 1 { format!("line {first}") } else { format!("{lines} lines from {first} down") }
    )]
    TooHigh {
        /// How many lines.
        lines: usize,
        /// The largest.
        first: Acuity,
        /// Their height together, with gaps and air.
        height: Length,
        /// The picture's height.
        picture: Length,
    },
}

/// A line's name, or words that say that there is none.
fn name_of(line: Option<Acuity>) -> String {
    line.map_or_else(|| "none of the standard lines".into(), |line| line.to_string())
}

impl Layout {
    /// Where the letters of a request stand on the screen of a room, as the patient sees them.
    ///
    /// # Errors
    /// Lines that do not suit the room's pixels and size.
    pub fn new(request: &Request, room: &Room) -> Result<Self, LayoutError> {
        let frame = Frame::new(request, room);
        let mut rows = frame.rows(request.lines.as_slice())?;
        let mut draw = Draw::new(request.letters, request.seed);
        for (row, count) in &mut rows {
            row.letters = draw.by_ref().take(*count).collect();
        }
        let seam = frame.seam.map(|seam| frame.pitch[0] * f64::from(seam));
        let rows = rows.into_iter().map(|(row, _)| row).collect();
        Ok(Self { rows, size: frame.size, seam, beyond: Length::mm(0.0) })
    }

    /// A number of letters of a request's first line, at a distance, drawn together at the border of the fields with one
    /// letter's air around. Letters, their size and the fields are those of the room's chart; only the empty field between
    /// them is left out.
    ///
    /// ```
    /// use evenfield::chart::{Layout, Request, letter_height};
    /// use evenfield::quantity::Length;
    /// // Worked by hand for two letters: two, the gap between and one width of air at each end make a field of five letter
    /// // widths, both fields ten; air above and below makes three heights.
    /// const BINARY_DUST: f64 = 1e-9;
    /// let (line, distance) = ("20/40".parse()?, Length::m(4.0));
    /// let layout = Layout::close_up(&Request::new(line), distance, 2);
    /// let in_letters = layout.size.map(|side| side / letter_height(line, distance));
    /// assert!((in_letters[0] - 10.0).abs() < BINARY_DUST && (in_letters[1] - 3.0).abs() < BINARY_DUST);
    /// # Ok::<_, evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn close_up(request: &Request, distance: Length, letters: usize) -> Self {
        let acuity = request.lines.first();
        let height = letter_height(acuity, distance);
        let field = height * (letters_and_gaps(letters) + 2.0);
        let seam = (request.fields == Fields::RedGreen).then_some(field);
        let width = seam.map_or(field, |seam| seam + field);
        let letters = Draw::new(request.letters, request.seed).take(letters).collect();
        let row = Row { acuity, letters, height, corner: [height; 2] };
        Self { rows: vec![row], size: [width, height * 3.0], seam, beyond: field * GROUND_BEYOND }
    }

    /// The picture in colours, as the patient sees it, without labels or words.
    #[must_use]
    pub fn painted(&self, colours: &FieldColours) -> Scene {
        let mut shapes: Vec<Shape> = self.second_field(colours).into_iter().collect();
        for row in &self.rows {
            shapes.extend(row.shapes(Length::mm(0.0)));
            shapes.extend(self.seam.iter().flat_map(|seam| row.shapes(*seam)));
        }
        Scene { size: self.size, background: colours.left, shapes, metadata: Metadata::default() }
    }

    fn second_field(&self, colours: &FieldColours) -> Option<Shape> {
        let [width, height] = self.size.map(Length::to_mm);
        let (seam, beyond) = (self.seam?.to_mm(), self.beyond.to_mm());
        let field = Rect::new(seam, -beyond, width + beyond, height + beyond);
        Some(Shape { geometry: Geometry::Rect(field), paint: colours.right? })
    }
}

impl Row {
    /// Its letters on a field that begins at `field`.
    fn shapes(&self, field: Length) -> impl Iterator<Item = Shape> {
        let [left, top] = self.corner.map(Length::to_mm);
        let height = self.height.to_mm();
        let first = field.to_mm() + left;
        self.letters.iter().zip(0_u32..).map(move |(letter, index)| {
            let place = (first + 2.0 * f64::from(index) * height, top);
            let place = Affine::translate(place) * Affine::scale(height / STROKES_A_SIDE);
            Shape { geometry: Geometry::Path(place * letter.outline()), paint: INK }
        })
    }

    /// How far down its middle is.
    pub(super) fn middle(&self) -> Length {
        self.corner[1] + self.height * 0.5
    }
}

/// The picture and its fields, as the patient sees them.
struct Frame {
    distance: Length,
    pixels: [u32; 2],
    pitch: [Length; 2],
    size: [Length; 2],
    /// The column where two fields meet. The second follows by whole pixels, so the edges of its letters fall like the first
    /// one's.
    seam: Option<u32>,
    labels: Option<Notation>,
}

impl Frame {
    fn new(request: &Request, room: &Room) -> Self {
        let screen = &room.screen;
        Self {
            distance: room.viewing.distance,
            pixels: screen.pixels,
            pitch: screen.pitch,
            size: screen.size(),
            seam: (request.fields == Fields::RedGreen).then_some(screen.pixels[0] / 2),
            labels: request.labels,
        }
    }

    /// The width of a field; where the columns are odd, of the narrower one.
    fn field_width(&self) -> Length {
        self.pitch[0] * f64::from(self.seam.unwrap_or(self.pixels[0]))
    }

    /// Rows still without letters, and how many letters each has.
    fn rows(&self, lines: &[Acuity]) -> Result<Vec<(Row, usize)>, LayoutError> {
        let mut rows = lines.iter().map(|line| self.sized(*line)).collect::<Result<Vec<_>, _>>()?;
        let first = &rows[0].0;
        let air = first.height * 2.0;
        let gaps = rows[1..].iter().map(|(row, _)| row.height);
        let height =
            rows.iter().map(|(row, _)| row.height).chain(gaps).fold(Length::mm(0.0), |sum, part| sum + part);
        let picture = self.size[1];
        if height + air > picture {
            return Err(LayoutError::TooHigh {
                lines: rows.len(),
                first: first.acuity,
                height: height + air,
                picture,
            });
        }
        let mut top = self.whole_pixels(1, (picture - height) / 2.0);
        for (index, (row, _)) in rows.iter_mut().enumerate() {
            if index > 0 {
                top = top + row.height;
            }
            row.corner[1] = top;
            top = top + row.height;
        }
        Ok(rows)
    }

    /// A row of which only top and letters are not yet known, and how many letters it has.
    fn sized(&self, acuity: Acuity) -> Result<(Row, usize), LayoutError> {
        let height = letter_height(acuity, self.distance);
        let stroke_px = |line: Acuity| stroke_px(line, self.distance, self.pitch);
        if stroke_px(acuity) < LEAST_STROKE_PX {
            let smallest =
                name_of(Acuity::standard_lines().rfind(|line| stroke_px(*line) >= LEAST_STROKE_PX));
            let stroke_px = stroke_px(acuity);
            return Err(LayoutError::TooSmall { line: acuity, stroke_px, smallest });
        }
        let count = self.count(height);
        if count == 0 {
            let fits = |line: &Acuity| self.count(letter_height(*line, self.distance)) > 0;
            let largest = name_of(Acuity::standard_lines().find(fits));
            let (field, labelled) = (self.field_width(), self.labels.is_some());
            return Err(LayoutError::TooWide { line: acuity, height, field, largest, labelled });
        }
        let left = (self.field_width() - height * letters_and_gaps(count)) / 2.0;
        let corner = [self.whole_pixels(0, left), Length::mm(0.0)];
        Ok((Row { acuity, letters: Vec::new(), height, corner }, count))
    }

    /// How many letters fit, each with a gap of its own width beside it.
    fn count(&self, height: Length) -> usize {
        let label = self.labels.map(|notation| Labels::new(notation, self.size[1], None).margin());
        let margin = label.filter(|label| *label > height).unwrap_or(height);
        (1..=LETTERS_A_LINE)
            .rev()
            .find(|count| height * letters_and_gaps(*count) + margin * 2.0 <= self.field_width())
            .unwrap_or(0)
    }

    /// The nearest place where a pixel begins, so that the outermost edges are crisp.
    fn whole_pixels(&self, axis: usize, place: Length) -> Length {
        let pitch = self.pitch[axis];
        pitch * (place / pitch).round()
    }
}

/// The width of a row in letter widths: letters with gaps of their own width.
fn letters_and_gaps(count: usize) -> f64 {
    let letters = u32::try_from(count).map_or(f64::INFINITY, f64::from);
    2.0 * letters - 1.0
}
