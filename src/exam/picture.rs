//! What the wall shows, down to the pixel at which each letter begins.

use serde::Serialize;

use crate::acuity::Acuity;
use crate::balance::record::OnWall;
use crate::chart::{FieldLight, Layout, LayoutError, Request};
use crate::light::{Fields, Side};
use crate::optotype::{LetterSet, STROKES_A_SIDE};
use crate::room::Room;

/// What the wall is to show, with a number that no other picture of the session has.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Picture {
    /// Its number; larger ones come later.
    pub number: u64,
    /// The chart; none leaves the wall dark.
    pub chart: Option<Drawing>,
}

/// One line of letters on one field or two, in device pixels as the patient sees them.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Drawing {
    /// The name of its line.
    pub line: String,
    /// Its fields.
    #[serde(serialize_with = "as_name")]
    pub fields: Fields,
    /// Where red lies.
    pub red: Side,
    /// The fields from the patient's left.
    pub places: Vec<FieldPlace>,
    /// Pixels a stroke, across and down.
    pub unit: [f64; 2],
    /// From the upper edge to the letters.
    pub top: f64,
    /// The letters from left to right.
    pub letters: Vec<LetterPlace>,
}

/// A field and where it lies.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FieldPlace {
    /// Its name.
    pub name: &'static str,
    /// Its codes of red, green and blue.
    pub codes: [u8; 3],
    /// Where it begins, in pixels.
    pub left: u32,
    /// How wide it is, in pixels.
    pub width: u32,
}

/// A letter and where it stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LetterPlace {
    /// Its name.
    pub name: String,
    /// From the left edge of its field, in pixels.
    pub left: f64,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it")]
fn as_name<S: serde::Serializer>(fields: &Fields, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(fields.name())
}

impl Drawing {
    /// A line of a room's chart, with the letters of a seed.
    ///
    /// # Errors
    /// Where the room cannot show that line.
    pub fn new(
        room: &Room,
        light: &FieldLight,
        letters: LetterSet,
        (line, fields, red, seed): (Acuity, Fields, Side, u64),
    ) -> Result<Self, LayoutError> {
        let request = Request { letters, fields, seed, ..Request::new(line) };
        let layout = Layout::new(&request, room)?;
        let row = &layout.rows[0];
        let pitch = room.screen.pitch;
        let unit = pitch.map(|pitch| row.height / STROKES_A_SIDE / pitch);
        let [left, top] = [0, 1].map(|axis: usize| (row.corner[axis] / pitch[axis]).round());
        let step = 2.0 * STROKES_A_SIDE * unit[0];
        let letters = (0_u32..).zip(&row.letters);
        Ok(Self {
            line: line.to_string(),
            fields,
            red,
            places: places(room, light, fields, red),
            unit,
            top,
            letters: letters
                .map(|(number, letter)| LetterPlace {
                    name: letter.name(),
                    left: left + f64::from(number) * step,
                })
                .collect(),
        })
    }

    /// The names of its letters from left to right.
    #[must_use]
    pub fn names(&self) -> Vec<String> {
        self.letters.iter().map(|letter| letter.name.clone()).collect()
    }

    /// What a wall says that shows this on a screen of a number of pixels.
    #[must_use]
    pub fn said(&self, pixels: [u32; 2]) -> OnWall {
        OnWall {
            line: self.line.clone(),
            fields: self.fields.name().into(),
            red: self.red,
            letters: self.names(),
            codes: self.places.iter().map(|place| place.codes).collect(),
            pixels,
            whole: true,
        }
    }
}

/// The fields from the patient's left; two meet at the column in the middle, or left of it where there is none.
fn places(room: &Room, light: &FieldLight, fields: Fields, red: Side) -> Vec<FieldPlace> {
    let width = room.screen.pixels[0];
    let place = |fields: Fields, left, width| {
        let paint = match fields {
            Fields::Red => light.red,
            Fields::Green => light.green,
            Fields::White | Fields::RedGreen => light.white,
        };
        FieldPlace { name: fields.name(), codes: paint.codes, left, width }
    };
    if fields != Fields::RedGreen {
        return vec![place(fields, 0, width)];
    }
    let seam = width / 2;
    let [left, right] =
        if red == Side::Left { [Fields::Red, Fields::Green] } else { [Fields::Green, Fields::Red] };
    vec![place(left, 0, seam), place(right, seam, width - seam)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;

    fn drawing(fields: Fields, red: Side) -> (Room, Drawing) {
        let room = Room::demo();
        let light = FieldLight::new(&room.display, None).unwrap();
        let line = "20/32".parse().unwrap();
        let drawing = Drawing::new(&room, &light, LetterSet::Sloan, (line, fields, red, 3)).unwrap();
        (room, drawing)
    }

    /// By hand: 20/32 is MAR 10^0.2 arcmin; five of them at 3.2 m are 2·3200·tan(5·10^0.2/2 arcmin) = 7.3766 mm high.
    #[test]
    fn letters_have_the_height_of_their_line() {
        let (room, drawing) = drawing(Fields::RedGreen, Side::Left);
        let height = drawing.unit[1] * STROKES_A_SIDE * room.screen.pitch[1].to_mm();
        let by_hand = 2.0 * 3200.0 * (5.0 * 10_f64.powf(0.2) / 60.0 / 2.0).to_radians().tan();
        assert!((height - by_hand).abs() < 1e-9, "{height} {by_hand}");
        assert!((room.viewing.distance / Length::mm(3200.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn two_fields_fill_the_screen_and_red_lies_where_it_is_told() {
        for red in [Side::Left, Side::Right] {
            let (room, drawing) = drawing(Fields::RedGreen, red);
            let [left, right] = drawing.places.as_slice() else { panic!("{:?}", drawing.places) };
            assert_eq!((left.left, left.width), (0, right.left));
            assert_eq!(right.left + right.width, room.screen.pixels[0]);
            assert_eq!(left.name == "red", red == Side::Left);
            assert_eq!(left.codes[0] > 0, red == Side::Left, "{:?}", left.codes);
        }
        let (room, white) = drawing(Fields::White, Side::Left);
        assert_eq!((white.places.len(), white.places[0].width), (1, room.screen.pixels[0]));
    }
}
