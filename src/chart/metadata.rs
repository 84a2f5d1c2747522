//! What a chart's file says about itself: enough to check it, or to make it again.
//!
//! The title and the description are for people, the [claim](crate::claim) for programs. Folders of the practice's files are left
//! out: charts are handed on.

use super::{FieldColours, Request, Row};
use crate::claim::{ChartClaim, ChartRecord, LineRecord};
use crate::light::{Basis, Channel, Fields, Side};
use crate::quantity::Luminance;
use crate::room::Room;
use crate::scene::Metadata;

/// What a viewer shows of a chart, and its claim for programs.
pub(super) fn of(request: &Request, room: &Room, rows: &[Row], claim: &ChartClaim) -> Metadata {
    Metadata {
        title: title(request, room, rows),
        description: description(request, room),
        json: claim.to_json(),
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

/// All that the file says of itself.
pub(super) fn claim(request: &Request, room: &Room, colours: &FieldColours, rows: &[Row]) -> ChartClaim {
    let line =
        |row: &Row| LineRecord::new(row.acuity, row.letters.iter().map(|letter| letter.name()).collect());
    let paints = std::iter::once(colours.left).chain(colours.right);
    ChartClaim {
        version: env!("CARGO_PKG_VERSION").into(),
        chart: ChartRecord {
            fields: request.fields,
            red: request.red,
            white: request.white.name().into(),
            letters: request.letters.name().into(),
            seed: request.seed,
            labels: request.labels.map(|notation| notation.name().into()),
            luminance_cd_m2: request.luminance.map(Luminance::to_cd_m2),
            lines: rows.iter().map(line).collect(),
            field_codes: paints.map(|paint| paint.codes).collect(),
        },
        room: room.file().without_folders(),
        room_files: room.files().to_vec(),
        demo_room: room.display.full_basis(Channel::Red) == Basis::Invented,
    }
}
