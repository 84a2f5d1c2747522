//! The colours of the fields: codes of red, green and white of like luminance.
//!
//! Red is the dimmer one on nearly every screen, so it decides how bright a chart can be. Codes are whole numbers: the pair whose
//! luminances differ least is looked for within 3 % of what is wanted, and a pair over 2 % apart is refused.

use std::fmt;

use super::{Request, White};
use crate::light::{Channel, Fields, MATCH_PERCENT, Side};
use crate::quantity::Luminance;
use crate::room::Display;
use crate::scene::Paint;
use crate::text::Refusal;

/// How far from the wanted luminance a better match is looked for, as a share of it.
const SEARCH: f64 = 0.03;

/// The highest luminance of a letter as a share of its field's: 15 % by [ISO 10938,
/// 4.1.3](crate::bibliography::ISO_10938), less a little for the rounding of codes.
const MOST_LETTER_LIGHT: f64 = 0.145;

/// What paints the fields of a room's charts, whatever side each lies on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldLight {
    /// The red field.
    pub red: Paint,
    /// The green field, of like luminance.
    pub green: Paint,
    /// A white field as bright as they are.
    pub white: Paint,
    /// The luminance of the white field as the eye sees it, with the light of the room that the screen reflects.
    pub luminance: Luminance,
}

/// The fields of one chart, as the patient sees them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FieldColours {
    /// The only field, or the one on the patient's left.
    pub left: Paint,
    /// The one on the patient's right, if there are two.
    pub right: Option<Paint>,
}

/// The colour of the letters: the screen's black.
pub(super) const INK: Paint = Paint { codes: [0, 0, 0] };

/// A white field at full drive.
const FULL_WHITE: Paint = Paint { codes: [255; 3] };

/// Why the fields cannot be that bright.
#[derive(Debug, Clone, PartialEq)]
pub enum ColourError {
    /// Brighter than the dimmer primary can be.
    TooBright {
        /// What was asked for.
        wanted: Luminance,
        /// The dimmer field.
        field: &'static str,
        /// Its luminance at full drive.
        most: Luminance,
    },
    /// No two codes come within 3 % of it.
    Unreached {
        /// What was asked for.
        wanted: Luminance,
        /// The screen's black.
        black: Luminance,
    },
    /// So dim that no two codes agree.
    Unequal {
        /// What was asked for.
        wanted: Luminance,
        /// By how much the best pair differs.
        percent: f64,
    },
    /// So dim that the black of the screen and the room's light would make letters grey.
    Washed {
        /// The field's luminance.
        field: Luminance,
        /// The luminance of the letters in per cent of it, the room's light included.
        percent: f64,
    },
}

impl ColourError {
    /// What is wrong and what helps.
    #[must_use]
    pub fn refusal(&self) -> Refusal {
        match self {
            Self::TooBright { wanted, field, most } => Refusal::new(
                format!(
                    "luminance {wanted} is more than red and green both reach on this screen, {most}, where {field} is the dimmer"
                ),
                format!("ask for {most} or less"),
            ),
            Self::Unreached { wanted, black } => Refusal::new(
                format!(
                    "no codes of red and green come within 3 % of {wanted} on this screen, whose black is {black}"
                ),
                "ask for a higher luminance, or leave it out",
            ),
            Self::Unequal { wanted, percent } => Refusal::new(
                format!("the best red and green near {wanted} differ by {percent:.1} %, over 2 %"),
                "ask for another luminance, or leave it out",
            ),
            Self::Washed { field, percent } => Refusal::new(
                format!(
                    "a field of {field} leaves letters {percent:.1} % of its light, over {:.1} %",
                    MOST_LETTER_LIGHT * 100.0
                ),
                "darken the room, or ask for more light",
            ),
        }
    }
}

impl fmt::Display for ColourError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.refusal().fmt(f)
    }
}

impl std::error::Error for ColourError {}

