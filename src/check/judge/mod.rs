//! From what is seen in a picture to findings.
//!
//! What the chart should be comes from the user first and from the file's own claim second ([`Wanted`]); pixels become angles
//! through [`Scale`]; and each file here judges one part of what was seen: the picture, its letters, its light, what stands
//! beside the letters. A room with a mirror has its picture turned round before anything is looked at.

mod letters;
mod light;
mod marks;
mod picture;
mod seen;

use image::imageops::flip_horizontal_in_place;

use super::drawing::Proof;
use super::png::Picture;
use super::{Expected, Finding, Report, Verdict, clause};
use crate::acuity::Acuity;
use crate::claim::{Claim, ClaimedLine};
use crate::light::{Basis, Fields, Side};
use crate::quantity::{Angle, Length};
use crate::room::{Display, Room};
use seen::Seen;

/// What the chart should be, as far as the user or the file says.
///
/// `None`, or an empty list, means that nobody says: the finding that needs it is then not judged.
struct Wanted {
    room: Option<Room>,
    /// From the eye to a chart that is for no room.
    distance: Option<Length>,
    lines: Vec<Acuity>,
    letters: Vec<Vec<String>>,
    alphabet: Option<String>,
    fields: Option<Fields>,
    red: Option<Side>,
    labels: Option<bool>,
    /// The fields' codes as the file has them, from the patient's left.
    codes: Option<Vec<[u8; 3]>>,
}

impl Wanted {
    /// The user's word first, then the file's; the letters are always the file's.
    fn new(expected: &Expected, claim: Option<&Claim>) -> Self {
        let claimed = |line: &ClaimedLine| line.acuity;
        let (mut lines, mut letters) = (expected.lines.clone(), Vec::new());
        if let Some(claim) = claim {
            letters = claim.lines.iter().map(|line| line.letters.clone()).collect();
            if lines.is_empty() {
                lines = claim.lines.iter().map(claimed).collect();
            }
        }
        lines.sort_by(|one, other| other.to_log_mar().total_cmp(&one.to_log_mar()));
        // Who says where red is means a chart with two fields.
        let said = claim.map(|claim| claim.fields);
        Self {
            room: expected.room.clone().or_else(|| claim.and_then(|claim| claim.room.clone())),
            distance: claim.and_then(|claim| claim.distance),
            lines,
            letters,
            alphabet: claim.map(|claim| claim.letters.clone()),
            fields: expected.fields.or_else(|| expected.red.map(|_| Fields::RedGreen)).or(said),
            red: expected.red.or_else(|| claim.map(|claim| claim.red)),
            labels: claim.map(|claim| claim.labels),
            codes: claim.and_then(|claim| claim.codes.clone()),
        }
    }
}

/// Measures a picture.
pub(super) fn picture(picture: Picture, expected: &Expected) -> Report {
    measured(picture, expected).0
}

/// Maximum number of marks in the place of letters that are not letters, if they are also most of the marks there. A
/// picture with more is not a chart that went wrong but a picture of something else.
const MOST_STRANGERS: usize = 20;

/// Measures a picture that says nothing of itself. If most of the marks where letters would stand are not letters, it
/// gives the number of those and of all marks instead.
pub(super) fn stray_picture(picture: Picture, expected: &Expected) -> Result<Report, [usize; 2]> {
    let (report, strangers @ [no_letters, all]) = measured(picture, expected);
    if no_letters > MOST_STRANGERS && 2 * no_letters > all { Err(strangers) } else { Ok(report) }
}

/// The report, and how many of the marks where letters stand are not letters, and how many there are.
fn measured(mut picture: Picture, expected: &Expected) -> (Report, [usize; 2]) {
    let claim = picture.claim.as_ref().and_then(|claim| claim.as_ref().ok());
    let wanted = Wanted::new(expected, claim);
    if wanted.room.as_ref().is_some_and(|room| room.viewing.mirror) {
        flip_horizontal_in_place(&mut picture.image);
    }
    let display = wanted.room.as_ref().map_or_else(Display::assumed, |room| room.display.clone());
    let scale = Scale::new(&wanted, &picture);
    let seen = Seen::find(&picture.image, &display, wanted.alphabet.as_deref(), scale.aspect());
    let mut findings: Vec<Finding> = misread(&picture).into_iter().collect();
    findings.extend(self::picture::findings(&picture, &seen, &wanted));
    findings.extend(letters::findings(&seen, &wanted, &scale));
    findings.extend(light::findings(&seen, &wanted, &display));
    if picture.sampled.is_some() {
        // Paths have no pixels; what draws them gives them some.
        let of_pixels = [clause::STROKE.what, clause::RESOLUTION.what];
        findings.retain(|finding| !of_pixels.contains(&finding.clause.what));
    }
    let letters = || seen.rows.iter().flat_map(|row| &row.fields).flatten();
    let strangers = letters().filter(|one| one.letter.is_none()).count();
    (Report::new(findings), [strangers, letters().count()])
}

