use serde::Serialize;

use crate::light::{Basis, Channel, LETTER_LIGHT_PERCENT, MATCH_PERCENT, difference_percent};
use crate::quantity::Luminance;
use crate::room::Room;

/// Readings that are off the prediction by more than this mean another screen than that of the room file.
const OFF_PERCENT: f64 = 10.0;

/// Readings of both fields at the eye, beside what the room file predicts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verification {
    /// The codes of the red and of the green field.
    pub codes: [[u8; 3]; 2],
    /// Predicted and read, the room's light included.
    pub red_cd_m2: [f64; 2],
    /// The same of green.
    pub green_cd_m2: [f64; 2],
    /// The same of black, if it was read.
    pub black_cd_m2: Option<[f64; 2]>,
    /// What the predictions rest on: luminances at full drive and the tone curve.
    pub predicted_from: [Basis; 2],
    /// By how much red is brighter as read, in per cent of their mean.
    pub match_percent: f64,
    /// Twice the standard uncertainty of that.
    pub uncertainty_percent: f64,
    /// Black over the dimmer field, in per cent, if black was read.
    pub contrast_percent: Option<f64>,
    /// Whether the fields are equal, as far as the meter tells.
    pub verdict: String,
    /// What to change.
    pub advice: Vec<String>,
}

impl Verification {
    /// Compares readings of the red and the green field; `meter` is the relative standard uncertainty of one.
    #[must_use]
    pub fn new(
        room: &Room,
        codes: [[u8; 3]; 2],
        read: [Luminance; 2],
        black: Option<Luminance>,
        meter: f64,
    ) -> Self {
        let predicted = |codes| room.display.luminance_in_room(codes).to_cd_m2();
        let [red, green] = read.map(Luminance::to_cd_m2);
        let off = difference_percent(read[0], read[1]);
        let uncertainty = 2.0 * meter * 2_f64.sqrt() * 100.0;
        let contrast = black.map(|black| black.to_cd_m2() / red.min(green) * 100.0);
        let mut found = Self {
            codes,
            red_cd_m2: [predicted(codes[0]), red],
            green_cd_m2: [predicted(codes[1]), green],
            black_cd_m2: black.map(|black| [predicted([0; 3]), black.to_cd_m2()]),
            predicted_from: [
                room.display.full_basis(Channel::Red).with(room.display.full_basis(Channel::Green)),
                room.display.tone_basis(),
            ],
            match_percent: off,
            uncertainty_percent: uncertainty,
            contrast_percent: contrast,
            verdict: verdict(off, uncertainty),
            advice: Vec::new(),
        };
        found.advice = found.advise(room);
        found
    }

    /// Whether a reading is not as it should be: the fields unequal, or the letters grey.
    #[must_use]
    pub fn fails(&self) -> bool {
        self.match_percent.abs() > MATCH_PERCENT
            || self.contrast_percent.is_some_and(|percent| percent > LETTER_LIGHT_PERCENT)
    }

    /// One line for a log: readings, codes, match.
    #[must_use]
    pub fn line(&self) -> String {
        let [[red_code, ..], [_, green_code, _]] = self.codes;
        let black = self.black_cd_m2.map_or_else(String::new, |[_, black]| format!(" black {black:.2}"));
        format!(
            "red {:.2} green {:.2}{black} cd/m2, codes {red_code}/{green_code}, red against green {:+.2} % +-{:.1} %{}",
            self.red_cd_m2[1],
            self.green_cd_m2[1],
            self.match_percent,
            self.uncertainty_percent,
            if self.fails() { ", FAIL" } else { "" }
        )
    }

