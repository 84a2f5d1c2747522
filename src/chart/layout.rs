use kurbo::{Affine, Rect};

use super::colours::INK;
use super::label::{self, Labels};
use super::{FieldColours, Request, metadata};
use crate::acuity::{Acuity, Notation, STANDARD_LINES};
use crate::optotype::{Draw, Optotype, STROKES_A_SIDE};
use crate::quantity::{Angle, Length};
use crate::room::{LEAST_STROKE_PX, Room};
use crate::scene::{Geometry, Metadata, Paint, Scene, Shape};

/// How many letters a line has where there is room. ISO 8596 is said to ask for five (from memory); also common practice.
const LETTERS_A_LINE: usize = 5;

/// A chart ready to be drawn.
#[derive(Debug, Clone)]
pub struct Chart {
    /// The picture as the screen shows it.
    pub scene: Scene,
    /// Its lines, from the top.
    pub lines: Vec<DrawnLine>,
    /// What paints its fields, as the patient sees them.
    pub colours: FieldColours,
}

/// One line of a chart, the same on every field.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnLine {
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
    /// No line at all.
    #[error("a chart of no lines shows nothing: ask for a line such as 20/40")]
    NoLines,
    /// One line more than once.
    #[error("line {0} is named twice: a line stands on both fields already, so name it once")]
    Twice(Acuity),
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

/// Letter height for a line at a distance: h = 2·d·tan(2.5′ · MAR), a letter being five strokes of MAR high.
///
/// The tests hold it against 8.73 mm for 6/6 at 6 m and against the 4 m table of the University of Rome II.
#[must_use]
pub fn letter_height(acuity: Acuity, distance: Length) -> Length {
    let half = Angle::arcmin(acuity.to_mar() * STROKES_A_SIDE / 2.0);
    distance * (2.0 * half.to_radians().tan())
}

/// The smallest standard line whose strokes have at least `stroke_px` pixels in a room.
#[must_use]
pub fn smallest_line(room: &Room, stroke_px: f64) -> Option<Acuity> {
    let screen = &room.screen;
    standard_lines().rfind(|line| self::stroke_px(*line, room.viewing.distance, screen.pitch) >= stroke_px)
}

/// The standard lines, largest letters first.
fn standard_lines() -> impl DoubleEndedIterator<Item = Acuity> {
    STANDARD_LINES.iter().map(|line| Acuity::standard(line.tenths))
}

/// The width of a line's stroke at a distance in pixels, along the axis that has fewer.
#[must_use]
pub fn stroke_px(acuity: Acuity, distance: Length, [across, down]: [Length; 2]) -> f64 {
    let coarser = if across > down { across } else { down };
    letter_height(acuity, distance) / STROKES_A_SIDE / coarser
}

/// A line's name, or words that say that there is none.
fn name_of(line: Option<Acuity>) -> String {
    line.map_or_else(|| "none of the standard lines".into(), |line| line.to_string())
}

impl Chart {
    pub(super) fn lay_out(
        request: &Request,
        room: &Room,
        colours: &FieldColours,
    ) -> Result<Self, LayoutError> {
        let mut acuities = request.lines.clone();
        acuities.sort_by(|one, other| other.to_log_mar().total_cmp(&one.to_log_mar()));
        #[allow(clippy::float_cmp, reason = "a line that is named twice has the same bits")]
        if let Some(pair) = acuities.windows(2).find(|pair| pair[0].to_log_mar() == pair[1].to_log_mar()) {
            return Err(LayoutError::Twice(pair[0]));
        }
        let frame = Frame::new(room, colours, request.labels);
        let rows = frame.rows(&acuities)?;
        let mut draw = Draw::new(request.letters, request.seed);
        let mut scene = frame.empty(colours);
        let mut lines = Vec::new();
        for row in &rows {
            let letters: Vec<Optotype> = draw.by_ref().take(row.count).collect();
            for left in frame.field_lefts() {
                scene.shapes.extend(row.shapes(&letters, left));
            }
            let [height, left, top] = [row.height, row.left, row.top].map(Length::mm);
            lines.push(DrawnLine { acuity: row.acuity, letters, height, corner: [left, top] });
        }
        if room.viewing.mirror {
            scene = scene.mirrored();
        }
        scene.shapes.extend(frame.labels(&rows, colours, room));
        scene.metadata = metadata::of(request, room, colours, &lines);
        Ok(Self { scene, lines, colours: *colours })
    }
}

/// The picture and its fields, as the patient sees them.
struct Frame {
    distance: Length,
    pixels: [u32; 2],
    pitch: [Length; 2],
    size: [Length; 2],
    /// The column where two fields meet.
    seam: Option<u32>,
    labels: Option<Notation>,
}

impl Frame {
    fn new(room: &Room, colours: &FieldColours, labels: Option<Notation>) -> Self {
        let screen = &room.screen;
        Self {
            distance: room.viewing.distance,
            pixels: screen.pixels,
            pitch: screen.pitch,
            size: screen.size(),
            seam: colours.right.map(|_| screen.pixels[0] / 2),
            labels,
        }
    }

    /// The width of a field; where the columns are odd, of the narrower one.
    fn field_width(&self) -> Length {
        self.pitch[0] * f64::from(self.seam.unwrap_or(self.pixels[0]))
    }