impl FieldLight {
    /// Fields as bright as red and green can both be, or as is wished: of all pairs of codes within 3 % of that luminance the
    /// best match, and of equal matches the brighter.
    ///
    /// ```
    /// use evenfield::{chart::FieldLight, room::Room};
    /// // The demo room's light is 0.25 + 51.75 or 177.75 times the curve of IEC 61966-2-1. A search over all pairs of codes
    /// // by that formula, apart from this code, has red 252 and green 145 as the pair nearest to each other, by 0.09 %.
    /// let light = FieldLight::new(&Room::demo().display, None)?;
    /// assert_eq!([light.red.codes, light.green.codes], [[252, 0, 0], [0, 145, 0]]);
    /// # Ok::<(), evenfield::chart::ColourError>(())
    /// ```
    ///
    /// # Errors
    /// Where the screen cannot do it.
    pub fn new(display: &Display, wished: Option<Luminance>) -> Result<Self, ColourError> {
        let wanted = wanted_luminance(wished, display)?;
        let pair = matched_pair(display, wanted)?;
        if pair.mismatch * 100.0 > MATCH_PERCENT {
            return Err(ColourError::Unequal { wanted, percent: pair.mismatch * 100.0 });
        }
        let letter_share = display.luminance_in_room(INK.codes) / (pair.luminance + display.reflected());
        if letter_share > MOST_LETTER_LIGHT {
            return Err(ColourError::Washed { field: pair.luminance, percent: letter_share * 100.0 });
        }
        let white = grey_like(display, pair.luminance);
        let [red, green, white] = [pair.red, pair.green, white].map(|codes| Paint { codes });
        Ok(Self { red, green, white, luminance: display.luminance_in_room(white.codes) })
    }

    /// The same light with red on a side of two fields, or as one field.
    ///
    /// With one field the side has no say.
    #[must_use]
    pub fn placed(self, fields: Fields, red: Side) -> FieldColours {
        let one = |left| FieldColours { left, right: None };
        match (fields, red) {
            (Fields::White, _) => one(self.white),
            (Fields::Red, _) => one(self.red),
            (Fields::Green, _) => one(self.green),
            (Fields::RedGreen, Side::Left) => FieldColours { left: self.red, right: Some(self.green) },
            (Fields::RedGreen, Side::Right) => FieldColours { left: self.green, right: Some(self.red) },
        }
    }
}

impl FieldColours {
    /// The colours of a requested chart on a display.
    ///
    /// # Errors
    /// Those of [`FieldLight::new`]; a white field at full drive has none.
    pub fn of(request: &Request, display: &Display) -> Result<Self, ColourError> {
        if request.fields == Fields::White && request.white == White::Full {
            return Ok(Self { left: FULL_WHITE, right: None });
        }
        Ok(FieldLight::new(display, request.luminance)?.placed(request.fields, request.red))
    }
}

/// A red and a green of like luminance.
struct Pair {
    red: [u8; 3],
    green: [u8; 3],
    /// The mean of both.
    luminance: Luminance,
    /// Their difference over their mean.
    mismatch: f64,
}

/// The luminance asked for, or the most that red and green both reach.
fn wanted_luminance(wished: Option<Luminance>, display: &Display) -> Result<Luminance, ColourError> {
    let (red, green) = (display.luminance([255, 0, 0]), display.luminance([0, 255, 0]));
    let (field, most) = if red < green { ("red", red) } else { ("green", green) };
    match wished {
        None => Ok(most),
        Some(wanted) if wanted <= most => Ok(wanted),
        Some(wanted) => Err(ColourError::TooBright { wanted, field, most }),
    }
}

fn matched_pair(display: &Display, wanted: Luminance) -> Result<Pair, ColourError> {
    let candidates = |channel: Channel| {
        (0..=255_u8)
            .map(move |code| only(channel, code))
            .filter(|codes| (display.luminance(*codes) / wanted - 1.0).abs() <= SEARCH)
            .collect::<Vec<_>>()
    };
    let greens = candidates(Channel::Green);
    candidates(Channel::Red)
        .into_iter()
        .flat_map(|red| greens.iter().map(move |green| pair(display, red, *green)))
        .min_by(|one, other| {
            one.mismatch
                .total_cmp(&other.mismatch)
                .then(other.luminance.to_cd_m2().total_cmp(&one.luminance.to_cd_m2()))
        })
        .ok_or(ColourError::Unreached { wanted, black: display.black() })
}

fn pair(display: &Display, red: [u8; 3], green: [u8; 3]) -> Pair {
    let (red_light, green_light) = (display.luminance(red), display.luminance(green));
    let luminance = (red_light + green_light) * 0.5;
    Pair { red, green, luminance, mismatch: ((red_light - green_light) / luminance).abs() }
}

/// The codes that drive one channel alone.
fn only(channel: Channel, code: u8) -> [u8; 3] {
    let mut codes = [0; 3];
    codes[channel.index()] = code;
    codes
}

/// The neutral codes whose luminance is nearest.
fn grey_like(display: &Display, wanted: Luminance) -> [u8; 3] {
    let off = |code: &u8| (display.luminance([*code; 3]) - wanted).to_cd_m2().abs();
    let code = (0..=255_u8).min_by(|one, other| off(one).total_cmp(&off(other))).unwrap_or(255);
    [code; 3]
}
