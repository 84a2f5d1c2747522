//! How equal two fields are at the eye, how well that is known, and what it rests on: one place for every command.
//!
//! Three ways lead to a match. Both fields read as they are shown: nothing else enters but the meter. The primaries and the tone
//! curve: every link adds its uncertainty. An eye on the match strip: good to about 5 %, whatever the meter would have said. The
//! first counts unless another is surer.

use super::Display;
use super::field_readings::FieldReadings;
use crate::light::{Basis, Channel, difference_percent};

/// Standard uncertainty of a match by the least distinct border, steps of 6 % included. Assumed.
const MATCHED_BY_EYE: f64 = 0.05;

/// How equal two fields are at the eye, the room's light included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldMatch {
    /// By how much the first field is brighter, in per cent of their mean.
    pub difference_percent: f64,
    /// Twice the standard uncertainty of that.
    pub uncertainty_percent: f64,
    /// The weakest ground that it rests on.
    pub basis: Basis,
    /// Whether anything is known of it: read, matched by eye, or worked out from what was measured or claimed.
    pub established: bool,
    /// Whether both fields were read as they are shown.
    pub read: bool,
}

impl Display {
    /// How equal two fields are at the eye. Readings of both in these codes tell it best, unless what else the room file
    /// says is surer.
    ///
    /// ```
    /// # use evenfield::room::Room;
    /// // Full red and green 148 in the demo room, by the sRGB curve, 0.296138. Worked by hand: 52 against 0.25 + 177.75 ·
    /// // 0.296138 = 52.8886 cd/m², each with 0.0255 of the room's: red is 1.6935 % dimmer than their mean.
    /// const HALF_A_DIGIT: f64 = 5e-5;
    /// let found = Room::demo().display.field_match([255, 0, 0], [0, 148, 0]);
    /// assert!((found.difference_percent + 1.6935).abs() < HALF_A_DIGIT && !found.read);
    /// ```
    #[must_use]
    pub fn field_match(&self, first: [u8; 3], second: [u8; 3]) -> FieldMatch {
        self.read_match(first, second)
            .map_or_else(|| self.worked_out_match(first, second), |(found, _)| found)
    }

    /// What the readings of `[match]` tell of two fields, where they count.
    fn read_match(&self, first: [u8; 3], second: [u8; 3]) -> Option<(FieldMatch, &FieldReadings)> {
        let readings = self.field_readings()?;
        let difference_percent = readings.difference_percent(first, second)?;
        let uncertainty_percent = readings.uncertainty_percent();
        let otherwise = self.worked_out_match(first, second);
        if otherwise.established && otherwise.uncertainty_percent < uncertainty_percent {
            return None;
        }
        let found = FieldMatch {
            difference_percent,
            uncertainty_percent,
            basis: Basis::Measured,
            established: true,
            read: true,
        };
        Some((found, readings))
    }

    /// The match by the light of both primaries, or by an eye, and by the tone curve.
    fn worked_out_match(&self, first: [u8; 3], second: [u8; 3]) -> FieldMatch {
        let ratio = self.ratio_basis_of([first, second]);
        FieldMatch {
            difference_percent: difference_percent(
                self.luminance_in_room(first),
                self.luminance_in_room(second),
            ),
            uncertainty_percent: 2.0 * self.match_uncertainty(first, second) * 100.0,
            basis: ratio.with(self.tone_basis_of(first)).with(self.tone_basis_of(second)),
            established: ratio != Basis::Assumed,
            read: false,
        }
    }

    /// The relative standard uncertainty of a match that is worked out. Where an eye found the fields equal, that is how
    /// well eyes do so; what is the same for both fields does not count.
    fn match_uncertainty(&self, first: [u8; 3], second: [u8; 3]) -> f64 {
        let by_eye = [Channel::Red, Channel::Green].map(|one| self.ratio_basis(one)) == [Basis::Matched; 2];
        if by_eye { MATCHED_BY_EYE } else { self.uncertainty(first).hypot(self.uncertainty(second)) }
    }

    /// What the luminance of a field at full drive rests on.
    #[must_use]
    pub fn light_basis_of(&self, field: [u8; 3]) -> Basis {
        weakest(field, |channel| self.full_basis(channel))
    }

    /// What the ratio of two fields' luminances at full drive rests on, whatever their size.
    #[must_use]
    pub fn ratio_basis_of(&self, fields: [[u8; 3]; 2]) -> Basis {
        let of = |field| weakest(field, |channel| self.ratio_basis(channel));
        of(fields[0]).with(of(fields[1]))
    }

    /// What the tone curve adds to that: nothing at full drive.
    #[must_use]
    pub fn tone_basis_of(&self, field: [u8; 3]) -> Basis {
        let on_the_curve = field.iter().any(|code| (1..255).contains(code));
        if on_the_curve { self.tone_basis() } else { Basis::Measured }
    }

    /// What the light of a field as coded rests on, in words.
    #[must_use]
    pub fn light_rests_on(&self, field: [u8; 3]) -> String {
        self.light_and_tone(self.light_basis_of(field))
    }

    /// What two fields' light as coded, and its ratio, rest on by the room file's luminances and curve, in words.
    #[must_use]
    pub fn worked_out_from(&self, first: [u8; 3], second: [u8; 3]) -> String {
        let light = self.light_basis_of(first).with(self.light_basis_of(second));
        match self.ratio_basis_of([first, second]) {
            ratio if ratio == light => self.light_and_tone(light),
            ratio => format!("red against green {ratio}, {}", self.light_and_tone(light)),
        }
    }

    /// What the match of two fields at the eye rests on, in words: the same wherever it is told.
    #[must_use]
    pub fn match_rests_on(&self, first: [u8; 3], second: [u8; 3]) -> String {
        let Some((_, readings)) = self.read_match(first, second) else {
            return self.worked_out_from(first, second);
        };
        let light = self.light_and_tone(self.light_basis_of(first).with(self.light_basis_of(second)));
        format!(
            "red against green read in both fields on {} with a meter good to {:.1} %, {light}",
            readings.date,
            readings.meter * 100.0
        )
    }

    /// Why the readings of `[match]` do not count for two fields, in a sentence; none where they do, or are not there.
    #[must_use]
    pub fn readings_left_out(&self, first: [u8; 3], second: [u8; 3]) -> Option<String> {
        let readings = self.field_readings()?;
        if self.read_match(first, second).is_some() {
            return None;
        }
        let [red, green] = readings.codes;
        let date = &readings.date;
        Some(if readings.difference_percent(first, second).is_some() {
            format!(
                "The readings of {date} leave ±{:.0} %, which is less sure than what else the room file says, so they do not count.",
                readings.uncertainty_percent()
            )
        } else {
            format!(
                "The readings of {date} were of red with code {red} and green with code {green}; these fields have other codes, so the readings no longer count."
            )
        })
    }

    fn light_and_tone(&self, light: Basis) -> String {
        let curve = if self.tone_basis() == Basis::Assumed { " (sRGB)" } else { "" };
        format!("luminances {light}, tone curve {}{curve}", self.tone_basis())
    }
}

/// The weakest ground of the channels that a field drives.
fn weakest(field: [u8; 3], ground: impl Fn(Channel) -> Basis) -> Basis {
    let driven = Channel::ALL.into_iter().filter(|channel| field[channel.index()] > 0);
    driven.map(ground).fold(Basis::Measured, Basis::with)
}
