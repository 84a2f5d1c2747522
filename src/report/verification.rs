//! Readings of a meter, held against what a room file predicts.
//!
//! Two questions are kept apart. Are both fields equal at the eye, and letters dark enough? That is judged, with the meter's own
//! uncertainty. Is the screen still the one that the room file describes? That is told by how far readings are from the
//! prediction, and only leads to advice.

use serde::Serialize;

use crate::light::{
    Channel, Judgement, LETTER_LIGHT_PERCENT, MATCH_PERCENT, difference_percent, pair_uncertainty_percent,
};
use crate::quantity::Luminance;
use crate::room::Room;

/// Readings that are off the prediction by more than this mean another screen than that of the room file.
const OFF_PERCENT: f64 = 10.0;

/// Readings of both fields at the eye, beside what the room file predicts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verification {
    /// The worst of the judgements below.
    pub judgement: Judgement,
    /// The same in one sentence.
    pub verdict: String,
    /// The codes of the red and of the green field.
    pub codes: [[u8; 3]; 2],
    /// Predicted and read, the room's light included.
    pub red_cd_m2: [f64; 2],
    /// The same of green.
    pub green_cd_m2: [f64; 2],
    /// The same of black, if it was read.
    pub black_cd_m2: Option<[f64; 2]>,
    /// What the predictions rest on.
    pub predicted_from: String,
    /// By how much red is brighter as read, in per cent of their mean.
    pub match_percent: f64,
    /// Twice the standard uncertainty of that.
    pub uncertainty_percent: f64,
    /// Whether the fields are equal.
    pub match_judgement: Judgement,
    /// Black over the dimmer field, in per cent, if black was read.
    pub contrast_percent: Option<f64>,
    /// Whether the letters are dark enough, if black was read.
    pub contrast_judgement: Option<Judgement>,
    /// What to change.
    pub advice: Vec<String>,
}

/// One line of the table of what was read.
#[derive(Debug, Clone, PartialEq)]
pub struct VerificationRow {
    /// How it was judged, if anything is asked of it.
    pub judgement: Option<Judgement>,
    /// What was read.
    pub what: &'static str,
    /// What the meter says.
    pub read: String,
    /// What is allowed, or what the room file predicts.
    pub asked: String,
}

