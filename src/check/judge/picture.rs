//! The picture as a whole: its pixels, its scale, its fields.
//!
//! Each finding here has one way of going wrong in mind, which its note names: a picture made for another screen, a file that
//! another program saved, a colour tag that lets viewers change the codes, a mirror that was forgotten or used twice.

use super::marks;
use super::seen::Seen;
use super::{Wanted, clause};
use crate::check::png::{ColourTag, Picture};
use crate::check::{Finding, Requirement, Value, Verdict};
use crate::light::{Fields, Side};
use crate::quantity::Length;
use crate::room::Room;

/// How far the file's scale may be from the room's, in per cent.
const SCALE_PERCENT: f64 = 0.1;

/// How far a drawing's sides may be from the screen's, in millimetres: a digit of those that are shown.
const SIDE_MM: f64 = 0.1;

/// Findings on the picture as a whole; paths have a size and no pixels, scale or colour tag.
pub(super) fn findings(picture: &Picture, seen: &Seen, wanted: &Wanted) -> Vec<Finding> {
    let room = wanted.room.as_ref();
    let mut findings = match picture.sampled {
        None => vec![pixels(seen, room), scale(picture, room), colour_tag(picture, room)],
        Some(sample) => vec![paths(seen, sample, room)],
    };
    findings.push(fields(seen, wanted));
    findings.extend(wanted.codes.as_ref().map(|codes| field_codes(seen, codes)));
    findings.extend([marks::evenness(seen, wanted.labels), mirroring(seen, room)]);
    findings
}

/// The number of pixels against the room's screen: one off and the screen, or a viewer, scales it.
fn pixels(seen: &Seen, room: Option<&Room>) -> Finding {
    let words = |[columns, rows]: [u32; 2]| format!("{columns} × {rows}");
    let finding =
        Finding::words(&clause::PIXELS, words(seen.size), room.map(|room| words(room.screen.pixels)));
    finding.note_if_failed("the screen would scale or crop it: make the chart anew for this screen")
}

/// The size of a drawing, which is all the scale that paths have.
fn paths(seen: &Seen, sample: [Length; 2], room: Option<&Room>) -> Finding {
    let words = |size: [Length; 2]| {
        let [width, height] = size.map(Length::to_mm);
        format!("{width:.1} × {height:.1} mm")
    };
    let size = [0, 1].map(|axis: usize| sample[axis] * f64::from(seen.size[axis]));
    let wanted = room.map(|room| room.screen.size());
    let same = |wanted: [Length; 2]| {
        size.iter().zip(wanted).all(|(side, wanted)| (side.to_mm() - wanted.to_mm()).abs() <= SIDE_MM)
    };
    let finding = Finding::words(&clause::SCALE, words(size), wanted.map(words));
    let finding = match wanted.map(same) {
        Some(true) => finding.with_verdict(Verdict::Pass),
        Some(false) => finding.with_verdict(Verdict::Fail),
        None => finding,
    };
    let finding =
        finding.note_if_failed("a viewer would show it at another size: make the chart anew for this room");
    if finding.verdict == Verdict::Fail {
        return finding;
    }
    finding.with_note(if room.is_some() {
        "measured by its paths; the program that shows them draws the edges, so it is for slides and print only"
    } else {
        "measured by its paths; a printer may scale them, so hold a rule and a card to the print"
    })
}

/// The worse of the two axes.
fn scale(picture: &Picture, room: Option<&Room>) -> Finding {
    let Some(counts) = picture.pixels_a_metre else {
        let finding = Finding::words(&clause::SCALE, "none".into(), None);
        return finding.with_note("the file names no scale; on the screen itself only its pixels count");
    };
    let [across, down] = counts.map(f64::from);
    let Some(room) = room else {
        return Finding::number(&clause::SCALE, across, Requirement::Unknown)
            .with_note("give the room with --room");
    };
    let [wanted_across, wanted_down] = room.screen.pitch.map(|pitch| 1.0 / Length::to_m(pitch));
    let off = |measured: f64, wanted: f64| (measured / wanted - 1.0).abs();
    let (measured, wanted) = if off(across, wanted_across) > off(down, wanted_down) {
        (across, wanted_across)
    } else {
        (down, wanted_down)
    };
    // Where a pixel is so large that a metre has few, half a count is more.
    let percent = SCALE_PERCENT.max(50.0 / wanted);
    let finding = Finding::number(&clause::SCALE, measured, Requirement::Near(wanted, percent));
    finding.note_if_failed("print and other programs would show it at another size: make the chart anew")
}