/// What of a near chart's page is for its letters alone, wherever they stand.
const OF_LETTERS: [&str; 10] = [
    clause::LINES.what,
    clause::LETTERS.what,
    clause::LETTERS_A_LINE.what,
    clause::LETTER_SIZE.what,
    clause::CRITICAL_DETAIL.what,
    clause::SHAPE.what,
    clause::LEVEL.what,
    clause::SPACING.what,
    clause::ROW_GAP.what,
    clause::EVENNESS.what,
];

/// A bank card, ISO/IEC 7810 ID-1, and the bar of a near chart, in millimetres.
const CARD_MM: [f64; 2] = [85.60, 53.98];
const BAR_MM: f64 = 100.0;

/// Measures a near chart's page: its fields, the same letters on white, and what proves the print.
pub(super) fn near_page(
    fields: Picture,
    white: Option<Picture>,
    proof: &Proof,
    expected: &Expected,
) -> Report {
    let mut findings = picture(fields, expected).findings;
    findings.push(proved(proof));
    match white {
        Some(white) => {
            let on_white = picture(white, expected).findings.into_iter();
            let of_letters = on_white.filter(|finding| OF_LETTERS.contains(&finding.clause.what));
            findings.extend(of_letters.map(|finding| {
                let place = format!("white, {}", finding.place);
                Finding { place: place.trim_end_matches(", ").into(), ..finding }
            }));
        }
        None => {
            let required = Some("those of the fields".into());
            let none = Finding::words(&clause::LETTERS, "none".into(), required);
            findings.push(Finding { place: "white".into(), ..none });
        }
    }
    Report::new(findings)
}

/// The bar and the card, to the tenth of a millimetre that a rule tells.
fn proved(proof: &Proof) -> Finding {
    let bar = |mm: f64| format!("bar {mm:.1} mm");
    let card = |[width, height]: [f64; 2]| format!("card {width:.1} × {height:.1} mm");
    let measured = format!(
        "{}, {}",
        proof.bar.map_or_else(|| "no bar".into(), bar),
        proof.card.map_or_else(|| "no card".into(), card)
    );
    let finding =
        Finding::words(&clause::SCALE, measured, Some(format!("{}, {}", bar(BAR_MM), card(CARD_MM))));
    let finding = Finding { place: "proof of the print".into(), ..finding };
    finding.note_if_failed("a rule and a card would prove a print that is wrong: make the chart anew")
}

/// A text of this project that is not understood.
fn misread(picture: &Picture) -> Option<Finding> {
    let error = picture.claim.as_ref()?.as_ref().err()?;
    let finding = Finding::words(&clause::METADATA, "not understood".into(), None);
    Some(
        finding
            .with_verdict(Verdict::Warn)
            .with_note(format!("{error}: say with --room and --line what it should be")),
    )
}

/// From pixels to lengths and angles, as far as pitch and distance are known.
struct Scale {
    pitch: Option<[Length; 2]>,
    distance: Option<Length>,
    /// What the room's size and distance rest on.
    basis: Option<Basis>,
}

impl Scale {
    /// The room's own pitch is what the patient sees, and the file's only stands in for it; but paths have their size
    /// from the file alone.
    fn new(wanted: &Wanted, picture: &Picture) -> Self {
        let by_file = picture
            .pixels_a_metre
            .filter(|counts| counts.iter().all(|count| *count > 0))
            .map(|counts| counts.map(|count| Length::m(1.0 / f64::from(count))));
        Self {
            pitch: picture.sampled.or(wanted.room.as_ref().map(|room| room.screen.pitch)).or(by_file),
            distance: wanted.room.as_ref().map(|room| room.viewing.distance).or(wanted.distance),
            basis: wanted.room.as_ref().map(|room| room.screen.size_basis),
        }
    }

    /// A pixel's height over its width; square where it is not known.
    fn aspect(&self) -> f64 {
        self.pitch.map_or(1.0, |[across, down]| down / across)
    }

    /// What a length in pixels subtends along an axis (0 across, 1 down) or, between them, along none.
    fn angle(&self, px: f64, axis: Option<usize>) -> Option<Angle> {
        let [across, down] = self.pitch?;
        let pitch = match axis {
            Some(0) => across,
            Some(_) => down,
            None => (across + down) / 2.0,
        };
        Some(Angle::subtended(pitch * px, self.distance?))
    }
}

#[cfg(test)]
mod tests;