    /// Where fields begin. The second follows by whole pixels, so the edges of its letters fall like the first one's.
    fn field_lefts(&self) -> Vec<f64> {
        std::iter::once(0.0).chain(self.seam.map(|seam| (self.pitch[0] * f64::from(seam)).to_mm())).collect()
    }

    fn empty(&self, colours: &FieldColours) -> Scene {
        let [width, height] = self.size.map(Length::to_mm);
        let right = colours.right.zip(self.field_lefts().get(1).copied()).map(|(paint, left)| Shape {
            geometry: Geometry::Rect(Rect::new(left, 0.0, width, height)),
            paint,
        });
        Scene {
            size: self.size,
            background: colours.left,
            shapes: right.into_iter().collect(),
            metadata: Metadata::default(),
        }
    }

    fn rows(&self, acuities: &[Acuity]) -> Result<Vec<Row>, LayoutError> {
        let sized = acuities.iter().map(|acuity| self.sized(*acuity)).collect::<Result<Vec<_>, _>>()?;
        let Some(first) = sized.first() else {
            return Err(LayoutError::NoLines);
        };
        let gaps = sized[1..].iter().map(|row| row.height);
        let height = sized.iter().map(|row| row.height).chain(gaps).fold(0.0, |sum, part| sum + part);
        let picture = self.size[1];
        if height + 2.0 * first.height > picture.to_mm() {
            let height = Length::mm(height + 2.0 * first.height);
            return Err(LayoutError::TooHigh { lines: sized.len(), first: first.acuity, height, picture });
        }
        let mut top = self.whole_pixels(1, (picture.to_mm() - height) / 2.0);
        let mut rows = sized;
        for (index, row) in rows.iter_mut().enumerate() {
            if index > 0 {
                top += row.height;
            }
            row.top = top;
            top += row.height;
        }
        Ok(rows)
    }

    /// A row of which only the top is not yet known.
    fn sized(&self, acuity: Acuity) -> Result<Row, LayoutError> {
        let height = letter_height(acuity, self.distance);
        let stroke_px = |line: Acuity| stroke_px(line, self.distance, self.pitch);
        if stroke_px(acuity) < LEAST_STROKE_PX {
            let smallest = name_of(standard_lines().rfind(|line| stroke_px(*line) >= LEAST_STROKE_PX));
            let stroke_px = stroke_px(acuity);
            return Err(LayoutError::TooSmall { line: acuity, stroke_px, smallest });
        }
        let count = self.count(height);
        if count == 0 {
            let fits = |line: &Acuity| self.count(letter_height(*line, self.distance)) > 0;
            let largest = name_of(standard_lines().find(fits));
            let (field, labelled) = (self.field_width(), self.labels.is_some());
            return Err(LayoutError::TooWide { line: acuity, height, field, largest, labelled });
        }
        let mm = height.to_mm();
        let left = (self.field_width().to_mm() - mm * letters_and_gaps(count)) / 2.0;
        Ok(Row { acuity, height: mm, count, left: self.whole_pixels(0, left), top: 0.0 })
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

    /// The nearest place in millimetres where a pixel begins, so that the outermost edges are crisp.
    fn whole_pixels(&self, axis: usize, mm: f64) -> f64 {
        let pitch = self.pitch[axis].to_mm();
        (mm / pitch).round() * pitch
    }

    /// The rows' names at the outer edge of each field, to be read on the screen itself, so never mirrored.
    fn labels(&self, rows: &[Row], colours: &FieldColours, room: &Room) -> Vec<Shape> {
        let Some(notation) = self.labels else { return Vec::new() };
        let middle = |row: &Row| row.top + row.height / 2.0;
        let spacing = rows.windows(2).map(|pair| middle(&pair[1]) - middle(&pair[0])).reduce(f64::min);
        let labels = Labels::new(notation, self.size[1], spacing.map(Length::mm));
        let (first, second) = (colours.left, colours.right);
        let ends = match second {
            None => vec![(false, first)],
            Some(second) if room.viewing.mirror => vec![(false, second), (true, first)],
            Some(second) => vec![(false, first), (true, second)],
        };
        let at = |row: &Row, (at_right, field): (bool, Paint)| {
            label::shape(
                labels.outline(row.acuity, self.size[0], at_right, middle(row)),
                field,
                &room.display,
            )
        };
        rows.iter()
            .flat_map(|row| ends.iter().map(move |end| (row, *end)))
            .map(|(row, end)| at(row, end))
            .collect()
    }
}

/// The width of a row in letter widths: letters with gaps of their own width.
fn letters_and_gaps(count: usize) -> f64 {
    let letters = u32::try_from(count).map_or(f64::INFINITY, f64::from);
    2.0 * letters - 1.0
}

/// A line's place on a field, in millimetres from the field's corner.
struct Row {
    acuity: Acuity,
    height: f64,
    count: usize,
    left: f64,
    top: f64,
}

impl Row {
    fn shapes<'a>(&'a self, letters: &'a [Optotype], field_left: f64) -> impl Iterator<Item = Shape> + 'a {
        let places =
            (0_u32..).map(move |index| field_left + self.left + 2.0 * f64::from(index) * self.height);
        letters.iter().zip(places).map(move |(letter, left)| {
            let place = Affine::translate((left, self.top)) * Affine::scale(self.height / STROKES_A_SIDE);
            Shape { geometry: Geometry::Path(place * letter.outline()), paint: INK }
        })
    }
}