/// The colour tag. One that is not the room's lets a program between file and screen change the codes.
fn colour_tag(picture: &Picture, room: Option<&Room>) -> Finding {
    let found = picture.colour_tag.to_string();
    let Some(room) = room else {
        return Finding::words(&clause::COLOUR_TAG, found, None).with_note("give the room with --room");
    };
    let own = match room.screen.profile {
        Some(_) => ColourTag::Profile,
        None if room.display.follows_srgb() => ColourTag::Srgb,
        None => ColourTag::None,
    };
    if picture.colour_tag == ColourTag::None {
        return Finding::words(&clause::COLOUR_TAG, found.clone(), Some(found));
    }
    let wanted =
        if own == ColourTag::None { own.to_string() } else { format!("{own}, or {}", ColourTag::None) };
    let finding = Finding::words(&clause::COLOUR_TAG, found, Some(wanted));
    if picture.colour_tag == own {
        return finding.with_verdict(Verdict::Pass);
    }
    let note = "a program that obeys the tag shows other codes than these: make the chart anew for this room";
    finding.with_verdict(Verdict::Warn).with_note(note)
}

/// The codes in the picture against those that the file names; whatever lay between may have changed them.
fn field_codes(seen: &Seen, named: &[[u8; 3]]) -> Finding {
    let words = |codes: &[[u8; 3]]| {
        let one = |[red, green, blue]: &[u8; 3]| format!("({red}, {green}, {blue})");
        codes.iter().map(one).collect::<Vec<_>>().join(" ")
    };
    let finding = Finding::words(&clause::FIELD_CODES, words(&seen.fields.codes), Some(words(named)));
    finding.note_if_failed("the codes on the way to this file were changed: make the chart anew")
}

/// What a field's codes are called.
pub(super) fn colour(codes: [u8; 3]) -> String {
    match codes {
        [red, 0, 0] if red > 0 => "red".into(),
        [0, green, 0] if green > 0 => "green".into(),
        [red, green, blue] if red > 0 && red == green && green == blue => "white".into(),
        [red, green, blue] => format!("mixed ({red}, {green}, {blue})"),
    }
}

/// Which fields there are, from the patient's left, and whether they meet without a gap where they should.
fn fields(seen: &Seen, wanted: &Wanted) -> Finding {
    let names: Vec<String> = seen.fields.codes.iter().map(|codes| colour(*codes)).collect();
    let measured = match names.as_slice() {
        [left, right] => two(left, right, seen.fields.seam, seen.fields.gap),
        _ => names.concat(),
    };
    let known = match names.as_slice() {
        [left, right] => (left == "red" && right == "green") || (left == "green" && right == "red"),
        [one] => !one.starts_with("mixed"),
        _ => false,
    };
    let found_side = if names.first().is_some_and(|left| left == "red") { Side::Left } else { Side::Right };
    let middle = seen.size[0] / 2;
    let as_found = || match names.as_slice() {
        [left, right] if known => two(left, right, middle, 0),
        [one] if known => one.clone(),
        _ => "red and green, or one field".into(),
    };
    let required = match wanted.fields {
        None => as_found(),
        Some(Fields::RedGreen) => match wanted.red.unwrap_or(found_side) {
            Side::Left => two("red", "green", middle, 0),
            Side::Right => two("green", "red", middle, 0),
        },
        Some(one) => one.name().into(),
    };
    let finding = Finding::words(&clause::FIELDS, measured, Some(required));
    let finding = match wanted.fields {
        None if finding.verdict == Verdict::Pass => finding
            .with_verdict(Verdict::NotJudged)
            .with_note("two fields or one can be legal: say with --fields what it should be"),
        None => finding,
        Some(_) => finding,
    };
    finding.note_if_failed("the codes on the way to this file were changed, or it is another chart")
}

fn two(left: &str, right: &str, seam: u32, gap: i64) -> String {
    let between = if gap == 0 { String::new() } else { format!(", {gap} columns apart") };
    format!("{left}, {right} from column {seam}{between}")
}

fn mirroring(seen: &Seen, room: Option<&Room>) -> Finding {
    let right_way = "the right way round";
    let words = |measured: &str| Finding::words(&clause::MIRRORING, measured.into(), Some(right_way.into()));
    if seen.readable.mirrored > seen.readable.plain {
        let remedy = match room.map(|room| room.viewing.mirror) {
            Some(true) => {
                "the room has a mirror, but the picture is not mirrored for it: make the chart for this room"
            }
            _ => "the picture is mirrored: if it is seen in a mirror, say so in the room file",
        };
        return words("mirrored").with_note(remedy);
    }
    if seen.readable.plain == seen.readable.mirrored {
        let finding = words(right_way).with_verdict(Verdict::NotJudged);
        let finding = Finding { measured: Value::Words("cannot be told".into()), ..finding };
        return finding.with_note("these letters look alike in a mirror, or are not readable either way");
    }
    words(right_way)
}
