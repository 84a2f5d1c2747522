//! Visual acuity: one value, many notations.
//!
//! An [`Acuity`] is kept as logMAR, the logarithm of the smallest detail in minutes of arc, and nothing else. 20/40, 6/12,
//! 0.5 and 0.3 logMAR are names of it: [`Notation`] has them all, `FromStr` reads them and
//! [`in_notation`](Acuity::in_notation) writes them. Charts stand on the [`STANDARD_LINES`], steps of exactly 0.1 logMAR whose
//! rounded names are off by up to 1.2 %; letters are sized from the step and never from the name.
//!
//! A [`Score`] is an acuity counted by the letter, as a patient reads it.
//!
//! ```
//! use evenfield::acuity::{Acuity, Notation, Score};
//!
//! let line: Acuity = "6/12".parse()?;
//! assert_eq!(line.in_notation(Notation::LogMar), "0.30 logMAR");
//! // A bare number could be decimal or logMAR, so it is refused.
//! assert!("0.5".parse::<Acuity>().is_err());
//! assert_eq!("20/25+1".parse::<Score>()?.to_string(), "20/25+1");
//! # Ok::<(), evenfield::acuity::AcuityError>(())
//! ```

mod notation;
mod score;
mod series;

use std::fmt;

use serde::{Serialize, Serializer};

pub use notation::{AcuityError, Notation};
pub use score::Score;
pub use series::{STANDARD_LINES, StandardLine};

/// The range of logMAR that is accepted as an acuity: from 20/2 to 20/2000.
pub const LOG_MAR_RANGE: std::ops::RangeInclusive<f64> = -1.0..=2.0;

/// How many standard lines there are in one logMAR, by the R10 series of ISO 3: each is 10^0.1 times the next.
const LINES_A_LOG_MAR: f64 = 10.0;

/// By how much binary rounding may move a standard line from its place in the series.
const BINARY_DUST: f64 = 1e-9;

/// The acuity that one chart line asks for; within [`LOG_MAR_RANGE`].
///
/// Acuities cannot be compared by `<`, since better acuity is a smaller logMAR but a larger decimal.
/// Compare them by [`has_larger_letters_than`](Self::has_larger_letters_than).
#[derive(Clone, Copy, PartialEq)]
pub struct Acuity {
    log_mar: f64,
}

impl Serialize for Acuity {
    /// As its name.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Acuity {
    /// A standard line, counted in tenths of logMAR: `standard(2)` is 20/32.
    ///
    /// # Panics
    /// If `tenths` is outside −10 to 20.
    #[must_use]
    pub fn standard(tenths: i8) -> Self {
        Self::from_log_mar(f64::from(tenths) / 10.0).expect("the tenths are within the range of an acuity")
    }

    /// All standard lines, the largest letters first.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// let first: Vec<String> = Acuity::standard_lines().take(3).map(|line| line.to_string()).collect();
    /// assert_eq!(first, ["20/400", "20/320", "20/250"]);
    /// ```
    pub fn standard_lines() -> impl DoubleEndedIterator<Item = Self> {
        STANDARD_LINES.iter().map(|line| Self::standard(line.tenths))
    }

    /// The acuity of a logarithm (base 10) of the minimum angle of resolution in arcminutes.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// // Worked by hand: one logMAR is a MAR of ten minutes, 20/200.
    /// assert_eq!(Acuity::from_log_mar(1.0)?.to_string(), "20/200");
    /// assert!(Acuity::from_log_mar(2.1).is_err());
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    ///
    /// # Errors
    /// Outside [`LOG_MAR_RANGE`] or not a number.
    pub fn from_log_mar(log_mar: f64) -> Result<Self, AcuityError> {
        if LOG_MAR_RANGE.contains(&log_mar) {
            Ok(Self { log_mar })
        } else {
            Err(AcuityError::OutOfRange(format!("{log_mar} logMAR")))
        }
    }