impl Verification {
    /// Compares readings of the red and the green field; `meter` is the relative standard uncertainty of one.
    ///
    /// ```
    /// # use evenfield::light::Judgement;
    /// # use evenfield::{quantity::Luminance, report::Verification, room::Room};
    /// // Worked by hand: 50.0 against 49.0 cd/m² is 1/49.5 = 2.0202 % of their mean, to ± 2·√2·3 % = 8.485 %, so it may or may
    /// // not keep the 2 %. Black of 0.5 is 1.0204 % of the dimmer field.
    /// const HALF_A_DIGIT: f64 = 5e-5;
    /// let read = [50.0, 49.0].map(Luminance::cd_m2);
    /// let codes = [[252, 0, 0], [0, 145, 0]];
    /// let found = Verification::new(&Room::demo(), codes, read, Some(Luminance::cd_m2(0.5)), 0.03);
    /// assert!((found.match_percent - 2.0202).abs() < HALF_A_DIGIT);
    /// assert_eq!(found.match_judgement, Judgement::CannotBeTold);
    /// assert!((found.contrast_percent.unwrap() - 1.0204).abs() < HALF_A_DIGIT);
    /// ```
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
        let uncertainty = pair_uncertainty_percent(meter);
        let contrast = black.map(|black| black.to_cd_m2() / red.min(green) * 100.0);
        let match_judgement = Judgement::at_most(off, uncertainty, MATCH_PERCENT);
        // Two readings near each other in size err by far less than the limit leaves.
        let contrast_judgement =
            contrast.map(|percent| Judgement::at_most(percent, 0.0, LETTER_LIGHT_PERCENT));
        let mut found = Self {
            judgement: contrast_judgement.map_or(match_judgement, |other| other.max(match_judgement)),
            verdict: String::new(),
            codes,
            red_cd_m2: [predicted(codes[0]), red],
            green_cd_m2: [predicted(codes[1]), green],
            black_cd_m2: black.map(|black| [predicted([0; 3]), black.to_cd_m2()]),
            predicted_from: room.display.worked_out_from(codes[0], codes[1]),
            match_percent: off,
            uncertainty_percent: uncertainty,
            match_judgement,
            contrast_percent: contrast,
            contrast_judgement,
            advice: Vec::new(),
        };
        found.verdict = found.sentence();
        found.advice = found.advise(room);
        found
    }

    /// Whether a reading is certainly not as it should be: the fields unequal, or the letters grey.
    #[must_use]
    pub fn fails(&self) -> bool {
        self.judgement == Judgement::Fail
    }

    /// One line for a log: readings, codes, match, judgement.
    #[must_use]
    pub fn line(&self) -> String {
        let [[red_code, ..], [_, green_code, _]] = self.codes;
        let black = self.black_cd_m2.map_or_else(String::new, |[_, black]| format!(" black {black:.2}"));
        format!(
            "red {:.2} green {:.2}{black} cd/m2, codes {red_code}/{green_code}, red against green {:+.2} % +-{:.1} %, {}",
            self.red_cd_m2[1],
            self.green_cd_m2[1],
            self.match_percent,
            self.uncertainty_percent,
            self.judgement
        )
    }

    /// What was read, the worst first.
    #[must_use]
    pub fn rows(&self) -> Vec<VerificationRow> {
        let mut rows = vec![VerificationRow {
            judgement: Some(self.match_judgement),
            what: "red against green",
            read: signed(&format!("{:+.1} ± {:.1} %", self.match_percent, self.uncertainty_percent)),
            asked: format!("at most {MATCH_PERCENT:.0} %"),
        }];
        rows.extend(self.contrast_percent.map(|percent| VerificationRow {
            judgement: self.contrast_judgement,
            what: "black over the dimmer field",
            read: format!("{percent:.1} %"),
            asked: format!("at most {LETTER_LIGHT_PERCENT:.0} %"),
        }));
        let light = |what, [predicted, read]: [f64; 2], off: String| VerificationRow {
            judgement: None,
            what,
            read: format!("{read:.2} cd/m²"),
            asked: signed(&format!("{predicted:.2} cd/m² expected{off}")),
        };
        let off = |pair| format!(", {:+.1} %", off_percent(pair));
        rows.push(light("red", self.red_cd_m2, off(self.red_cd_m2)));
        rows.push(light("green", self.green_cd_m2, off(self.green_cd_m2)));
        rows.extend(self.black_cd_m2.map(|black| light("black", black, String::new())));
        rows.sort_by_key(|row| std::cmp::Reverse(row.judgement));
        rows
    }

    /// The judgement as one sentence.
    fn sentence(&self) -> String {
        let mut failed = Vec::new();
        if self.match_judgement == Judgement::Fail {
            failed.push(format!(
                "{} is {:.1} ± {:.1} % brighter, where at most {MATCH_PERCENT:.0} % is allowed",
                self.brighter(),
                self.match_percent.abs(),
                self.uncertainty_percent
            ));
        }
        if let (Some(Judgement::Fail), Some(percent)) = (self.contrast_judgement, self.contrast_percent) {
            failed.push(format!(
                "black has {percent:.1} % of the dimmer field’s light, where at most {LETTER_LIGHT_PERCENT:.0} % is allowed"
            ));
        }
        if !failed.is_empty() {
            return format!("FAIL: {}.", failed.join("; and "));
        }
        let (off, uncertainty) = (self.match_percent.abs(), self.uncertainty_percent);
        let read = if off < 0.05 {
            "both fields read the same".to_owned()
        } else {
            format!("{} reads {off:.1} % brighter", self.brighter())
        };
        if self.match_judgement == Judgement::Pass {
            format!(
                "Pass: {read}, known to ±{uncertainty:.1} %, where at most {MATCH_PERCENT:.0} % is allowed."
            )
        } else {
            format!(
                "Cannot be told with this meter: {read}, known to ±{uncertainty:.1} %, so the fields may differ by up to {:.1} %, where at most {MATCH_PERCENT:.0} % is allowed.",
                off + uncertainty
            )
        }
    }

    fn brighter(&self) -> &'static str {
        if self.match_percent > 0.0 { "red" } else { "green" }
    }

    fn advise(&self, room: &Room) -> Vec<String> {
        let far =
            [self.red_cd_m2, self.green_cd_m2].into_iter().any(|pair| off_percent(pair).abs() > OFF_PERCENT);
        let mut advice = Vec::new();
        if !far && self.match_percent.abs() > MATCH_PERCENT {
            advice.extend(self.other_code(room));
        }
        if far {
            advice.push(
                "The readings are over 10 % off what the room file predicts: read full red, full green, white and \
                 black too (room patches), put them into the file (room set --red … --green … --white … --black …), \
                 and make the charts again."
                    .into(),
            );
        }
        if self.contrast_judgement == Some(Judgement::Fail) {
            advice.push("Darken the room: light on the screen greys the letters.".into());
        }
        advice
    }

    /// The code of the brighter field that would bring it down to the other, by the room's tone curve.
    fn other_code(&self, room: &Room) -> Option<String> {
        let (channel, other) = if self.match_percent > 0.0 {
            (Channel::Red, self.green_cd_m2[1] / self.red_cd_m2[1])
        } else {
            (Channel::Green, self.red_cd_m2[1] / self.green_cd_m2[1])
        };
        let code = self.codes[usize::from(channel == Channel::Green)][channel.index()];
        let tone = room.display.tone(channel);
        let better = tone.nearest_code(tone.light(code) * other);
        (better != code).then(|| {
            format!(
                "If the readings are right, {} would match with code {better} instead of {code}, by this room’s tone \
                 curve: read full red and full green too, and put them into the file (room set --red … --green …), so \
                 that every chart follows.",
                channel.name()
            )
        })
    }
}

