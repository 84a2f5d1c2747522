//! What a chart's file says about itself: enough to check it, or to make it again.

use serde::Serialize;

use super::{FieldColours, Request, Row, White};
use crate::acuity::{Acuity, Notation};
use crate::light::{Basis, Channel, Fields, Side};
use crate::room::{NamedFile, Room, RoomFile};
use crate::scene::Metadata;

#[derive(Serialize)]
struct Record<'a> {
    version: &'static str,
    chart: ChartRecord,
    /// Without the folders of its files, in which a person's name may stand.
    room: RoomFile,
    /// The sums of those files, by which they are recognised.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    room_files: &'a [NamedFile],
    /// Whether the room is the built-in one, whose numbers are invented.
    demo_room: bool,
}

#[derive(Serialize)]
struct ChartRecord {
    fields: Fields,
    red: Side,
    white: White,
    letters: &'static str,
    seed: u64,
    labels: Option<&'static str>,
    luminance_cd_m2: Option<f64>,
    lines: Vec<LineRecord>,
    /// Device codes from the patient's left; they hold for this room's screen without colour management.
    field_codes: Vec<[u8; 3]>,
}

#[derive(Serialize)]
struct LineRecord {
    log_mar: f64,
    name: String,
    letters: Vec<String>,
}

pub(super) fn of(request: &Request, room: &Room, colours: &FieldColours, lines: &[Row]) -> Metadata {
    Metadata {
        title: title(request, room, lines),
        description: description(request, room),
        json: json(request, room, colours, lines),
    }
}

fn title(request: &Request, room: &Room, lines: &[Row]) -> String {
    let fields = match request.fields {
        Fields::RedGreen => "Red-green chart",
        Fields::White => "White chart",
        Fields::Red => "Red chart",
        Fields::Green => "Green chart",
    };
    let names: Vec<String> = lines.iter().map(|line| line.acuity.to_string()).collect();
    format!("{fields}, {}, for {}", names.join(" "), room.viewing.distance)
}

fn description(request: &Request, room: &Room) -> String {
    let [columns, rows] = room.screen.pixels;
    let [width, height] = room.screen.size();
    let side = match (request.fields, request.red) {
        (Fields::RedGreen, Side::Left) => " Red on the patient\u{2019}s left.",
        (Fields::RedGreen, Side::Right) => " Red on the patient\u{2019}s right.",
        (Fields::White | Fields::Red | Fields::Green, _) => "",
    };
    let mirror = if room.viewing.mirror { " Mirrored, to be seen in a mirror." } else { "" };
    format!(
        "Made for a screen of {columns} \u{d7} {rows} pixels and {width} \u{d7} {height} at {}.{side}{mirror} \
         Its codes are the device\u{2019}s own, chosen for this room. In an SVG the viewer draws the edges: \
         for slides and print, not for examination. {}",
        room.viewing.distance,
        crate::SUPERVISION
    )
}

fn json(request: &Request, room: &Room, colours: &FieldColours, lines: &[Row]) -> String {
    let line = |line: &Row| LineRecord {
        log_mar: line.acuity.to_log_mar(),
        name: Acuity::to_string(&line.acuity),
        letters: line.letters.iter().map(|letter| letter.name()).collect(),
    };
    let record = Record {
        version: env!("CARGO_PKG_VERSION"),
        chart: ChartRecord {
            fields: request.fields,
            red: request.red,
            white: request.white,
            letters: request.letters.name(),
            seed: request.seed,
            labels: request.labels.map(Notation::name),
            luminance_cd_m2: request.luminance.map(crate::quantity::Luminance::to_cd_m2),
            lines: lines.iter().map(line).collect(),
            field_codes: std::iter::once(colours.left)
                .chain(colours.right)
                .map(|paint| paint.codes)
                .collect(),
        },
        room: room.file().without_folders(),
        room_files: room.files(),
        demo_room: room.display.full_basis(Channel::Red) == Basis::Invented,
    };
    serde_json::to_string(&record).expect("the record has only text, numbers and lists")
}
