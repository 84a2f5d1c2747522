//! The room file: its tables as they stand in TOML and in a chart's metadata.
//!
//! Each table is a plain value that may be built by hand; nothing here is checked but the notation, the keys and the kind of each
//! value. Units stand at the end of the keys. What is left out is `None` and stays left out when the file is written again, so
//! that a guess never looks like a reading.

use serde::{Deserialize, Serialize};
use toml::de::DeTable;

use super::fault::{Fault, line_at};
use super::{RoomError, schema, within};
use crate::text::{self, MOST_OF_A_NAME};

/// A room file as written; [`Room::from_file`](super::Room::from_file) checks its values.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RoomFile {
    /// What the practice calls the room.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Where the eye is.
    pub viewing: ViewingTable,
    /// What it looks at.
    pub screen: ScreenTable,
    /// Measured luminances.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub luminance: Option<LuminanceTable>,
    /// The tone curve; without it that of sRGB.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tone: Option<ToneTable>,
    /// The spectra of the primaries.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub primaries: Option<PrimariesTable>,
    /// The light of the room.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ambient: Option<AmbientTable>,
    /// Readings of both fields as they are shown.
    #[serde(rename = "match", skip_serializing_if = "Option::is_none")]
    pub field_match: Option<MatchTable>,
}

/// `[viewing]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ViewingTable {
    /// Eye to screen along the light, in millimetres.
    pub distance_mm: f64,
    /// Whether the light goes over a mirror.
    #[serde(default)]
    pub mirror: bool,
}

/// `[screen]`: the pixels, and the size of the lit picture in at least one way.
///
/// Where several are given they must agree within 1 %; the size in millimetres, then the pitch, then the diagonal counts. The
/// lit picture is meant, without its frame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ScreenTable {
    /// Columns and rows.
    pub pixels: [u32; 2],
    /// Width and height in millimetres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_mm: Option<[f64; 2]>,
    /// Corner to corner in inches.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diagonal_in: Option<f64>,
    /// One pixel in millimetres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pitch_mm: Option<f64>,
    /// The standard uncertainty of the size in per cent, where it is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_percent: Option<f64>,
    /// Whether the size is only what the screen says of itself.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub size_claimed: bool,
    /// An ICC display profile; its path counts from the room file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub profile: Option<String>,
}

/// `[luminance]` in cd/m² at full drive, each alone, black included.
///
/// Read in the dark room, straight on, where the fields stand. Readings are 0.1 to 100,000 cd/m²; black may be nought and must
/// be darker than all others. What two primaries and white tell of the third is worked out.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the table’s sentence says what each is")]
pub struct LuminanceTable {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub red: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub green: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub blue: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub white: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub black: Option<f64>,
    /// The standard uncertainty of a reading in per cent, that of narrow bands of colour included.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meter_percent: Option<f64>,
    /// Whether red and green were only found equal by an eye, so that their ratio counts and their size does not.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub matched_by_eye: bool,
    /// Whether that was the last step of its strip, so that the match may lie beyond and nothing is established.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub match_open: bool,
    /// Whether these are only what the screen or its profile says.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub claimed: bool,
}

/// `[tone]`: either key.
///
/// Without the table the curve is that of sRGB, and every number that rests on it says so.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ToneTable {
    /// A pure power, 1 to 4; screens have about 2.2.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gamma: Option<f64>,
    /// Measured steps, from code 0 to code 255 and rising.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steps: Option<Steps>,
    /// Whether the steps are shares of full light, from 0 to 1, and no luminances.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub relative: bool,
    /// Whether an eye found the gamma on the setup sheet.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub matched_by_eye: bool,
    /// Whether the curve is only what the screen or its profile says.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub claimed: bool,
}

/// Steps of code and luminance in cd/m².
///
/// Seventeen steps, every fifteenth code, leave less than 0.1 % of full light between the curve and a gamma of 2.4.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Steps {
    /// Of white.
    White(Vec<[f64; 2]>),
    /// Of each primary; blue follows green where it is left out.
    #[allow(missing_docs, reason = "the variant’s sentence says what each is")]
    Each { red: Vec<[f64; 2]>, green: Vec<[f64; 2]>, blue: Option<Vec<[f64; 2]>> },
}

impl Steps {
    /// Each list with its key.
    pub(super) fn named(&self) -> Vec<(&'static str, &[[f64; 2]])> {
        match self {
            Self::White(steps) => vec![("tone.steps", steps)],
            Self::Each { red, green, blue } => [("tone.steps.red", red), ("tone.steps.green", green)]
                .into_iter()
                .chain(blue.iter().map(|blue| ("tone.steps.blue", blue)))
                .map(|(key, steps)| (key, steps.as_slice()))
                .collect(),
        }
    }
}

/// `[primaries]`
///
/// Spectra of red and green decide the dioptres between the fields. Chromaticities of all three and of white say how bright each
/// primary is where none was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the names say it; white is a chromaticity")]
pub struct PrimariesTable {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub red: Option<PrimaryTable>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub green: Option<PrimaryTable>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub blue: Option<PrimaryTable>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub white: Option<[f64; 2]>,
    /// The kind of screen, whose usual bands stand in for spectra that are not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<String>,
    /// Whether these are only what the screen or its profile says.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub claimed: bool,
}

