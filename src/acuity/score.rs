//! What a patient read: a line, and letters more or fewer of it.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{Acuity, AcuityError, Notation, notation};

/// One letter of a line of five in logMAR, by [Bailey & Lovie](crate::bibliography::BAILEY_LOVIE_1976): a line is 0.1.
const LETTER_LOG_MAR: f64 = 0.02;

/// Maximum number of letters missed or read beyond a line; one more would be another line.
const MOST_LETTERS: i8 = 5;

/// An acuity counted by the letter: the smallest line that was read, and letters missed on it or read beyond it.
///
/// ```
/// # use evenfield::acuity::Score;
/// let [before, after]: [Score; 2] = ["20/25-2".parse()?, "20/20".parse()?];
/// assert_eq!(after.letters_over(before), 7);
/// // It is written as it was typed.
/// assert_eq!("6/9-2".parse::<Score>()?.to_string(), "6/9−2");
/// # Ok::<(), evenfield::acuity::AcuityError>(())
/// ```
#[derive(Debug, Clone, Copy)]
pub struct Score {
    /// The line.
    pub line: Acuity,
    /// Letters read beyond it minus letters missed on it, −5 to +5.
    letters: i8,
    /// How it is written.
    notation: Notation,
}

impl PartialEq for Score {
    /// The same acuity, however it is written.
    fn eq(&self, other: &Self) -> bool {
        self.line == other.line && self.letters == other.letters
    }
}

impl Score {
    /// The score as logMAR.
    ///
    /// ```
    /// # use evenfield::acuity::Score;
    /// // Worked by hand, 0.02 a letter: 20/25 is 0.1, two letters missed 0.14; one letter beyond 20/20 is −0.02.
    /// const BINARY_DUST: f64 = 1e-9;
    /// let [fewer, more]: [Score; 2] = ["20/25-2".parse()?, "20/20+1".parse()?];
    /// assert!((fewer.to_log_mar() - 0.14).abs() < BINARY_DUST);
    /// assert!((more.to_log_mar() + 0.02).abs() < BINARY_DUST);
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn to_log_mar(self) -> f64 {
        self.line.to_log_mar() - LETTER_LOG_MAR * f64::from(self.letters)
    }

    /// The score that is nearest to a logMAR, on the standard line that leaves the fewest letters over, at most two of
    /// them missed or read beyond it; the largest or the smallest standard line where it lies beyond those.
    ///
    /// ```
    /// # use evenfield::acuity::Score;
    /// assert_eq!(Score::nearest(0.04).to_string(), "20/20−2");
    /// assert_eq!(Score::nearest(0.06).to_string(), "20/25+2");
    /// ```
    #[must_use]
    #[allow(clippy::cast_possible_truncation, reason = "held to the standard lines, and to five letters")]
    pub fn nearest(log_mar: f64) -> Self {
        let off = |line: &Acuity| (line.to_log_mar() - log_mar).abs();
        let line = Acuity::standard_lines().min_by(|one, other| off(one).total_cmp(&off(other)));
        let line = line.unwrap_or(Acuity::standard(0));
        let letters = ((line.to_log_mar() - log_mar) / LETTER_LOG_MAR).round();
        let letters = letters.clamp(-f64::from(MOST_LETTERS), f64::from(MOST_LETTERS)) as i8;
        Self { line, letters, notation: Notation::Feet }
    }

    /// How it is written: as it was typed, at 20 feet where it was not.
    #[must_use]
    pub const fn notation(self) -> Notation {
        self.notation
    }

    /// The same acuity, from now on written in a notation.
    #[must_use]
    pub const fn noted_in(self, notation: Notation) -> Self {
        Self { notation, ..self }
    }

    /// As written in a notation: `6/6−2`.
    #[must_use]
    pub fn in_notation(self, notation: Notation) -> String {
        self.written(&self.line.in_notation(notation))
    }

    /// The same where one is asked for, otherwise [as it is written](Self::notation).
    #[must_use]
    pub fn in_notation_or_own(self, notation: Option<Notation>) -> String {
        notation.map_or_else(|| self.to_string(), |notation| self.in_notation(notation))
    }

    /// In a notation, as it is read back: a decimal alone could be logMAR.
    fn as_typed(self, notation: Notation) -> String {
        match notation {
            Notation::Decimal => self.written(&format!("{}dec", self.line.in_notation(notation))),
            Notation::Feet
            | Notation::SixMetres
            | Notation::FourMetres
            | Notation::LogMar
            | Notation::Mar => self.in_notation(notation),
        }
    }

