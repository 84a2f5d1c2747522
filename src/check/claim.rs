//! What a chart's file says of itself.

use serde::Deserialize;

use crate::acuity::Acuity;
use crate::light::{Basis, Fields, Side};
use crate::quantity::Length;
use crate::room::{Room, RoomFile};
use crate::text::shown;

/// The part of a file's JSON that a check can hold it to.
#[derive(Debug, Clone)]
pub(super) struct Claim {
    /// The room of a chart for a screen; none for a near chart.
    pub(super) room: Option<Room>,
    /// The distance from the eye to a near chart.
    pub(super) distance: Option<Length>,
    pub(super) lines: Vec<ClaimedLine>,
    pub(super) fields: Fields,
    pub(super) red: Side,
    pub(super) letters: String,
    pub(super) labels: bool,
    /// The codes of the fields, if the file names them.
    pub(super) codes: Option<Vec<[u8; 3]>>,
}

/// One line as the file has it.
#[derive(Debug, Clone)]
pub(super) struct ClaimedLine {
    pub(super) acuity: Acuity,
    pub(super) letters: Vec<String>,
}

/// What a near chart says of itself.
#[derive(Deserialize)]
struct NearRecord {
    near_chart: NearChartRecord,
}

#[derive(Deserialize)]
struct NearChartRecord {
    distance_mm: f64,
    letters: String,
    lines: Vec<LineRecord>,
    field_codes: Vec<[u8; 3]>,
}

#[derive(Deserialize)]
struct Record {
    chart: ChartRecord,
    room: RoomFile,
    demo_room: bool,
}

#[derive(Deserialize)]
struct ChartRecord {
    fields: Fields,
    red: Side,
    letters: String,
    labels: Option<String>,
    lines: Vec<LineRecord>,
    field_codes: Vec<[u8; 3]>,
}

#[derive(Deserialize)]
struct LineRecord {
    log_mar: f64,
    letters: Vec<String>,
}

impl Claim {
    /// Reads and checks the JSON. Any program may have written it: what steers a terminal comes no farther.
    pub(super) fn parse(json: &str) -> Result<Self, String> {
        Self::read(json).map_err(|problem| shown(&problem))
    }

    fn read(json: &str) -> Result<Self, String> {
        if let Ok(record) = serde_json::from_str::<NearRecord>(json) {
            return Self::of_near_chart(record.near_chart);
        }
        let record: Record = serde_json::from_str(json).map_err(|error| error.to_string())?;
        let basis = if record.demo_room { Basis::Invented } else { Basis::Measured };
        let room = Room::from_file(record.room, basis).map_err(|error| error.to_string())?;
        let chart = record.chart;
        let lines = chart.lines.into_iter().map(ClaimedLine::from_record).collect::<Result<_, _>>()?;
        Ok(Self {
            room: Some(room),
            distance: None,
            lines,
            fields: chart.fields,
            red: chart.red,
            letters: shown(&chart.letters),
            labels: chart.labels.is_some(),
            codes: Some(chart.field_codes),
        })
    }
}

impl Claim {
    /// The same claim for the letters on white.
    pub(super) fn on_white(&self) -> Self {
        Self { fields: Fields::White, codes: None, ..self.clone() }
    }

    fn of_near_chart(chart: NearChartRecord) -> Result<Self, String> {
        if !(chart.distance_mm > 0.0 && chart.distance_mm.is_finite()) {
            return Err(format!("a distance of {} mm", chart.distance_mm));
        }
        Ok(Self {
            room: None,
            distance: Some(Length::mm(chart.distance_mm)),
            lines: chart.lines.into_iter().map(ClaimedLine::from_record).collect::<Result<_, _>>()?,
            fields: Fields::RedGreen,
            red: Side::Left,
            letters: shown(&chart.letters),
            labels: false,
            codes: Some(chart.field_codes),
        })
    }
}

impl ClaimedLine {
    fn from_record(record: LineRecord) -> Result<Self, String> {
        let acuity = Acuity::from_log_mar(record.log_mar).map_err(|error| error.to_string())?;
        Ok(Self { acuity, letters: record.letters.iter().map(|letter| shown(letter)).collect() })
    }
}
