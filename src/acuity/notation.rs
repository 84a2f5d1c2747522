//! Reading and writing an acuity in the notations of the trade.

use std::str::FromStr;

use super::{Acuity, STANDARD_LINES, StandardLine};

/// How an acuity is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Notation {
    /// 20/x: Snellen's fraction at 20 feet.
    Feet,
    /// 6/x: Snellen's fraction at 6 metres.
    SixMetres,
    /// 4/x: Snellen's fraction at 4 metres.
    FourMetres,
    /// 1 / MAR.
    Decimal,
    /// log10 MAR.
    LogMar,
    /// The minimum angle of resolution in arcminutes.
    Mar,
}

impl Notation {
    /// Every notation.
    pub const ALL: [Self; 6] =
        [Self::Feet, Self::SixMetres, Self::FourMetres, Self::Decimal, Self::LogMar, Self::Mar];

    /// Its name on the command line and in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Feet => "20",
            Self::SixMetres => "6",
            Self::FourMetres => "4",
            Self::Decimal => "decimal",
            Self::LogMar => "logmar",
            Self::Mar => "mar",
        }
    }
}

/// Why a text is not an acuity.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AcuityError {
    /// A number alone, which could be decimal or logMAR.
    #[error(
        "{0:?} alone could be decimal or logMAR: write {0}dec, {0}logmar, or a fraction such as 20/40 or 6/12"
    )]
    Ambiguous(String),
    /// No known notation.
    #[error("{0:?} is not an acuity: write 20/40, 6/12, 0.5dec, 0.3logmar or 2mar")]
    NotAnAcuity(String),
    /// What follows an acuity is not a number of letters.
    #[error(
        "{0:?} has no number of letters from −5 to +5 at its end: write 20/25-2 for two missed, 20/25+1 for one more"
    )]
    NotLetters(String),
    /// Correctly written, but outside what eyes and charts have.
    #[error("{0} is outside 20/2 to 20/2000 (−1 to 2 logMAR): write an acuity such as 20/40")]
    OutOfRange(String),
}

impl Acuity {
    /// The name in a notation: that of the standard line if this is one, else three significant figures.
    ///
    /// ```
    /// # use evenfield::acuity::{Acuity, Notation};
    /// let line: Acuity = "6/9".parse()?;
    /// assert_eq!(line.in_notation(Notation::Feet), "20/30");
    /// assert_eq!(line.in_notation(Notation::LogMar), "0.18 logMAR");
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn in_notation(self, notation: Notation) -> String {
        let standard = self.standard_line();
        let name = |of: fn(&StandardLine) -> f64, otherwise: f64| short(standard.map_or(otherwise, of));
        match notation {
            Notation::Feet => format!("20/{}", name(|line| line.feet, 20.0 * self.to_mar())),
            Notation::SixMetres => format!("6/{}", name(|line| line.six, 6.0 * self.to_mar())),
            Notation::FourMetres => format!("4/{}", name(|line| line.four, 4.0 * self.to_mar())),
            Notation::Decimal => name(|line| line.decimal, 1.0 / self.to_mar()),
            Notation::LogMar => format!("{} logMAR", signed(self.to_log_mar())),
            Notation::Mar => format!("MAR {}", short(self.to_mar())),
        }
    }

    /// The standard line of exactly this acuity, if there is one.
    ///
    /// None for a value between two steps, such as 20/30: no line is rounded to.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// let [half, thirty]: [Acuity; 2] = ["0.5dec".parse()?, "20/30".parse()?];
    /// assert_eq!(half.standard_line().map(|line| line.tenths), Some(3));
    /// assert!(thirty.standard_line().is_none());
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    #[must_use]
    pub fn standard_line(self) -> Option<&'static StandardLine> {
        STANDARD_LINES.iter().find(|line| (f64::from(line.tenths) / 10.0 - self.to_log_mar()).abs() < 1e-9)
    }
}

/// Three significant figures without trailing zeros; whole numbers without decimals.
fn short(value: f64) -> String {
    let decimals = if value >= 100.0 {
        0
    } else if value >= 10.0 {
        1
    } else if value >= 1.0 {
        2
    } else if value >= 0.1 {
        3
    } else {
        4
    };
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').into() } else { text }
}

