//! What of a room is to be mended or kept in mind.
//!
//! A warning says what is so and what to do, each in a sentence that stands alone. They come by weight: first what spoils the
//! answers (a very near screen, fields that are unequal or too dim, grey letters), then what is only not known, then what to keep in
//! mind.

use serde::Serialize;

use super::fields::FieldsShown;
use super::interval::Interval;
use super::lines::{LineShown, Shown};
use crate::acuity::Acuity;
use crate::chart::ColourError;
use crate::light::{Basis, GREY_LETTER_PERCENT, Judgement, MATCH_PERCENT, PHOTOPIC};
use crate::quantity::Dioptres;
use crate::room::{Room, Spectra};
use crate::text::capital;

/// From this vergence on a lens balanced in the room is noticeably too plus for far away: half a click.
const NEAR: Dioptres = Dioptres::new(0.12);

/// From this vergence on that is more than any caution about light is worth: two clicks. This project's own.
const VERY_NEAR: Dioptres = Dioptres::new(0.50);

/// Under this interval a click of 0.25 D is nearly as large as what lies between the two answers. This project's own.
const FAINT: Dioptres = Dioptres::new(0.35);

/// A match that is known to ± this many per cent needs no more metering; one that an eye found is known to ±10 %. This project's own.
const KNOWN_PERCENT: f64 = 9.0;

/// What stands beside every verdict on a room whose two fields nobody has matched.
const NOT_ESTABLISHED: &str = "Whether red and green are equally bright here is not known: their match was not found, or not to the end.";

/// Something to mend or to keep in mind, and how.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Warning {
    /// What is so.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

/// What spoils the test first, then what is only not known, then what to keep in mind.
pub(super) fn warnings(
    room: &Room,
    lines: &[LineShown],
    refused: Option<&ColourError>,
    fields: Option<&FieldsShown>,
    intervals: &[Interval],
    spectra: &Spectra,
) -> Vec<Warning> {
    let customary = Acuity::standard(3);
    let target = lines.iter().find(|line| line.line == customary).map(|line| line.shown);
    let coarse = Warning::if_so(
        target.is_some_and(|shown| ![Shown::Plainly, Shown::NoFields].contains(&shown)),
        "The customary 20/40 line cannot be shown plainly here.",
        "Use finer pixels or a longer distance; for a line that is too large for a field, a shorter distance.",
    );
    let refused = refused.map(ColourError::refusal).map(|reason| Warning {
        what: format!("No chart can be shown: {}.", reason.what),
        remedy: format!("{}.", capital(&reason.remedy)),
    });
    let light = fields.map(FieldsShown::warnings).unwrap_or_default();
    let (first, last) = if Dioptres::at(room.viewing.distance) >= VERY_NEAR {
        (near(room), None)
    } else {
        (None, near(room))
    };
    refused
        .into_iter()
        .chain(first)
        .chain(coarse)
        .chain(light)
        .chain(of_room(room))
        .chain(of_focus(intervals, spectra))
        .chain(last)
        .collect()
}

impl Warning {
    fn if_so(holds: bool, what: impl Into<String>, remedy: &str) -> Option<Self> {
        holds.then(|| Self { what: what.into(), remedy: remedy.into() })
    }
}

impl FieldsShown {
    /// Within how many per cent red and green are equally bright, as far as is known: the match and twice its standard uncertainty.
    /// None where nobody matched them, or where they certainly differ by more than is allowed.
    #[must_use]
    pub fn equal_within_percent(&self) -> Option<f64> {
        let percent = self.match_at_eye_percent.abs() + self.match_uncertainty_percent;
        (self.match_established && self.unequal().is_none()).then_some(percent)
    }

    /// What stands beside every verdict on a room in which the match cannot be relied on: it was never made, does not hold, or was
    /// metered for other codes than are shown.
    #[must_use]
    pub fn match_in_doubt(&self) -> Option<Warning> {
        self.unequal().or_else(|| self.unmatched()).or_else(|| self.left_out())
    }

