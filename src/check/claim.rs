//! What a chart's file says of itself.

use serde::Deserialize;

use crate::acuity::Acuity;
use crate::light::{Basis, Fields, Side};
use crate::room::{Room, RoomFile};

/// The part of a file's JSON that a check can hold it to.
#[derive(Debug, Clone)]
pub(super) struct Claim {
    pub(super) room: Room,
    pub(super) lines: Vec<ClaimedLine>,
    pub(super) fields: Fields,
    pub(super) red: Side,
    pub(super) letters: String,
    pub(super) labels: bool,
    pub(super) codes: Vec<[u8; 3]>,
}

/// One line as the file has it.
#[derive(Debug, Clone)]
pub(super) struct ClaimedLine {
    pub(super) acuity: Acuity,
    pub(super) letters: Vec<String>,
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
    /// Reads and checks the JSON.
    pub(super) fn parse(json: &str) -> Result<Self, String> {
        let record: Record = serde_json::from_str(json).map_err(|error| error.to_string())?;
        let basis = if record.demo_room { Basis::Invented } else { Basis::Measured };
        let room = Room::from_file(record.room, basis).map_err(|error| error.to_string())?;
        let chart = record.chart;
        let lines = chart.lines.into_iter().map(ClaimedLine::from_record).collect::<Result<_, _>>()?;
        Ok(Self {
            room,
            lines,
            fields: chart.fields,
            red: chart.red,
            letters: chart.letters,
            labels: chart.labels.is_some(),
            codes: chart.field_codes,
        })
    }
}

impl ClaimedLine {
    fn from_record(record: LineRecord) -> Result<Self, String> {
        let acuity = Acuity::from_log_mar(record.log_mar).map_err(|error| error.to_string())?;
        Ok(Self { acuity, letters: record.letters })
    }
}
