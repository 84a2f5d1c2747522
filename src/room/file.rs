//! The room file: its tables as they stand in TOML and in a chart's metadata.

use serde::{Deserialize, Serialize};
use toml::de::{DeTable, DeValue};

use super::{RoomError, within};

/// A room file as written; [`Room::from_file`](super::Room::from_file) checks its values.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
}

/// `[viewing]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ViewingTable {
    /// Eye to screen along the light, in millimetres.
    pub distance_mm: f64,
    /// Whether the light goes over a mirror.
    #[serde(default)]
    pub mirror: bool,
}

/// `[screen]`: the pixels, and the size of the lit picture in at least one way.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
    /// Whether the size is only what the screen says of itself.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub size_claimed: bool,
    /// An ICC display profile; its path counts from the room file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub profile: Option<String>,
}

/// `[luminance]` in cd/m² at full drive, each alone, black included.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the table's sentence says what each is")]
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
}

/// `[tone]`: either key.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToneTable {
    /// A pure power.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gamma: Option<f64>,
    /// Measured steps.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steps: Option<Steps>,
}

/// Steps of code and luminance in cd/m².
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Steps {
    /// Of white.
    White(Vec<[f64; 2]>),
    /// Of each primary; blue follows green where it is left out.
    #[allow(missing_docs, reason = "the variant's sentence says what each is")]
    Each { red: Vec<[f64; 2]>, green: Vec<[f64; 2]>, blue: Option<Vec<[f64; 2]>> },
}

/// `[primaries]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
}

/// One primary in one of three ways.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AmbientTable {
    /// Light on the screen in lux, metered there, facing the patient.
    pub illuminance_lux: f64,
    /// The share of it that the screen gives back diffusely.
    pub screen_reflectance: f64,
}

/// Every key of a room file, for telling a stranger which one was meant. `*` stands for any table of this shape.
const KEYS: [(&str, &[&str]); 9] = [
    ("", &["name", "viewing", "screen", "luminance", "tone", "primaries", "ambient"]),
    ("viewing", &["distance_mm", "mirror"]),
    ("screen", &["pixels", "size_mm", "diagonal_in", "pitch_mm", "size_claimed", "profile"]),
    ("luminance", &["red", "green", "blue", "white", "black"]),
    ("tone", &["gamma", "steps"]),
    ("tone.steps", &["red", "green", "blue"]),
    ("primaries", &["red", "green", "blue", "white"]),
    ("primaries.*", &["peak_nm", "fwhm_nm", "spectrum", "chromaticity"]),
    ("ambient", &["illuminance_lux", "screen_reflectance"]),
];

/// Reads the notation and the keys, not yet the values; an error has its line, counted from 1.
pub(super) fn parse(text: &str) -> Result<RoomFile, (Option<usize>, String)> {
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
    known_keys(text, "", table.get_ref())?;
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

fn known_keys(text: &str, path: &str, table: &DeTable<'_>) -> Result<(), (Option<usize>, String)> {
    let shape = if path.starts_with("primaries.") { "primaries.*" } else { path };
    let Some((_, known)) = KEYS.iter().find(|(name, _)| *name == shape) else { return Ok(()) };
    for (key, value) in table {
        let name = key.get_ref().as_ref();
        if !known.contains(&name) {
            let place = if path.is_empty() { "the file".into() } else { format!("[{path}]") };
            let problem = format!("{place} has no key {name:?}: {}", meant(name, known));
            return Err((Some(line_at(text, key.span().start)), problem));
        }
        if let DeValue::Table(inner) = value.get_ref() {
            let inner_path = if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
            known_keys(text, &inner_path, inner)?;
        }
    }
    Ok(())
}

/// The nearest known key, or all of them where none is near.
fn meant(name: &str, known: &[&str]) -> String {
    let nearest = known
        .iter()
        .map(|key| (strsim::jaro_winkler(key, name), key))
        .filter(|(likeness, _)| *likeness > 0.7)
        .max_by(|(one, _), (other, _)| one.total_cmp(other));
    nearest.map_or_else(|| format!("it knows {}", known.join(", ")), |(_, key)| format!("write {key}"))
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

fn line_at(text: &str, offset: usize) -> usize {
    text.bytes().take(offset).filter(|byte| *byte == b'\n').count() + 1
}

impl RoomFile {
    /// The file's text.
    ///
    /// # Errors
    /// Never for a legal room: each of its values has a notation.
    pub fn to_toml(&self) -> Result<String, toml::ser::Error> {
        toml::to_string(self)
    }

    /// Checks what [primaries] says, though nothing uses it yet.
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
    if x > 0.0 && y > 0.0 && x + y <= 1.0 {
        return Ok(());
    }
    Err(RoomError::new(
        key,
        format!("= [{x}, {y}] is no chromaticity: write CIE 1931 x and y, such as [0.64, 0.33]"),
    ))
}
