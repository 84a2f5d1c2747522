//! The light: whether both fields are equally bright, letters dark enough and fields bright enough.
//!
//! All of it by the room file's own light. Without a room the codes alone say nothing, so the match is not judged.

use super::picture::colour;
use super::seen::Seen;
use super::{Wanted, clause};
use crate::check::{Finding, Requirement, Value, Verdict};
use crate::light::{
    Basis, GREY_LETTER_PERCENT, Judgement, LETTER_LIGHT_PERCENT, MATCH_PERCENT, PHOTOPIC, difference_percent,
};
use crate::quantity::Luminance;
use crate::room::Display;

/// Findings on the light: the match where there are two fields, then contrast and luminance of each.
pub(super) fn findings(seen: &Seen, wanted: &Wanted, display: &Display) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let [left, right] = seen.fields.codes.as_slice() {
        let coded = match_as_coded(*left, *right, display);
        findings.push(if wanted.room.is_some() {
            coded
        } else {
            let note = "the screen’s light is not known: give the room with --room";
            coded.with_verdict(Verdict::NotJudged).with_note(note)
        });
        findings.push(match_as_seen(*left, *right, display, wanted.room.is_some()));
    }
    for (field, codes) in seen.fields.codes.iter().enumerate() {
        let darkest = seen.letters().filter(|(of, _)| *of == field).map(|(_, letter)| letter.ink_cd_m2);
        findings.extend(darkest.reduce(f64::max).map(|ink| contrast(*codes, ink, display)));
        findings.push(luminance(*codes, display));
    }
    findings
}

/// What the luminance of a field as coded rests on.
fn ground(codes: [u8; 3], display: &Display) -> Basis {
    display.light_basis_of(codes).with(display.tone_basis_of(codes))
}

/// The match that the drawing aimed at, by the room file alone and without the room's light.
fn match_as_coded(left: [u8; 3], right: [u8; 3], display: &Display) -> Finding {
    let off = difference_percent(display.luminance(left), display.luminance(right));
    let finding = Finding::number(&clause::MATCH_AS_CODED, off.abs(), Requirement::AtMost(MATCH_PERCENT));
    let grounds = display.worked_out_from(left, right);
    let brighter = colour(if off > 0.0 { left } else { right });
    let failed = format!("{brighter} is brighter, which biases the answer; {grounds}");
    let ratio = display.ratio_basis_of([left, right]);
    let ground = ratio.with(display.tone_basis_of(left)).with(display.tone_basis_of(right));
    finding.resting_on(ground).with_note(grounds).note_if_failed(failed)
}

/// With the room's light, and how well it is known. An eye differs from V(λ) of 1924 by more than that: see the note.
fn match_as_seen(left: [u8; 3], right: [u8; 3], display: &Display, room_known: bool) -> Finding {
    let found = display.field_match(left, right);
    if !(found.established && room_known) {
        let finding = Finding::words(&clause::MATCH_AS_SEEN, "not established".into(), None);
        return finding.with_note("the luminances of red and green are assumed: meter both in the room and write them into its file");
    }
    let (value, uncertainty) = (found.difference_percent.abs(), found.uncertainty_percent);
    let verdict = match Judgement::at_most(value, uncertainty, MATCH_PERCENT) {
        Judgement::Pass => Verdict::Pass,
        Judgement::CannotBeTold => Verdict::NotJudged,
        Judgement::Fail => Verdict::Fail,
    };
    let finding = Finding::number(&clause::MATCH_AS_SEEN, value, Requirement::AtMost(MATCH_PERCENT));
    let measured = Value::Uncertain { value, uncertainty };
    let note = if found.read { read_note(left, right, display) } else { seen_note(left, right, display) };
    Finding { measured, ..finding.resting_on(found.basis).with_verdict(verdict).with_note(note) }
}

/// Eyes are not all like the one that a photometer stands for.
const EYES_DIFFER: &str = "eyes differ from V(λ) by 10 % and more between red and green";

fn read_note(left: [u8; 3], right: [u8; 3], display: &Display) -> String {
    format!("{}; {EYES_DIFFER}", display.match_rests_on(left, right))
}

fn seen_note(left: [u8; 3], right: [u8; 3], display: &Display) -> String {
    let meter = display.meter();
    let left_out = display.readings_left_out(left, right).map(|why| format!("{why} ")).unwrap_or_default();
    format!(
        "{left_out}a file cannot tell more: read both fields as shown, at the eye, and keep the readings with `evenfield room verify --keep`; \
         {}; a reading {} as good to {:.1} %; {EYES_DIFFER}",
        display.match_rests_on(left, right),
        if meter.given { "given" } else { "taken" },
        meter.standard * 100.0
    )
}

/// The lightest ink on a field over the field's light, both with what the room adds. Here the room's light matters most: it
/// lifts black from next to nothing, and the field hardly at all.
fn contrast(field: [u8; 3], ink_cd_m2: f64, display: &Display) -> Finding {
    let ink = Luminance::cd_m2(ink_cd_m2) + display.reflected();
    let percent = ink / display.luminance_in_room(field) * 100.0;
    let room_light = match display.reflected_basis() {
        Basis::Assumed => "no room light is given, so none is counted".into(),
        basis @ (Basis::Measured | Basis::Derived | Basis::Matched | Basis::Claimed | Basis::Invented) => {
            format!("with {} of room light, {basis}", display.reflected())
        }
    };
    let finding = Finding::number(&clause::CONTRAST, percent, Requirement::AtMost(LETTER_LIGHT_PERCENT))
        .warn_if(percent > GREY_LETTER_PERCENT);
    let ground = ground(field, display).with(display.black_basis()).with(display.reflected_basis());
    finding
        .at(colour(field))
        .resting_on(ground)
        .with_note(format!("{room_light}; black {}", display.black_basis()))
}

/// How bright a field is, with twice its standard uncertainty; a limit within that is not judged.
fn luminance(field: [u8; 3], display: &Display) -> Finding {
    let cd_m2 = display.luminance(field).to_cd_m2();
    let finding = Finding::number(&clause::FIELD_LUMINANCE, cd_m2, Requirement::AtLeast(PHOTOPIC.to_cd_m2()));
    let uncertainty = 2.0 * cd_m2 * display.uncertainty(field);
    let finding = Finding { measured: Value::Uncertain { value: cd_m2, uncertainty }, ..finding };
    let grounds = display.light_rests_on(field);
    let failed = format!("V(λ) no longer holds; {grounds}");
    finding
        .at(colour(field))
        .resting_on(ground(field, display))
        .with_note(grounds)
        .note_if_failed(failed)
        .only_warn()
        .not_judged_if((cd_m2 - PHOTOPIC.to_cd_m2()).abs() < uncertainty)
}