    fn advise(&self, room: &Room) -> Vec<String> {
        let off = |[predicted, read]: [f64; 2]| (read / predicted - 1.0) * 100.0;
        let far = [self.red_cd_m2, self.green_cd_m2].into_iter().any(|pair| off(pair).abs() > OFF_PERCENT);
        let mut advice = Vec::new();
        if self.match_percent.abs() > MATCH_PERCENT {
            advice.extend(self.other_code(room));
        }
        if far {
            advice.push(
                "The readings are over 10 % off what the room file predicts: read full red, full green, white and \
                 black too (room patches), write them into [luminance], and make the charts again."
                    .into(),
            );
        }
        if self.contrast_percent.is_some_and(|percent| percent > LETTER_LIGHT_PERCENT) {
            advice.push("Black has over 15 % of a field's light: darken the room.".into());
        }
        advice
    }

    /// The code of the brighter field that would bring it down to the other, by the room's tone curve.
    fn other_code(&self, room: &Room) -> Option<String> {
        let (channel, name, other) = if self.match_percent > 0.0 {
            (Channel::Red, "red", self.green_cd_m2[1] / self.red_cd_m2[1])
        } else {
            (Channel::Green, "green", self.red_cd_m2[1] / self.green_cd_m2[1])
        };
        let code = self.codes[usize::from(channel == Channel::Green)][channel.index()];
        let tone = room.display.tone(channel);
        let better = tone.nearest_code(tone.light(code) * other);
        (better != code).then(|| {
            format!(
                "By this room's tone curve {name} would match with code {better} instead of {code}; put readings of full \
                 red and full green into [luminance], so that every chart follows."
            )
        })
    }
}

fn verdict(off: f64, uncertainty: f64) -> String {
    let brighter = if off > 0.0 { "red" } else { "green" };
    let said = if off.abs() < 0.05 {
        format!("both read the same, ± {uncertainty:.1} %")
    } else {
        format!("{brighter} is {:.1} ± {uncertainty:.1} % brighter", off.abs())
    };
    match off.abs() {
        off if off > MATCH_PERCENT => format!("FAIL: {said}, over 2 %."),
        off if off + uncertainty <= MATCH_PERCENT => format!("pass: {said}, at most 2 %."),
        _ => format!("pass, as far as this meter tells: {said}, at most 2 %."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn held(red: f64, green: f64, black: Option<f64>) -> Verification {
        let read = [red, green].map(Luminance::cd_m2);
        Verification::new(&Room::demo(), [[252, 0, 0], [0, 145, 0]], read, black.map(Luminance::cd_m2), 0.01)
    }

    #[test]
    fn readings_are_held_against_the_prediction_and_each_other() {
        // (51.8 − 52.4) / 52.1 = −1.15 %; twice √2 · 1 % = 2.83 %.
        let found = held(51.8, 52.4, Some(0.3));
        assert!(
            (found.match_percent + 1.1516).abs() < 1e-3 && (found.uncertainty_percent - 2.828).abs() < 1e-3
        );
        assert!(!found.fails() && found.advice.is_empty(), "{found:?}");
        assert!(found.verdict.starts_with("pass, as far as this meter tells: green is 1.2 ± 2.8 % brighter"));
        assert!((found.contrast_percent.unwrap() - 0.579).abs() < 1e-3);
        assert_eq!(
            found.line(),
            "red 51.80 green 52.40 black 0.30 cd/m2, codes 252/145, red against green -1.15 % +-2.8 %"
        );
    }

    #[test]
    fn a_brighter_field_gets_the_code_that_matches() {
        // Green 6 % too bright: by IEC 61966-2-1 code 145 has 0.2831 of full light and code 141 has 0.2664, 5.9 % less.
        let found = held(50.6, 53.83, None);
        assert!(
            found.fails() && found.advice[0].contains("green would match with code 141 instead of 145"),
            "{found:?}"
        );
        assert!(held(51.0, 51.0, None).verdict.contains("both read the same, ± 2.8 %"));
        let dim = held(30.0, 30.1, Some(6.0));
        assert!(dim.fails(), "letters are grey");
        assert!(dim.advice.iter().any(|one| one.contains("over 10 % off")));
        assert!(dim.advice.iter().any(|one| one.contains("darken the room")));
    }
}