    fn written(self, line: &str) -> String {
        match self.letters {
            0 => line.into(),
            letters if letters < 0 => format!("{line}\u{2212}{}", -letters),
            letters => format!("{line}+{letters}"),
        }
    }

    /// How many letters better this is than another score; negative if it is poorer.
    #[must_use]
    #[allow(clippy::cast_possible_truncation, reason = "acuities span 150 letters")]
    pub fn letters_over(self, other: Self) -> i32 {
        ((other.to_log_mar() - self.to_log_mar()) / LETTER_LOG_MAR).round() as i32
    }
}

impl From<Acuity> for Score {
    /// A whole line, with no letter missed on it or read beyond it.
    fn from(line: Acuity) -> Self {
        Self { line, letters: 0, notation: Notation::Feet }
    }
}

impl FromStr for Score {
    type Err = AcuityError;

    /// Reads an acuity, optionally followed by `-2` for two letters missed or `+1` for one letter more.
    fn from_str(text: &str) -> Result<Self, AcuityError> {
        let text = text.trim().replace('\u{2212}', "-");
        let sign = text.rfind(['-', '+']).filter(|place| *place > 0);
        let (line, letters) = match sign {
            Some(place) => (&text[..place], text[place..].parse::<i8>().ok()),
            None => (text.as_str(), Some(0)),
        };
        let letters = letters.filter(|letters| (-MOST_LETTERS..=MOST_LETTERS).contains(letters));
        let letters = letters.ok_or_else(|| AcuityError::NotLetters(text.clone()))?;
        let (line, notation) = notation::read(line.trim_end())?;
        Ok(Self { line, letters, notation })
    }
}

impl fmt::Display for Score {
    /// `20/25`, `6/7.5−2`, `0.8dec+1`: as it was typed.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.as_typed(self.notation))
    }
}

impl Serialize for Score {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&self.exactly_written())
    }
}

impl Score {
    /// As it is written, or else in the first notation that, read back, is the same acuity to the last digit: 6/7 has none of three
    /// figures at 20 feet, and 0.13 logMAR is no fraction of three figures at all.
    fn exactly_written(self) -> String {
        let is_exact = |text: &String| {
            let read = text.parse::<Self>();
            read.is_ok_and(|read| (read.to_log_mar() - self.to_log_mar()).abs() < super::BINARY_DUST)
        };
        let notations = [self.notation, Notation::Feet, Notation::SixMetres, Notation::FourMetres];
        let exact = notations.into_iter().map(|notation| self.as_typed(notation)).find(is_exact);
        exact.unwrap_or_else(|| self.written(&format!("{}logmar", self.line.to_log_mar())))
    }
}

#[cfg(feature = "cli")]
impl schemars::JsonSchema for Score {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Score".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "description": "An acuity and letters beyond it or short of it, such as 20/25−2." })
    }
}

impl<'de> Deserialize<'de> for Score {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_keeps_what_was_typed_to_the_last_digit() {
        for (typed, kept) in [
            ("6/5", "6/5"),
            ("6/9-2", "6/9−2"),
            ("20/20", "20/20"),
            ("4/6.3", "4/6.3"),
            ("3/6", "20/40"),
            ("6/7+1", "6/7+1"),
            ("0.5dec-1", "0.5dec−1"),
            ("-0.13logmar", "−0.13 logMAR"),
            ("0.135logmar-2", "0.135logmar−2"),
            ("2mar", "MAR 2"),
        ] {
            let score: Score = typed.parse().unwrap();
            let file = serde_json::to_string(&score).unwrap();
            assert_eq!(file, format!("\"{kept}\""));
            let read: Score = serde_json::from_str(&file).unwrap();
            assert!((read.to_log_mar() - score.to_log_mar()).abs() < 1e-9, "{typed}");
            assert_eq!(read.to_string(), score.to_string());
        }
    }

    #[test]
    fn letters_are_read_and_written() {
        for text in ["20/25", "20/25+1", "20/25\u{2212}2"] {
            assert_eq!(text.parse::<Score>().unwrap().to_string(), text);
        }
        let score: Score = "-0.1logmar-1".parse().unwrap();
        assert!((score.to_log_mar() + 0.08).abs() < 1e-9);
        for refused in ["20/25-", "20/25-6", "20/25-128", "20/25+x", "0.5-1", "-2"] {
            assert!(refused.parse::<Score>().is_err(), "{refused}");
        }
    }

    #[test]
    fn a_line_is_five_letters() {
        let score = |text: &str| text.parse::<Score>().unwrap();
        assert_eq!(score("20/20").letters_over(score("20/25")), 5);
        assert_eq!(score("20/25").letters_over(score("20/20-4")), -1);
    }
}