    pub(super) fn warnings(&self) -> Vec<Warning> {
        let dimmest = self.cd_m2[0].min(self.cd_m2[1]);
        [
            self.unequal(),
            Warning::if_so(
                dimmest < PHOTOPIC.to_cd_m2(),
                format!("The fields have only {dimmest:.1} cd/m²; under 10 a photometer no longer measures what eyes see."),
                "Turn up the screen’s brightness and make the charts again.",
            ),
            Warning::if_so(
                self.contrast_percent > GREY_LETTER_PERCENT,
                format!("Letters have {:.1} % of their field’s light.", self.contrast_percent),
                "Darken the room: light on the screen greys the letters.",
            ),
            self.unmatched(),
            self.left_out(),
            self.known_loosely(),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    /// That the match is known less well than a meter tells it, or was read to be off by more than is allowed, though not for certain.
    pub(crate) fn known_loosely(&self) -> Option<Warning> {
        let (off, uncertainty) = (self.match_at_eye_percent, self.match_uncertainty_percent);
        let is_off = off.abs() > MATCH_PERCENT && off.abs() + uncertainty > KNOWN_PERCENT;
        let known =
            if is_off { self.brighter() } else { format!("The match is known only to ±{uncertainty:.0} %") };
        Warning::if_so(
            self.match_established && self.unequal().is_none() && (is_off || uncertainty > KNOWN_PERCENT),
            format!("{known}: {}.", self.match_rests_on),
            "Meter both fields as they are shown, and keep the readings (room verify --keep).",
        )
    }

    /// Which field is brighter, by how much, and how much may be.
    fn brighter(&self) -> String {
        let (off, uncertainty) = (self.match_at_eye_percent, self.match_uncertainty_percent);
        let brighter = if off > 0.0 { "Red" } else { "Green" };
        format!(
            "{brighter} is {:.1} ± {uncertainty:.1} % brighter at the eye, where at most {MATCH_PERCENT:.0} % is allowed",
            off.abs()
        )
    }

    fn unmatched(&self) -> Option<Warning> {
        Warning::if_so(
            !self.match_established,
            NOT_ESTABLISHED,
            "Match them by eye (room sheet), or meter both fields as they are shown (room verify --keep).",
        )
    }

    /// Readings of the fields that do not count.
    fn left_out(&self) -> Option<Warning> {
        let remedy = "Meter both fields again, and keep the readings (room verify --keep).";
        self.readings_left_out.as_ref().map(|why| Warning { what: why.clone(), remedy: remedy.into() })
    }

    /// Fields that are certainly not equal.
    fn unequal(&self) -> Option<Warning> {
        let (off, uncertainty) = (self.match_at_eye_percent, self.match_uncertainty_percent);
        let judgement = Judgement::at_most(off, uncertainty, MATCH_PERCENT);
        Warning::if_so(
            self.match_established && judgement == Judgement::Fail,
            format!("{}.", self.brighter()),
            "Read full red and full green, put them into the room file (room set), and make the charts again.",
        )
    }
}

/// Of the size and the mirror, which no measurement of light finds.
fn of_room(room: &Room) -> impl Iterator<Item = Warning> {
    let claimed = Warning::if_so(
        room.screen.size_basis == Basis::Claimed,
        "The size of the picture is only what the screen claims.",
        "Measure the width of the lit picture, and put it into the room file (room set --width).",
    );
    claimed.into_iter().chain(in_a_mirror(room.viewing.mirror))
}

/// What a mirror does to the chart; none where there is none.
pub(super) fn in_a_mirror(mirror: bool) -> Option<Warning> {
    Warning::if_so(
        mirror,
        "The patient sees a mirror, which dims, may tint, and may show a second, faint picture.",
        "Meter through the mirror, at the patient’s eye, and look for a second, faint picture of each letter.",
    )
}

/// Of the dioptres between the fields: that they are few, and that they are only guessed from the kind of screen.
fn of_focus(intervals: &[Interval], spectra: &Spectra) -> impl Iterator<Item = Warning> {
    let generic = Warning::if_so(
        spectra.basis == Basis::Assumed,
        "The dioptres between red and green are those of a usual screen of its kind.",
        "Write the primaries’ spectra, or their peaks and widths, into [primaries].",
    );
    faint(intervals).into_iter().chain(generic)
}

/// The lesser of both formulas counts, since nobody knows which is right for this eye.
fn faint(intervals: &[Interval]) -> Option<Warning> {
    let least = intervals.iter().map(|one| one.interval_d).fold(f64::INFINITY, f64::min);
    Warning::if_so(
        least < FAINT.to_d(),
        format!(
            "Red and green lie only {least:.2} D apart on this screen, so answers near balance are less plain."
        ),
        "Narrower primaries give plainer ones; evenfield curve shows both sides behind a pupil.",
    )
}

/// The one warning that no better screen takes away.
fn near(room: &Room) -> Option<Warning> {
    let vergence = Dioptres::at(room.viewing.distance);
    Warning::if_so(
        vergence >= NEAR,
        format!("A lens balanced here is {:.2} D too plus for far away.", vergence.to_d()),
        "Keep that in mind when you prescribe for distance.",
    )
}