    /// The acuity of a minimum angle of resolution in arcminutes.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// // 20/40 read literally is a MAR of 2′, whose logarithm is 0.30103 (any table of logarithms).
    /// const LAST_DIGIT: f64 = 5e-6;
    /// assert!((Acuity::from_mar(2.0)?.to_log_mar() - 0.30103).abs() < LAST_DIGIT);
    /// assert!(Acuity::from_mar(0.0).is_err());
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    ///
    /// # Errors
    /// Outside 0.1 to 100 or not a number.
    pub fn from_mar(mar: f64) -> Result<Self, AcuityError> {
        Self::from_log_mar(mar.log10()).map_err(|_| AcuityError::OutOfRange(format!("MAR {mar}")))
    }

    /// The logarithm of the minimum angle of resolution in arcminutes; 0 is 20/20, larger is poorer.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// // 6/60 is the standard line of one logMAR; 6/9 is none, so it is lg 1.5 = 0.17609.
    /// const LAST_DIGIT: f64 = 5e-6;
    /// let [line, literal]: [Acuity; 2] = ["6/60".parse()?, "6/9".parse()?];
    /// assert!((line.to_log_mar() - 1.0).abs() < LAST_DIGIT);
    /// assert!((literal.to_log_mar() - 0.17609).abs() < LAST_DIGIT);
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub const fn to_log_mar(self) -> f64 {
        self.log_mar
    }

    /// The minimum angle of resolution in arcminutes: the critical detail of this line's letters.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// // 10^0.2, by any table of logarithms.
    /// const LAST_DIGIT: f64 = 1e-6;
    /// assert!((Acuity::standard(2).to_mar() - 1.584_893).abs() < LAST_DIGIT);
    /// ```
    #[must_use]
    pub fn to_mar(self) -> f64 {
        10_f64.powf(self.log_mar)
    }

    /// The line that stands `lines` standard steps above this one, with larger letters.
    ///
    /// A line off the series keeps its distance: two lines above 20/30 have 1.585 times its MAR.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// // By the series of ISO 8596: 20/20, 20/25, 20/32.
    /// assert_eq!("20/20".parse::<Acuity>()?.lines_above(2)?, "20/32".parse()?);
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    ///
    /// # Errors
    /// Beyond the range of an acuity.
    pub fn lines_above(self, lines: u8) -> Result<Self, AcuityError> {
        // Counted in lines, so that 0.1 and two lines are 0.3 and not the number next to it.
        let own = self.log_mar * LINES_A_LOG_MAR;
        let own = if (own - own.round()).abs() < BINARY_DUST { own.round() } else { own };
        Self::from_log_mar((own + f64::from(lines)) / LINES_A_LOG_MAR)
    }

    /// Whether this line's letters are larger, which any eye reads more easily.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// let [forty, twenty]: [Acuity; 2] = ["20/40".parse()?, "1.0dec".parse()?];
    /// assert!(forty.has_larger_letters_than(twenty) && !twenty.has_larger_letters_than(twenty));
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn has_larger_letters_than(self, other: Self) -> bool {
        self.log_mar > other.log_mar
    }

    /// Letter height over that of `other`: two standard lines are a ratio of 1.585.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// // Worked by hand: from 20/20 to 20/200 letters grow tenfold, by three lines 1.99526 times (10^0.3).
    /// const LAST_DIGIT: f64 = 5e-6;
    /// let [large, forty, twenty]: [Acuity; 3] = ["20/200".parse()?, "20/40".parse()?, "20/20".parse()?];
    /// assert!((large.size_ratio_to(twenty) - 10.0).abs() < LAST_DIGIT);
    /// assert!((forty.size_ratio_to(twenty) - 1.99526).abs() < LAST_DIGIT);
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn size_ratio_to(self, other: Self) -> f64 {
        self.to_mar() / other.to_mar()
    }
}

impl fmt::Display for Acuity {
    /// The 20-foot name: `20/32`, and `20/30` for a line that is not one of the standard lines.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.in_notation(Notation::Feet))
    }
}

impl fmt::Debug for Acuity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} logMAR", self.log_mar)
    }
}

#[cfg(test)]
mod tests;
