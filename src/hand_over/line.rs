//! A line an eye, to paste into a practice's own file.

use super::Writing;
use super::eye::HandedEye;
use crate::balance::record::Kept;
use crate::balance::{Laterality, Lens, Near, Procedure, RefinedFor, Stage, Stands, Whereabouts};
use crate::quantity::{Dioptres, Length};

/// A line for each eye of an examination that has a lens chosen, and one for what both eyes and near came to.
///
/// All of their characters are of Latin-1, with the hyphen for a minus: a program that knows no other must not lose a sign.
///
/// ```
/// use evenfield::balance::record::Records;
/// use evenfield::hand_over::{Writing, lines_to_paste};
/// // Of nothing nothing is handed over.
/// let records = Records::read("");
/// assert!(records.kept.iter().flat_map(|kept| lines_to_paste(kept, Writing::default())).next().is_none());
/// ```
#[must_use]
pub fn lines_to_paste(kept: &Kept, writing: Writing) -> Vec<String> {
    if let Some(warning) = kept.warning() {
        return vec![plain(&warning)];
    }
    let eyes = HandedEye::all_of(kept).into_iter().filter_map(|eye| eye_line(&eye, writing));
    let lines: Vec<String> = eyes.chain(both_line(kept, writing)).collect();
    let open = open(kept).filter(|_| !lines.is_empty());
    lines.into_iter().chain(open).map(|line| plain(&line)).collect()
}

fn eye_line(eye: &HandedEye<'_>, writing: Writing) -> Option<String> {
    let start = eye.start();
    let lens = compact(eye.ends_with()?.written(writing.cylinders));
    let side = match eye.eye() {
        Laterality::Right => "R",
        Laterality::Left => "L",
    };
    let vertex = start.vertex.map(|vertex| format!(" at {} mm", vertex.to_mm()));
    let acuity = eye.acuity_through_it();
    let acuity = acuity.map(|score| format!(" {}", score.in_notation_or_own(writing.notation)));
    let room = match eye.is_for()? {
        RefinedFor::Room => format!(" for {}", metres(start.distance())),
        RefinedFor::FarAway => " for far".into(),
    };
    let by = if start.procedure == Procedure::Midpoint { "white" } else { "red-green" };
    let sure = match eye.course.follows_a_side() {
        Some(_) => ", answers all to one side".into(),
        None => eye.whereabouts().map(|found| sure(eye, found)).unwrap_or_default(),
    };
    let kept = eye.course.standing().and_then(|standing| kept_because(standing.why)).unwrap_or_default();
    let asked = format!("{by} at {}, {}{sure}{kept}", metres(start.distance()), start.procedure.name());
    let change = if eye.is_unchanged()? { "no change".into() } else { changed(eye)? };
    let meant = eye.kept.examination.intended_in_short(eye.eye());
    let glasses = eye.in_glasses().zip(start.glasses_vertex).map(|(lens, vertex)| {
        format!("in glasses at {} mm {}", vertex.to_mm(), compact(lens.written(writing.cylinders)))
    });
    let parts = [
        Some(format!("{side} {lens}{room}{}{}", vertex.unwrap_or_default(), acuity.unwrap_or_default())),
        glasses,
        Some(asked),
        Some(change),
        meant,
    ];
    Some(parts.into_iter().flatten().collect::<Vec<_>>().join(" \u{b7} "))
}

/// Why the manifest stands; none where the lens of the questions does.
const fn kept_because(why: Stands) -> Option<&'static str> {
    match why {
        Stands::NotDecided => Some(", not decided"),
        Stands::NotRepeated => Some(", not confirmed"),
        Stands::WorseOnWhite(_) => Some(", worse on white"),
        Stands::TooLittleGain(_) => Some(", no better on white"),
        Stands::Balanced | Stands::Midpoint | Stands::ManifestWorse(_) => None,
    }
}

/// Where balance lies at the chart's distance with half the width of its 95 % interval, and whether that leaves the lens in doubt.
fn sure(eye: &HandedEye<'_>, found: Whereabouts) -> String {
    let half = (found.high - found.low).to_d() / 2.0;
    let course = eye.course;
    let doubts = if course.keeps_the_manifest() {
        course.kept_against_balance().is_some()
    } else {
        found.doubts_the_lens()
    };
    let doubt = if doubts { ", lens doubtful" } else { "" };
    format!(", balance {} \u{b1}{half:.1} D{doubt}", found.balance.number())
}

/// By how much the lens differs from the manifest, and how much of that no balance of this eye found.
fn changed(eye: &HandedEye<'_>) -> Option<String> {
    let (change, both) = (eye.change()?, eye.kept.examination.both.added(eye.eye()));
    let of_it =
        if both == Dioptres::new(0.0) { String::new() } else { format!(" (with both eyes open {both})") };
    let first = if eye.runs() > 1 { "first " } else { "" };
    Some(format!("{change} against the {first}manifest{of_it}"))
}

/// That the examination is not finished.
fn open(kept: &Kept) -> Option<String> {
    (kept.examination.stage() != Stage::Closed).then(|| "This examination is not finished.".into())
}

/// What was found with both eyes open and at near, where anything was.
fn both_line(kept: &Kept, writing: Writing) -> Option<String> {
    let examination = &kept.examination;
    let framed = examination
        .both
        .added_after_acuity()
        .map(|sphere| format!(" before {sphere} more"))
        .unwrap_or_default();
    let acuity = examination
        .both
        .acuity
        .map(|score| format!("both {}{framed}", score.in_notation_or_own(writing.notation)));
    let near = examination.near.last().map(|near| near_words(near, writing));
    let parts: Vec<String> = [acuity, near].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(" \u{b7} "))
}

fn near_words(near: &Near, writing: Writing) -> String {
    let acuity = near
        .acuity
        .map(|score| format!(" {}", score.in_notation_or_own(writing.notation)))
        .unwrap_or_default();
    format!("add {} at {:.0} cm{acuity}", near.add.number(), near.distance.to_mm() / 10.0)
}

/// A lens without air and unit: `−2.25/−0.75×175`.
fn compact(lens: Lens) -> String {
    let cylinder =
        lens.cylinder.map(|cylinder| format!("/{}\u{d7}{}", cylinder.power.number(), cylinder.axis_degrees));
    format!("{}{}", lens.sphere.number(), cylinder.unwrap_or_default())
}

fn metres(length: Length) -> String {
    format!("{} m", (length.to_mm().round()) / 1000.0)
}

/// Without the one character of these that Latin-1 does not have.
fn plain(line: &str) -> String {
    line.replace('\u{2212}', "-")
}
