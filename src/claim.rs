//! What a chart's file says of itself, both ways: written into its text, and read from it again by a check.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::acuity::Acuity;
use crate::light::{Basis, Fields, Side};
use crate::quantity::Length;
use crate::room::{NamedFile, Room, RoomFile, changes};
use crate::text::shown;

/// All that the file of a chart for a screen says: enough to check it, or to make it again.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ChartClaim {
    /// The version of the program that wrote it.
    #[serde(default)]
    pub version: String,
    /// The chart.
    pub chart: ChartRecord,
    /// Its room, without the folders of its files, in which a person's name may stand.
    pub room: RoomFile,
    /// The sums of those files, by which they are recognised.
    #[serde(default, skip_deserializing, skip_serializing_if = "Vec::is_empty")]
    pub room_files: Vec<NamedFile>,
    /// Whether the room is the built-in one, whose numbers are invented.
    pub demo_room: bool,
}

/// What is drawn on a screen.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ChartRecord {
    /// Its fields.
    pub fields: Fields,
    /// Where red lies, as the patient sees it.
    pub red: Side,
    /// How bright a white field is, by its name.
    #[serde(default)]
    pub white: String,
    /// The letters' set, by its name.
    pub letters: String,
    /// The seed of its letters.
    #[serde(default)]
    pub seed: u64,
    /// The notation of its labels, if it has any.
    pub labels: Option<String>,
    /// The luminance that was asked for.
    #[serde(default)]
    pub luminance_cd_m2: Option<f64>,
    /// Its lines, from the top.
    pub lines: Vec<LineRecord>,
    /// Device codes from the patient's left; they hold for this room's screen without colour management.
    pub field_codes: Vec<[u8; 3]>,
}

/// One line.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct LineRecord {
    /// Its size.
    pub log_mar: f64,
    /// Its name.
    #[serde(default)]
    pub name: String,
    /// Its letters from the left, by their names.
    pub letters: Vec<String>,
}

/// All that the file of a near chart says.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct NearClaim {
    /// The near chart.
    pub near_chart: NearRecord,
}

impl ChartClaim {
    /// The text for the file.
    ///
    /// # Panics
    /// Never: it has only words, numbers and lists.
    #[must_use]
    pub fn to_json(&self) -> String {
        serde_json::to_string(self).expect("words, numbers and lists")
    }
}

impl NearClaim {
    /// The text for the file.
    ///
    /// # Panics
    /// Never: it has only words, numbers and lists.
    #[must_use]
    pub fn to_json(&self) -> String {
        serde_json::to_string(self).expect("words, numbers and lists")
    }
}

/// What is drawn on paper.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct NearRecord {
    /// From the eye.
    pub distance_mm: f64,
    /// The codes of the red and of the green field.
    pub field_codes: Vec<[u8; 3]>,
    /// The pair of inks, by its name.
    #[serde(default)]
    pub inks: String,
    /// The letters' set, by its name.
    pub letters: String,
    /// Its lines, from the top.
    pub lines: Vec<LineRecord>,
}

impl LineRecord {
    /// A line with these letters.
    #[must_use]
    pub fn new(line: Acuity, letters: Vec<String>) -> Self {
        Self { log_mar: line.to_log_mar(), name: line.to_string(), letters }
    }
}

/// What a page says of the room that it was made for, so that it can be told from one of today.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PageClaim {
    /// The room, without the folders of its files.
    pub room: RoomFile,
    /// The sums of those files, by the keys that name them.
    pub sums: BTreeMap<String, Option<String>>,
}

impl PageClaim {
    /// What a page for a room says.
    #[must_use]
    pub fn of(room: &Room) -> Self {
        let sums = room.files().iter().map(|file| (file.key.to_owned(), file.crc32.clone())).collect();
        Self { room: room.file().without_folders(), sums }
    }

    /// What a page of this program says; none where it is none, or one of a version that said nothing of its room.
    #[must_use]
    pub fn read(page: &str) -> Option<Self> {
        #[derive(Deserialize)]
        #[serde(rename_all = "camelCase")]
        struct Told {
            made_for: PageClaim,
        }
        let (_, rest) = page.split_once(TABLE_BEGINS)?;
        let (table, _) = rest.split_once("</script>")?;
        serde_json::from_str(table).ok().map(|Told { made_for }| made_for)
    }