/// Two decimals with a minus sign (not a hyphen), and no sign on zero.
fn signed(value: f64) -> String {
    let text = format!("{:.2}", value.abs());
    if value < 0.0 && text != "0.00" { format!("−{text}") } else { text }
}

impl FromStr for Acuity {
    type Err = AcuityError;

    /// Reads 20/x, 6/x or any metric Snellen fraction, `0.5dec`, `0.3logmar`, `2mar`.
    ///
    /// The name of a standard line, or a fraction of the same value, means that line's exact 0.1 logMAR step: 20/32 is
    /// 0.2 logMAR. Other fractions and decimals are taken literally: 20/30 is a MAR of 1.5′. MAR and logMAR are always
    /// taken literally.
    ///
    /// ```
    /// # use evenfield::acuity::Acuity;
    /// assert_eq!("20/40".parse(), Ok(Acuity::standard(3)));
    /// const BINARY_DUST: f64 = 1e-12;
    /// assert!(("20/30".parse::<Acuity>()?.to_mar() - 1.5).abs() < BINARY_DUST);
    /// # Ok::<(), evenfield::acuity::AcuityError>(())
    /// ```
    fn from_str(text: &str) -> Result<Self, AcuityError> {
        read(text).map(|(acuity, _)| acuity)
    }
}

/// An acuity and how it is written; a fraction whose numerator is neither 20, 6 nor 4 counts as one at 20 feet.
pub(super) fn read(text: &str) -> Result<(Acuity, Notation), AcuityError> {
    let plain = text.trim().replace('−', "-").to_lowercase();
    let not_an_acuity = || AcuityError::NotAnAcuity(text.into());
    let out_of_range = || AcuityError::OutOfRange(text.trim().into());
    if let Some((numerator, denominator)) = plain.split_once('/') {
        let [numerator, denominator] = [numerator, denominator].map(number);
        let numerator = numerator.ok_or_else(not_an_acuity)?;
        let value = denominator.ok_or_else(not_an_acuity)? / numerator;
        let is_at = |metres: f64| (numerator - metres).abs() < super::BINARY_DUST;
        let notation = match numerator {
            _ if is_at(6.0) => Notation::SixMetres,
            _ if is_at(4.0) => Notation::FourMetres,
            _ => Notation::Feet,
        };
        return from_fraction(value).map(|acuity| (acuity, notation)).map_err(|_| out_of_range());
    }
    let Some((unit, value)) = with_unit(&plain) else {
        let alone = plain.parse::<f64>().is_ok_and(|value| (-1.0..=10.0).contains(&value));
        return Err(if alone { AcuityError::Ambiguous(text.trim().into()) } else { not_an_acuity() });
    };
    let value = number(value).ok_or_else(not_an_acuity)?;
    match unit {
        Notation::LogMar => Acuity::from_log_mar(value),
        Notation::Mar => Acuity::from_mar(value),
        Notation::Decimal | Notation::Feet | Notation::SixMetres | Notation::FourMetres => {
            from_decimal(value)
        }
    }
    .map(|acuity| (acuity, unit))
    .map_err(|_| out_of_range())
}

fn number(text: &str) -> Option<f64> {
    text.trim().parse().ok()
}

/// Splits a number from the unit before or after it. `logmar` is tried before `mar`, which it ends in.
fn with_unit(text: &str) -> Option<(Notation, &str)> {
    [
        ("logmar", Notation::LogMar),
        ("mar", Notation::Mar),
        ("decimal", Notation::Decimal),
        ("dec", Notation::Decimal),
    ]
    .into_iter()
    .find_map(|(name, unit)| Some((unit, text.strip_suffix(name).or_else(|| text.strip_prefix(name))?)))
}

fn from_fraction(value: f64) -> Result<Acuity, AcuityError> {
    named(|line| line.has_fraction(value)).map_or_else(|| Acuity::from_mar(value), Ok)
}

fn from_decimal(decimal: f64) -> Result<Acuity, AcuityError> {
    named(|line| line.has_decimal(decimal)).map_or_else(|| Acuity::from_mar(1.0 / decimal), Ok)
}

fn named(is_name: impl Fn(&StandardLine) -> bool) -> Option<Acuity> {
    STANDARD_LINES.iter().find(|line| is_name(line)).map(|line| Acuity::standard(line.tenths))
}