/// One primary in one of three ways.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PrimaryTable {
    /// Peak wavelength in nanometres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub peak_nm: Option<f64>,
    /// Full width at half maximum in nanometres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fwhm_nm: Option<f64>,
    /// A CSV file of wavelength and power.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spectrum: Option<String>,
    /// CIE 1931 x and y.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chromaticity: Option<[f64; 2]>,
}

/// `[ambient]`
///
/// Without it no room light is counted, and contrast is better on paper than in the room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AmbientTable {
    /// Light on the screen in lux, metered there, facing the patient.
    pub illuminance_lux: f64,
    /// The share of it that the screen gives back diffusely, 0 to 1; screens have 0.01 to 0.06.
    pub screen_reflectance: f64,
}

/// `[match]`: both fields of a chart as a photometer read them at the patient's eye.
///
/// They count as long as the chart's codes are the ones that were read, and as long as nothing else in the file is surer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MatchTable {
    /// The codes of red and of green that were shown; the readings count for these alone.
    pub codes: [u8; 2],
    /// The red field in cd/m², the room's light included.
    pub red: f64,
    /// The green field in cd/m², the room's light included.
    pub green: f64,
    /// The standard uncertainty of one reading in per cent.
    pub meter_percent: f64,
    /// The day of the readings, such as 2026-03-31.
    pub date: String,
    /// After how many days examinations remind the examiner to read them again; never where it is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub again_after_days: Option<u32>,
}

/// Maximum number of characters of a path in a room file, as file systems have it. From memory.
const MOST_PATH: usize = 4096;

/// Reads the notation and the keys, not yet the values; an error has its line, counted from 1.
pub(super) fn parse(text: &str) -> Result<RoomFile, Fault> {
    let at = |error: &toml::de::Error| error.span().map(|span| line_at(text, span.start));
    let table = DeTable::parse(text).map_err(|error| {
        (
            at(&error),
            format!(
                "this is not TOML, {}: write lines such as distance_mm = 3200.0",
                one_line(error.message())
            ),
        )
    })?;
    schema::check(text, "", table.get_ref())?;
    toml::from_str(text).map_err(|error| {
        (
            at(&error),
            format!("{}: compare with a file made by `evenfield room new`", one_line(error.message())),
        )
    })
}

fn one_line(message: &str) -> String {
    message.trim().replace('\n', ", ")
}

/// The line where a key such as `viewing.distance_mm` stands, or the nearest table around it.
pub(super) fn line_of(text: &str, key: &str) -> Option<usize> {
    let root = DeTable::parse(text).ok()?;
    let mut table = root.get_ref();
    let mut line = None;
    for part in key.split('.') {
        let Some((found, value)) = table.iter().find(|(name, _)| name.get_ref() == part) else { break };
        line = Some(line_at(text, found.span().start));
        match value.get_ref().as_table() {
            Some(inner) => table = inner,
            None => break,
        }
    }
    line
}

impl RoomFile {
    /// The file's text.
    ///
    /// # Errors
    /// Never for a legal room: each of its values has a notation.
    pub fn to_toml(&self) -> Result<String, toml::ser::Error> {
        toml::to_string(self)
    }

    /// Checks all words that go into headings and into what is made for the room.
    pub(super) fn check_words(&self) -> Result<(), RoomError> {
        let date = self.field_match.as_ref().map(|readings| &readings.date);
        let mut words =
            vec![("name", self.name.as_ref(), MOST_OF_A_NAME), ("match.date", date, MOST_OF_A_NAME)];
        words.extend(self.named_files().into_iter().map(|(key, path)| (key, path, MOST_PATH)));
        for (key, text, most) in words {
            let checked = text.map_or(Ok(()), |text| text::line(text, most));
            checked.map_err(|error| RoomError::new(key, error.to_string()))?;
        }
        Ok(())
    }

    /// Checks what [primaries] says.
    pub(super) fn check_primaries(&self) -> Result<(), RoomError> {
        let Some(table) = &self.primaries else { return Ok(()) };
        for (name, primary) in [("red", &table.red), ("green", &table.green), ("blue", &table.blue)] {
            if let Some(primary) = primary {
                primary.check(&format!("primaries.{name}"))?;
            }
        }
        table.white.map_or(Ok(()), |white| legal_chromaticity("primaries.white", white))
    }
}

impl PrimaryTable {
    fn check(&self, key: &str) -> Result<(), RoomError> {
        match (self.peak_nm, self.fwhm_nm, &self.spectrum, self.chromaticity) {
            (Some(peak), Some(width), None, None) => {
                within(&format!("{key}.peak_nm"), peak, 380.0..=780.0, " nm", "write a visible wavelength")?;
                within(
                    &format!("{key}.fwhm_nm"),
                    width,
                    0.1..=200.0,
                    " nm",
                    "write the width at half maximum",
                )?;
                Ok(())
            }
            (None, None, Some(file), None) if !file.is_empty() => Ok(()),
            (None, None, None, Some(xy)) => legal_chromaticity(&format!("{key}.chromaticity"), xy),
            _ => Err(RoomError::new(
                key,
                "needs one of: peak_nm with fwhm_nm, spectrum, or chromaticity: keep exactly one of them",
            )),
        }
    }
}

fn legal_chromaticity(key: &str, [x, y]: [f64; 2]) -> Result<(), RoomError> {
    // Red lies on the line x + y = 1, and meters and profiles round.
    if x > 0.0 && y > 0.0 && x + y <= 1.001 {
        return Ok(());
    }
    Err(RoomError::new(
        key,
        format!("= [{x}, {y}] is no chromaticity: write CIE 1931 x and y, such as [0.64, 0.33]"),
    ))
}
