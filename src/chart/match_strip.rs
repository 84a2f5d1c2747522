//! The match strip: red beside nine greens, and what an eye finds on it.
//!
//! An eye cannot tell how bright a field is, but it tells well where a border is faintest. The strip's step becomes a luminance of
//! green relative to red; how bright both are stays unknown.

use super::{ColourError, FieldLight};
use crate::light::{Basis, Channel};
use crate::room::{LuminanceTable, Room, RoomError, RoomFile, ToneTable};

/// Steps of the match strip to either side of the room file's own green, and codes from one to the next (about 6 % of
/// light).
const STEPS_ASIDE: i16 = 4;
const CODES_A_STEP: i16 = 4;

/// The step of the strip that shows the room file's own match.
pub const MIDDLE_STEP: u8 = 5;

/// The last step of the strip.
pub const LAST_STEP: u8 = 9;

/// Why what an eye found on a setup sheet cannot be taken.
#[derive(Debug, thiserror::Error)]
pub enum MatchError {
    /// The room that it makes cannot be.
    #[error(transparent)]
    Room(#[from] RoomError),
    /// The room's screen has no two equal fields, so it has no match strip.
    #[error(transparent)]
    Colours(#[from] ColourError),
}

/// A room file with what an eye found on the setup sheet of the room as it was: the gamma of the grey that melts into its
/// stripes, and the step of the match strip, 1 to 9, with the faintest border.
///
/// Steps count from the codes that the sheet shows, which are those of this room, whether or not an eye matched it before.
/// Red stays as it is, and green at full drive becomes so bright that the step's code equals it. A match that an eye found
/// before stays a match of the same two codes where only the gamma is new. The first and the last step leave it open whether the
/// match lies beyond.
///
/// ```
/// use evenfield::{chart::matched_by_eye, room::Room};
/// // The demo room shows red 252 and green 145, so step 7 shows green 153. Its red is 0.25 + 51.75 · 0.973445 = 50.6258
/// // cd/m², and code 153 has 0.318547 of green's light by IEC 61966-2-1. Worked by hand: 50.3758/0.318547 + 0.25 = 158.39.
/// const HUNDREDTH: f64 = 0.011;
/// let file = matched_by_eye(Room::demo().file().clone(), None, Some(7))?;
/// let green = file.luminance.and_then(|table| table.green).unwrap();
/// assert!((green - 158.39).abs() < HUNDREDTH);
/// # Ok::<(), evenfield::chart::MatchError>(())
/// ```
///
/// # Errors
/// Where the room has no two equal fields, or the room that comes out cannot be.
pub fn matched_by_eye(
    mut file: RoomFile,
    gamma: Option<f64>,
    step: Option<u8>,
) -> Result<RoomFile, MatchError> {
    let room = |file: &RoomFile| Room::from_file(file.clone(), Basis::Measured);
    // The sheet's codes are those of the curve that it was drawn with; their light follows the curve found on it.
    let sheet = room(&file)?;
    if let Some(gamma) = gamma {
        file.tone = Some(ToneTable { gamma: Some(gamma), matched_by_eye: true, ..ToneTable::default() });
    }
    let matched_before = file.luminance.as_ref().is_some_and(|table| table.matched_by_eye);
    let found = step;
    let Some(step) = step.or(matched_before.then_some(MIDDLE_STEP)) else { return Ok(file) };
    let light = FieldLight::new(&sheet.display, None)?;
    let steps = light.match_steps();
    let code = steps[usize::from(step.clamp(1, LAST_STEP)) - 1];
    let display = &room(&file)?.display;
    let black = display.black();
    let equal = display.luminance(light.red.codes) - black;
    let green = equal * (1.0 / display.tone(Channel::Green).light(code)) + black;
    let hundredths = |cd_m2: f64| (cd_m2 * 100.0).round() / 100.0;
    // White is no longer the sum of the primaries once green changes.
    let readings = file.luminance.take().unwrap_or_default();
    file.luminance = Some(LuminanceTable {
        red: Some(hundredths(display.luminance([255, 0, 0]).to_cd_m2())),
        green: Some(hundredths(green.to_cd_m2())),
        white: None,
        matched_by_eye: true,
        match_open: found.map_or(readings.match_open, |step| [1, LAST_STEP].contains(&step)),
        ..readings
    });
    Ok(file)
}

impl FieldLight {
    /// The green codes of a room's match strip, from step 1 to 9; step 5 is the room file's own.
    ///
    /// ```
    /// use evenfield::{chart::FieldLight, room::Room};
    /// // Worked by hand: four codes a step to either side of the demo room's 145.
    /// let light = FieldLight::new(&Room::demo().display, None)?;
    /// assert_eq!(light.match_steps(), [129, 133, 137, 141, 145, 149, 153, 157, 161]);
    /// # Ok::<(), evenfield::chart::ColourError>(())
    /// ```
    #[must_use]
    pub fn match_steps(&self) -> Vec<u8> {
        let own = i16::from(self.green.codes[Channel::Green.index()]);
        let code = |step: i16| u8::try_from((own + step * CODES_A_STEP).clamp(1, 255)).unwrap_or(u8::MAX);
        (-STEPS_ASIDE..=STEPS_ASIDE).map(code).collect()
    }
}
