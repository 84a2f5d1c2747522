//! Lengths, written with their unit.

use std::fmt;
use std::ops::{Add, Div, Mul, Sub};
use std::str::FromStr;

use serde::{Deserialize, Serialize};

const MM_PER_INCH: f64 = 25.4;
const INCHES_PER_FOOT: f64 = 12.0;
const POINTS_PER_INCH: f64 = 72.0;

/// The names of units that a person may write, and how many millimetres each has.
const UNITS: [(&str, f64); 7] = [
    ("mm", 1.0),
    ("cm", 10.0),
    ("m", 1000.0),
    ("in", MM_PER_INCH),
    ("\"", MM_PER_INCH),
    ("ft", MM_PER_INCH * INCHES_PER_FOOT),
    ("'", MM_PER_INCH * INCHES_PER_FOOT),
];

/// A length; in files a number of millimetres.
#[derive(Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Length {
    mm: f64,
}

impl Length {
    /// A length in millimetres.
    #[must_use]
    pub const fn mm(mm: f64) -> Self {
        Self { mm }
    }

    /// A length in metres.
    #[must_use]
    pub const fn m(m: f64) -> Self {
        Self::mm(m * 1000.0)
    }

    /// A length in inches of 25.4 mm.
    ///
    /// ```
    /// # use evenfield::quantity::Length;
    /// // Worked by hand: 23.8 · 25.4.
    /// const BINARY_DUST: f64 = 1e-9;
    /// assert!((Length::inches(23.8).to_mm() - 604.52).abs() < BINARY_DUST);
    /// ```
    #[must_use]
    pub const fn inches(inches: f64) -> Self {
        Self::mm(inches * MM_PER_INCH)
    }

    /// A length in feet of 12 inches.
    ///
    /// ```
    /// # use evenfield::quantity::Length;
    /// // Twenty feet of 12 inches of 25.4 mm.
    /// const BINARY_DUST: f64 = 1e-12;
    /// assert!((Length::feet(20.0).to_m() - 6.096).abs() < BINARY_DUST);
    /// ```
    #[must_use]
    pub const fn feet(feet: f64) -> Self {
        Self::inches(feet * INCHES_PER_FOOT)
    }

    /// A length in points, of which an inch has 72: the unit of type and of PDF.
    ///
    /// ```
    /// # use evenfield::quantity::Length;
    /// const BINARY_DUST: f64 = 1e-12;
    /// assert!((Length::points(72.0).to_mm() - 25.4).abs() < BINARY_DUST);
    /// ```
    #[must_use]
    pub const fn points(points: f64) -> Self {
        Self::inches(points / POINTS_PER_INCH)
    }

    /// Millimetres.
    #[must_use]
    pub const fn to_mm(self) -> f64 {
        self.mm
    }

    /// Metres.
    #[must_use]
    pub const fn to_m(self) -> f64 {
        self.mm / 1000.0
    }

    /// Inches.
    ///
    /// ```
    /// # use evenfield::quantity::Length;
    /// // Worked by hand: 527 mm are 20.748 inches.
    /// const HALF_A_DIGIT: f64 = 5e-4;
    /// assert!((Length::mm(527.0).to_inches() - 20.748).abs() < HALF_A_DIGIT);
    /// ```
    #[must_use]
    pub const fn to_inches(self) -> f64 {
        self.mm / MM_PER_INCH
    }

    /// Points.
    ///
    /// ```
    /// # use evenfield::quantity::Length;
    /// // ISO 216 has A4 as 210 mm wide. Worked by hand: 210/25.4 · 72 = 595.276 points.
    /// const HALF_A_DIGIT: f64 = 5e-4;
    /// assert!((Length::mm(210.0).to_points() - 595.276).abs() < HALF_A_DIGIT);
    /// ```
    #[must_use]
    pub const fn to_points(self) -> f64 {
        self.to_inches() * POINTS_PER_INCH
    }
}

/// Why a text is not a length above zero.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LengthError {
    /// A number alone.
    #[error("{0:?} has no unit: write {0}m, {0}cm, {0}mm, {0}ft or {0}in")]
    NoUnit(String),
    /// Not a number and a unit.
    #[error("{0:?} is not a length: write a number with its unit, such as 3m, 10ft, 23.8in or 527mm")]
    NotALength(String),
    /// Zero, negative, infinite or not a number.
    #[error("{0:?} is not a length above zero: write one such as 3m, 10ft, 23.8in or 527mm")]
    NotPositive(String),
}

impl FromStr for Length {
    type Err = LengthError;

    /// Reads a number with its unit (mm, cm, m, in, ft); the result is finite and above zero.
    ///
    /// ```
    /// # use evenfield::quantity::Length;
    /// assert_eq!("23.8in".parse(), Ok(Length::inches(23.8)));
    /// assert!("3".parse::<Length>().unwrap_err().to_string().contains("3m"));
    /// ```
    fn from_str(text: &str) -> Result<Self, LengthError> {
        let text = text.trim();
        let number = text.trim_end_matches(|c: char| c.is_alphabetic() || c == '"' || c == '\'').trim_end();
        let unit = text[number.len()..].trim_start();
        if unit.is_empty() && text.parse::<f64>().is_ok() {
            return Err(LengthError::NoUnit(text.into()));
        }
        let not_a_length = || LengthError::NotALength(text.into());
        let (_, mm) = UNITS.iter().find(|(name, _)| *name == unit).ok_or_else(not_a_length)?;
        let value: f64 = number.parse().map_err(|_| not_a_length())?;
        let length = Self::mm(value * mm);
        if value > 0.0 && length.mm.is_finite() {
            Ok(length)
        } else {
            Err(LengthError::NotPositive(text.into()))
        }
    }
}

impl Add for Length {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self::mm(self.mm + other.mm)
    }
}

impl Sub for Length {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self::mm(self.mm - other.mm)
    }
}

impl Mul<f64> for Length {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        Self::mm(self.mm * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;

    fn div(self, divisor: f64) -> Self {
        Self::mm(self.mm / divisor)
    }
}

impl Div for Length {
    type Output = f64;

    fn div(self, other: Self) -> f64 {
        self.mm / other.mm
    }
}

impl fmt::Debug for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.mm)
    }
}

impl fmt::Display for Length {
    /// Metres from one metre up, millimetres below: `3.2 m`, `8.73 mm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (value, unit) = if self.mm.abs() >= 1000.0 { (self.to_m(), "m") } else { (self.mm, "mm") };
        let text = format!("{value:.3}");
        write!(f, "{} {unit}", text.trim_end_matches('0').trim_end_matches('.'))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_is_read() {
        for (text, mm) in
            [("527mm", 527.0), ("40 cm", 400.0), ("3m", 3000.0), ("10ft", 3048.0), ("23.8in", 604.52)]
        {
            let length: Length = text.parse().unwrap();
            assert!((length.to_mm() - mm).abs() < 1e-9, "{text} gave {length:?}");
        }
    }

    #[test]
    fn what_is_no_length_above_zero_is_refused() {
        for text in ["", "m", "-3m", "0mm", "NaNm", "infm", "1e400m", "three metres", "3 furlong", "3m3"] {
            assert!(text.parse::<Length>().is_err(), "{text:?} was taken for a length");
        }
    }
}
