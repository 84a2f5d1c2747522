//! The light: whether both fields are equally bright, letters dark enough and fields bright enough.

use super::picture::colour;
use super::seen::Seen;
use super::{Wanted, clause};
use crate::check::{Finding, Requirement, Value, Verdict};
use crate::light::{
    Basis, Channel, GREY_LETTER_PERCENT, LETTER_LIGHT_PERCENT, MATCH_PERCENT, PHOTOPIC, difference_percent,
};
use crate::quantity::Luminance;
use crate::room::Display;

pub(super) fn findings(seen: &Seen, wanted: &Wanted, display: &Display) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let [left, right] = seen.fields.codes.as_slice() {
        let coded = match_as_coded(*left, *right, display);
        findings.push(if wanted.room.is_some() {
            coded
        } else {
            let note = "the screen's light is not known: give the room with --room";
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

/// The weakest basis among the channels that a field drives.
fn of_driven(codes: [u8; 3], ground: impl Fn(Channel) -> Basis) -> Basis {
    let driven = Channel::ALL.into_iter().filter(|channel| codes[channel.index()] > 0);
    driven.map(ground).fold(Basis::Measured, Basis::with)
}

/// What the luminance of a field at full drive rests on.
fn basis(codes: [u8; 3], display: &Display) -> Basis {
    of_driven(codes, |channel| display.full_basis(channel))
}

/// What the field's share of white rests on.
fn ratio_basis(codes: [u8; 3], display: &Display) -> Basis {
    of_driven(codes, |channel| display.ratio_basis(channel))
}

/// What the tone curve rests on. At full drive the curve is not needed, so it weakens nothing.
fn tone_ground(codes: [u8; 3], display: &Display) -> Basis {
    let on_the_curve = codes.iter().any(|code| (1..255).contains(code));
    if on_the_curve { display.tone_basis() } else { Basis::Measured }
}

/// What the luminance of a field as coded rests on.
fn ground(codes: [u8; 3], display: &Display) -> Basis {
    basis(codes, display).with(tone_ground(codes, display))
}

/// Luminances and tone curve in words.
fn grounds(luminance: Basis, tone: Basis) -> String {
    format!(
        "luminances {luminance}, tone curve {}",
        if tone == Basis::Assumed { "assumed (sRGB)".into() } else { tone.to_string() }
    )
}

fn match_as_coded(left: [u8; 3], right: [u8; 3], display: &Display) -> Finding {
    let off = difference_percent(display.luminance(left), display.luminance(right));
    let finding = Finding::number(&clause::MATCH_AS_CODED, off.abs(), Requirement::AtMost(MATCH_PERCENT));
    let ratio = ratio_basis(left, display).with(ratio_basis(right, display));
    let grounds = grounds(ratio, display.tone_basis());
    let brighter = colour(if off > 0.0 { left } else { right });
    let failed = format!("{brighter} is brighter, which biases the answer; {grounds}");
    let ground = ratio.with(tone_ground(left, display)).with(tone_ground(right, display));
    finding.resting_on(ground).with_note(grounds).note_if_failed(failed)
}

/// With the room's light, and how well it is known. An eye differs from V(λ) of 1924 by more than that: see the note.
fn match_as_seen(left: [u8; 3], right: [u8; 3], display: &Display, room_known: bool) -> Finding {
    let ratio = ratio_basis(left, display).with(ratio_basis(right, display));
    if ratio == Basis::Assumed || !room_known {
        let finding = Finding::words(&clause::MATCH_AS_SEEN, "not established".into(), None);
        return finding.with_note("the luminances of red and green are assumed: meter both in the room and write them into its file");
    }
    let value = difference_percent(display.luminance_in_room(left), display.luminance_in_room(right)).abs();
    let uncertainty = 2.0 * display.match_uncertainty(left, right) * 100.0;
    let verdict = match value {
        off if off + uncertainty <= MATCH_PERCENT => Verdict::Pass,
        off if off - uncertainty > MATCH_PERCENT => Verdict::Fail,
        _ => Verdict::NotJudged,
    };
    let meter = display.meter();
    let note = format!(
        "a file cannot tell more: meter both fields as shown, at the eye; {}, a reading {} as good to {:.1} %; \
         eyes differ from V(λ) by 10 % and more between red and green",
        grounds(ratio, display.tone_basis()),
        if meter.given { "given" } else { "taken" },
        meter.standard * 100.0
    );
    let finding = Finding::number(&clause::MATCH_AS_SEEN, value, Requirement::AtMost(MATCH_PERCENT));
    let measured = Value::Uncertain { value, uncertainty };
    let ground = ratio.with(tone_ground(left, display)).with(tone_ground(right, display));
    Finding { measured, ..finding.resting_on(ground).with_verdict(verdict).with_note(note) }
}

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

fn luminance(field: [u8; 3], display: &Display) -> Finding {
    let cd_m2 = display.luminance(field).to_cd_m2();
    let finding = Finding::number(&clause::FIELD_LUMINANCE, cd_m2, Requirement::AtLeast(PHOTOPIC.to_cd_m2()));
    let measured = Value::Uncertain { value: cd_m2, uncertainty: 2.0 * cd_m2 * display.uncertainty(field) };
    let finding = Finding { measured, ..finding };
    let grounds = grounds(basis(field, display), display.tone_basis());
    let failed = format!("V(λ) no longer holds; {grounds}");
    finding
        .at(colour(field))
        .resting_on(ground(field, display))
        .with_note(grounds)
        .note_if_failed(failed)
        .only_warn()
}