    /// What a room has otherwise than this, a value each; none where it is the same.
    #[must_use]
    pub fn differs_from(&self, room: &Room) -> Vec<String> {
        let now = Self::of(room);
        let changed = changes(&self.room, &now.room).unwrap_or_default();
        let other = now.sums.iter().filter(|(key, sum)| self.sums.get(*key).is_some_and(|had| had != *sum));
        let other = other.map(|(key, _)| format!("{key}: the file that it names has other bytes"));
        let told: Vec<String> = changed.iter().map(ToString::to_string).chain(other).collect();
        // What cannot be told value by value is still a difference.
        let untold = told.is_empty() && *self != now;
        told.into_iter().chain(untold.then(|| "the room: another one than the page’s".to_owned())).collect()
    }
}

/// Where a page's table begins.
const TABLE_BEGINS: &str = "<script type=\"application/json\" id=\"table\">";

/// What of a file's text a check can hold it to, read and found to be legal.
///
/// Whatever program wrote it, all of it is legal: acuities within range, a room that was checked, names without control signs.
#[derive(Debug, Clone)]
pub struct Claim {
    /// The room of a chart for a screen; none for a near chart.
    pub room: Option<Room>,
    /// The distance from the eye to a near chart.
    pub distance: Option<Length>,
    /// Its lines, from the top.
    pub lines: Vec<ClaimedLine>,
    /// Its fields.
    pub fields: Fields,
    /// Where red lies, as the patient sees it.
    pub red: Side,
    /// The letters' set, by its name.
    pub letters: String,
    /// Whether it has labels.
    pub labels: bool,
    /// The codes of the fields, if the file names them.
    pub codes: Option<Vec<[u8; 3]>>,
}

/// One line as the file has it.
#[derive(Debug, Clone)]
pub struct ClaimedLine {
    /// Its size.
    pub acuity: Acuity,
    /// Its letters from the left, by their names.
    pub letters: Vec<String>,
}

impl Claim {
    /// Reads the text. Any program may have written it: what steers a terminal comes no farther.
    ///
    /// ```
    /// # use evenfield::claim::Claim;
    /// let near = r#"{"near_chart": {"distance_mm": 400, "field_codes": [[255, 0, 0], [0, 148, 0]],
    ///     "letters": "sloan", "lines": [{"log_mar": 0.3, "letters": ["C", "K"]}]}}"#;
    /// let claim = Claim::parse(near)?;
    /// assert_eq!(claim.distance.map(|distance| distance.to_mm()), Some(400.0));
    /// assert_eq!(claim.lines[0].acuity.to_string(), "20/40");
    /// // No eye stands nearer than nowhere.
    /// assert!(Claim::parse(&near.replace("400", "-400")).unwrap_err().contains("-400"));
    /// # Ok::<(), String>(())
    /// ```
    ///
    /// # Errors
    /// A text that is no claim, or one of something that cannot be, in words.
    pub fn parse(json: &str) -> Result<Self, String> {
        Self::read(json).map_err(|problem| shown(&problem))
    }

    fn read(json: &str) -> Result<Self, String> {
        if let Ok(claim) = serde_json::from_str::<NearClaim>(json) {
            return Self::of_near_chart(claim.near_chart);
        }
        let ChartClaim { chart, room, demo_room, .. } =
            serde_json::from_str(json).map_err(|error| error.to_string())?;
        let basis = if demo_room { Basis::Invented } else { Basis::Measured };
        Ok(Self {
            room: Some(Room::from_file(room, basis).map_err(|error| error.to_string())?),
            distance: None,
            lines: lines(chart.lines)?,
            fields: chart.fields,
            red: chart.red,
            letters: shown(&chart.letters),
            labels: chart.labels.is_some(),
            codes: Some(chart.field_codes),
        })
    }

    fn of_near_chart(chart: NearRecord) -> Result<Self, String> {
        if !(chart.distance_mm > 0.0 && chart.distance_mm.is_finite()) {
            return Err(format!("a distance of {} mm", chart.distance_mm));
        }
        Ok(Self {
            room: None,
            distance: Some(Length::mm(chart.distance_mm)),
            lines: lines(chart.lines)?,
            fields: Fields::RedGreen,
            red: Side::Left,
            letters: shown(&chart.letters),
            labels: false,
            codes: Some(chart.field_codes),
        })
    }

    /// The same claim for the letters on white.
    #[must_use]
    pub fn on_white(&self) -> Self {
        Self { fields: Fields::White, codes: None, ..self.clone() }
    }
}

fn lines(records: Vec<LineRecord>) -> Result<Vec<ClaimedLine>, String> {
    let line = |record: LineRecord| {
        let acuity = Acuity::from_log_mar(record.log_mar).map_err(|error| error.to_string())?;
        Ok(ClaimedLine { acuity, letters: record.letters.iter().map(|letter| shown(letter)).collect() })
    };
    records.into_iter().map(line).collect()
}
