use serde::Serialize;

use super::room_report::{FieldsShown, Interval, LineShown, RoomReport, Shown};
use crate::chart::ColourError;
use crate::light::{Basis, GREY_LETTER_PERCENT, PHOTOPIC};
use crate::quantity::Dioptres;
use crate::room::{Room, Spectra};
use crate::scene::capital;

/// From this vergence on a lens balanced in the room is noticeably too plus for far away: half a click.
const NEAR: Dioptres = Dioptres::new(0.12);

/// Under this interval a click of 0.25 D is nearly as large as what lies between the two answers. This project's own.
const FAINT: Dioptres = Dioptres::new(0.35);

/// A match that is known to within this many per cent either way needs no more metering. This project's own.
const KNOWN_PERCENT: f64 = 10.0;

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
    let target = lines.iter().find(|line| line.line == "20/40").map(|line| line.shown);
    let coarse = Warning::if_so(
        target.is_some_and(|shown| shown != Shown::Plainly),
        "The customary 20/40 line cannot be shown plainly here.",
        "Use a screen with finer pixels, or stand farther away; for a large line that does not fit, stand nearer.",
    );
    // The reason ends with its own remedy.
    let refused = refused.map(ToString::to_string).map(|reason| {
        let (what, remedy) = reason.split_once(": ").unwrap_or((&reason, "Meter the screen again."));
        Warning {
            what: format!("No chart can be shown: {what}."),
            remedy: format!("{}.", capital(remedy).trim_end_matches('.')),
        }
    });
    let light = fields.map(FieldsShown::warnings).unwrap_or_default();
    refused
        .into_iter()
        .chain(coarse)
        .chain(light)
        .chain(of_room(room))
        .chain(of_focus(intervals, spectra))
        .chain(near(room))
        .collect()
}

impl Warning {
    fn if_so(holds: bool, what: impl Into<String>, remedy: &str) -> Option<Self> {
        holds.then(|| Self { what: what.into(), remedy: remedy.into() })
    }
}

impl RoomReport {
    /// What of the room spoils the answers of a balance: its light, its match, its interval.
    #[must_use]
    pub fn spoiling_answers(&self) -> Vec<Warning> {
        let light = self.fields.as_ref().map(FieldsShown::warnings).unwrap_or_default();
        light.into_iter().chain(faint(&self.intervals)).collect()
    }
}

impl FieldsShown {
    fn warnings(&self) -> Vec<Warning> {
        let dimmest = self.cd_m2[0].min(self.cd_m2[1]);
        [
            Warning::if_so(
                dimmest < PHOTOPIC.to_cd_m2(),
                format!("The fields have {dimmest:.1} cd/m², under 10, where eyes no longer follow V(λ)."),
                "Turn up the screen's brightness and make the charts again.",
            ),
            Warning::if_so(
                self.contrast_percent > GREY_LETTER_PERCENT,
                format!("Letters have {:.1} % of their field's light.", self.contrast_percent),
                "Darken the room: the light on the screen greys the letters.",
            ),
            Warning::if_so(
                !self.match_established,
                "Whether red and green are equally bright here is not known: their light is assumed.",
                "Meter full red, green, white and black in the dark room, and write them into the room file.",
            ),
            Warning::if_so(
                self.match_established && self.match_uncertainty_percent > KNOWN_PERCENT,
                format!(
                    "The match is known to ±{:.0} % only: light {}, tone curve {}.",
                    self.match_uncertainty_percent, self.luminance_basis, self.tone_basis
                ),
                if self.luminance_basis > Basis::Measured && self.luminance_basis != Basis::Invented {
                    "Meter full red, green, white and black in the dark room, and write them into the room file."
                } else {
                    "Meter some steps of white for [tone]; a better meter goes into luminance.meter_percent."
                },
            ),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

fn of_room(room: &Room) -> impl Iterator<Item = Warning> {
    let claimed = Warning::if_so(
        room.screen.size_basis == Basis::Claimed,
        "The size is only claimed by the screen.",
        "Measure the width of the lit picture and write it into the room file.",
    );
    let mirror = Warning::if_so(
        room.viewing.mirror,
        "The patient sees a mirror, which dims, may tint, and may show a second faint picture.",
        "Meter through the mirror, at the patient's eye, and look for ghosts beside the letters.",
    );
    claimed.into_iter().chain(mirror)
}

fn of_focus(intervals: &[Interval], spectra: &Spectra) -> impl Iterator<Item = Warning> {
    let generic = Warning::if_so(
        spectra.basis == Basis::Assumed,
        "The dioptres between red and green rest on a kind of screen, not on this one.",
        "Write the primaries' spectra, or their peaks and widths, into [primaries].",
    );
    faint(intervals).into_iter().chain(generic)
}

fn faint(intervals: &[Interval]) -> Option<Warning> {
    let least = intervals.iter().map(|one| one.interval_d).fold(f64::INFINITY, f64::min);
    Warning::if_so(
        least < FAINT.to_d(),
        format!("Red and green lie only {least:.2} D apart, less than narrow primaries give."),
        "Narrower primaries make it crisper; evenfield curve says what a click is worth.",
    )
}

fn near(room: &Room) -> Option<Warning> {
    let vergence = Dioptres::at(room.viewing.distance);
    Warning::if_so(
        vergence >= NEAR,
        format!("A lens balanced here is {:.2} D too plus for far away.", vergence.to_d()),
        "Keep that in mind when you prescribe for distance.",
    )
}
