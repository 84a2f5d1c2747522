//! The room as a record of an examination has it, and the start of an eye there.
//!
//! Only what a record needs: what spoils the answers comes along as cautions, advice on setting up a better room does not.

use super::fields::FieldsShown;
use super::interval::Interval;
use super::target::{coarse_target, largest_line};
use crate::acuity::Acuity;
use crate::balance::{Caution, Metered, Place, Start, StartError};
use crate::bibliography::DESIGN;
use crate::chart::{ColourError, FieldLight};
use crate::eye::ChromaticEye;
use crate::quantity::{Dioptres, Length};
use crate::room::{Room, SpectraError, day};

/// What a room without a name is called.
const NAMELESS: &str = "a room without a name";

/// Why no eye can be asked in a room, whatever the eye.
#[derive(Debug, thiserror::Error)]
pub enum PlaceError {
    /// A spectrum cannot be read.
    #[error(transparent)]
    Spectra(#[from] SpectraError),
    /// Its screen cannot show a red and a green field of one luminance.
    #[error(transparent)]
    Colour(#[from] ColourError),
}

/// The room as an examination's record has it.
///
/// # Errors
/// Where its spectra cannot be read, or its screen cannot show a red and a green field of one luminance.
pub fn place(room: &Room) -> Result<Place, PlaceError> {
    let spectra = room.primaries.spectra()?;
    let light = FieldLight::new(&room.display, None)?;
    let fields = FieldsShown::new(room, &light, &spectra);
    let interval = Interval::new(ChromaticEye::ALL[0].foci(&spectra.red, &spectra.green));
    let caution = |what| Caution { what, basis: DESIGN.into() };
    let spoiling = fields.warnings().into_iter();
    Ok(Place {
        name: room.name().unwrap_or(NAMELESS).into(),
        // To a micrometre, since metres in binary leave dust.
        distance: Length::mm((room.viewing.distance.to_m() * 1e6).round() / 1e3),
        luminance: light.luminance,
        luminance_basis: fields.luminance_basis.to_string(),
        interval: Dioptres::new(interval.interval_d),
        interval_basis: format!("{}; spectra {}", interval.by, spectra.basis),
        metered: None,
        largest_log_mar: largest_line(room).map(Acuity::to_log_mar),
        protanope_red_over_green: fields.protanope_red_over_green,
        cautions: spoiling.map(|warning| caution(format!("{} {}", warning.what, warning.remedy))).collect(),
    })
}

/// The same on a day, from a moment such as `2026-03-31T09:30:00+02:00`: how long ago its fields were metered is known then.
///
/// # Errors
/// As [`place`].
pub fn place_on(room: &Room, at: &str) -> Result<Place, PlaceError> {
    Ok(Place { metered: metered(room, at), ..place(room)? })
}

/// When a room's fields were last metered, seen from a moment; none where they were not, or later than that.
#[must_use]
pub fn metered(room: &Room, at: &str) -> Option<Metered> {
    let readings = room.file().field_match.as_ref()?;
    let today = day(at.get(..DAY_LETTERS)?)?;
    Metered::seen_from(day(&readings.date)?, today, readings.again_after_days)
}

/// How long a day is at the beginning of a moment: `2026-03-31`.
const DAY_LETTERS: usize = 10;

/// The start of an eye in a room whose place it has, checked, with a caution where the room's screen cannot draw its
/// target well.
///
/// # Errors
/// Where no eye can be asked so, there or anywhere.
pub fn start_in(room: &Room, start: Start) -> Result<Start, StartError> {
    let mut start = start.checked()?;
    start.place.cautions.extend(coarse_target(&start, room));
    Ok(start)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::{ColourVision, EndPoint, EyeKind, Laterality, Procedure, RefinedFor};
    use crate::light::Side;

    fn room(more: &str) -> Room {
        let text = format!(
            "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n{more}"
        );
        Room::from_toml(&text, "room").unwrap()
    }

    fn reads(acuity: &str, place: Place) -> Start {
        Start {
            eye: Laterality::Right,
            manifest: "-1.00".parse().unwrap(),
            refined_for: RefinedFor::Room,
            acuity: acuity.parse().unwrap(),
            kind: EyeKind::Presbyopic,
            procedure: Procedure::FromPlus,
            end_point: EndPoint::LastRed,
            vertex: None,
            glasses_vertex: None,
            intended: None,
            colour_vision: ColourVision::Usual,
            brunescent: false,
            red: Side::Left,
            lines_above: 2,
            label: None,
            examiner: None,
            instrument: None,
            place,
        }
    }

    #[test]
    fn a_place_has_its_largest_line_and_a_start_the_caution_of_its_target() {
        // A field of 264 by 297 mm at 3.2 m holds 20/200 (47 mm), and no letter of 20/2000 (465 mm).
        let demo = Room::demo();
        let largest = place(&demo).unwrap().largest_log_mar.unwrap();
        assert!((1.0..2.0).contains(&largest), "{largest}");
        let of_target = |acuity| {
            let start = start_in(&demo, reads(acuity, place(&demo).unwrap())).unwrap();
            start.place.cautions.iter().any(|caution| caution.what.starts_with("The target line"))
        };
        // Strokes of 20/32 are 5.4 px, of 20/12.5 (two lines above 20/8) 2.1 px.
        assert!(!of_target("20/20") && of_target("20/8"));
    }

    #[test]
    fn no_eye_is_asked_where_no_two_fields_are_shown_or_no_target_fits() {
        let washed = room("[luminance]\nred = 20\ngreen = 60\nblack = 8\n");
        assert!(matches!(place(&washed), Err(PlaceError::Colour(_))));
        // Two lines over 20/800 letters are 293 mm high, and a field is 264 mm wide.
        let demo = Room::demo();
        let blind = start_in(&demo, reads("20/800", place(&demo).unwrap()));
        assert!(matches!(blind, Err(StartError::Target(2, _))), "{blind:?}");
    }
}