fn off_percent([predicted, read]: [f64; 2]) -> f64 {
    (read / predicted - 1.0) * 100.0
}

/// With the sign that typographers use.
fn signed(text: &str) -> String {
    text.replace('-', "−")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn held(red: f64, green: f64, black: Option<f64>, meter: f64) -> Verification {
        let read = [red, green].map(Luminance::cd_m2);
        let codes = [[252, 0, 0], [0, 145, 0]];
        Verification::new(&Room::demo(), codes, read, black.map(Luminance::cd_m2), meter)
    }

    #[test]
    fn readings_are_held_against_the_prediction_and_each_other() {
        // (51.8 − 52.4) / 52.1 = −1.15 %; twice √2 · 0.2 % = 0.57 %.
        let found = held(51.8, 52.4, Some(0.3), 0.002);
        assert!(
            (found.match_percent + 1.1516).abs() < 1e-3 && (found.uncertainty_percent - 0.5657).abs() < 1e-3
        );
        assert!(!found.fails() && found.advice.is_empty(), "{found:?}");
        assert_eq!(
            found.verdict,
            "Pass: green reads 1.2 % brighter, known to ±0.6 %, where at most 2 % is allowed."
        );
        assert!((found.contrast_percent.unwrap() - 0.579).abs() < 1e-3);
        assert_eq!(
            found.line(),
            "red 51.80 green 52.40 black 0.30 cd/m2, codes 252/145, red against green -1.15 % +-0.6 %, pass"
        );
    }

    #[test]
    fn a_meter_that_is_coarser_than_the_limit_neither_passes_nor_fails() {
        // Twice √2 · 11 % = 31 %: 0.5 % may be 31.6 %, and 20 % may be nothing.
        for (red, green) in [(52.0, 51.74), (52.0, 42.6)] {
            let found = held(red, green, Some(0.3), 0.11);
            assert_eq!(found.judgement, Judgement::CannotBeTold, "{found:?}");
            assert!(!found.fails() && found.verdict.starts_with("Cannot be told with this meter: red reads"));
            assert_eq!(found.rows()[0].judgement, Some(Judgement::CannotBeTold));
            assert!(found.line().ends_with("cannot be told"), "{}", found.line());
        }
        assert!(held(52.0, 51.74, None, 0.11).verdict.contains("may differ by up to 31.6 %"));
        // 60 against 40 is 40 %, which 31 % cannot explain.
        assert!(held(60.0, 40.0, None, 0.11).fails());
    }

    #[test]
    fn a_brighter_field_gets_the_code_that_matches() {
        // Green 6 % too bright: by IEC 61966-2-1 code 145 has 0.2831 of full light and code 141 has 0.2664, 5.9 % less.
        let found = held(50.6, 53.83, None, 0.01);
        assert!(
            found.fails() && found.advice[0].contains("green would match with code 141 instead of 145"),
            "{found:?}"
        );
        assert!(held(51.0, 51.0, None, 0.01).verdict.contains("both fields read the same, known to ±2.8 %"));
        let dim = held(30.0, 30.1, Some(6.0), 0.01);
        assert!(dim.fails(), "letters are grey");
        assert!(
            dim.verdict.starts_with("FAIL: black has 20.0 % of the dimmer field’s light"),
            "{}",
            dim.verdict
        );
        assert_eq!(dim.rows()[0].what, "black over the dimmer field", "failures come first");
        assert!(dim.advice.iter().any(|one| one.contains("over 10 % off")));
        assert!(dim.advice.iter().any(|one| one.contains("Darken the room")));
    }
}
