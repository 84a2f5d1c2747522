//! A refraction as people write it, read.
//!
//! Practices write one lens in a dozen ways: with a stroke or without, a point or a comma, `plano` or `sph`, the eye in front. All
//! that has one meaning is read. What has two is refused with what would be clear: a number without its sign, and `@`, which some
//! put before an axis and others before the meridian that has the power, 90° from it.

use std::str::FromStr;

use super::lens::{Cylinder, Lens};
use super::manifest::{Laterality, MOST_CYLINDER_D, Manifest, ManifestError};
use crate::quantity::Dioptres;

/// A refraction, and the eye that it was written for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Written {
    /// The eye, where it stands in front.
    pub eye: Option<Laterality>,
    /// The refraction.
    pub refraction: Manifest,
}

impl Written {
    /// The refraction, for an eye that is asked.
    ///
    /// # Errors
    /// Where the other eye's stands there.
    pub fn of(self, asked: Laterality) -> Result<Manifest, ManifestError> {
        match self.eye {
            Some(eye) if eye != asked => {
                Err(ManifestError::OtherEye { written: format!("{} {}", eye.name(), self.refraction), asked })
            }
            None | Some(_) => Ok(self.refraction),
        }
    }
}

/// Reads a cylinder alone, such as `-0.75x85`; none for `none`, and for one of no power.
///
/// ```
/// # use evenfield::balance::cylinder_of;
/// assert_eq!(cylinder_of("-0.75 x 85")?.unwrap().to_string(), "−0.75 × 85");
/// assert_eq!(cylinder_of("none")?, None);
/// # Ok::<(), evenfield::balance::ManifestError>(())
/// ```
///
/// # Errors
/// Where it reads otherwise.
pub fn cylinder_of(text: &str) -> Result<Option<Cylinder>, ManifestError> {
    if text.trim().eq_ignore_ascii_case("none") {
        return Ok(None);
    }
    let pieces = pieces(text).ok_or_else(|| ManifestError::NoAxis(text.into()))?;
    if pieces.iter().any(|piece| is_word(piece, &["@"])) {
        return Err(ManifestError::Ambiguous(text.into()));
    }
    let mut rest = &pieces[..];
    let cylinder = cylinder(&mut rest, text)?;
    let lens = Lens { sphere: Dioptres::new(0.0), cylinder };
    if pieces.is_empty() || !rest.is_empty() {
        return Err(ManifestError::NoAxis(text.into()));
    }
    Ok(Manifest::written(lens, text)?.cylinder())
}

/// A piece of what was written.
#[derive(Debug, Clone, PartialEq)]
enum Piece {
    /// A number with its sign, in the words in which it stands there.
    Signed(f64),
    /// A number without one.
    Bare(f64),
    Word(String),
}

impl FromStr for Written {
    type Err = ManifestError;

    /// Reads `-1.25`, `-1.25/-0.50x90` and whatever else means one lens and nothing else; an eye may stand in front, as OD, OS, R, L,
    /// RE, LE, right or left.
    ///
    /// ```
    /// # use evenfield::balance::{Laterality, Written};
    /// let written: Written = "OS: plano −0,50 x 10°".parse()?;
    /// assert_eq!(written.eye, Some(Laterality::Left));
    /// assert_eq!(written.refraction.to_string(), "0.00 / −0.50 × 10");
    /// // A power that is written as 0.00 is none.
    /// assert_eq!("-1.00/-0.004x90".parse::<Written>()?.refraction.to_string(), "−1.00 D");
    /// # Ok::<(), evenfield::balance::ManifestError>(())
    /// ```
    fn from_str(text: &str) -> Result<Self, ManifestError> {
        let unread = || ManifestError::Unread(text.into());
        let pieces = pieces(text).ok_or_else(unread)?;
        let mut rest = &pieces[..];
        let eye = eye(&mut rest).map_err(|()| ManifestError::BothEyes(text.into()))?;
        if rest.iter().any(|piece| is_word(piece, &["@"])) {
            return Err(ManifestError::Ambiguous(text.into()));
        }
        if rest.iter().any(|piece| is_word(piece, &["add", "adds"])) {
            return Err(ManifestError::HasAdd(text.into()));
        }
        let sphere = sphere(&mut rest).ok_or_else(unread)?;
        let cylinder = cylinder(&mut rest, text)?;
        if !rest.is_empty() {
            return Err(unread());
        }
        let refraction = Manifest::written(Lens { sphere, cylinder }, text)?;
        Ok(Self { eye, refraction })
    }
}

impl FromStr for Manifest {
    type Err = ManifestError;

    /// Reads a refraction [as people write it](Written), but without an eye.
    fn from_str(text: &str) -> Result<Self, ManifestError> {
        let written: Written = text.parse()?;
        if written.eye.is_some() { Err(ManifestError::NamesEye(text.into())) } else { Ok(written.refraction) }
    }
}

/// The eye in front; `Err` where both are named.
fn eye(rest: &mut &[Piece]) -> Result<Option<Laterality>, ()> {
    let Some(first) = rest.first() else { return Ok(None) };
    if is_word(first, &["ou", "be", "both", "b"]) {
        return Err(());
    }
    let named =
        [(Laterality::Right, ["od", "r", "re", "right"]), (Laterality::Left, ["os", "l", "le", "left"])];
    let eye = named.into_iter().find(|(_, names)| is_word(first, names)).map(|(eye, _)| eye);
    if eye.is_some() {
        *rest = &rest[1..];
        skip(rest, &["eye"]);
    }
    Ok(eye)
}

/// The sphere, with its unit.
fn sphere(rest: &mut &[Piece]) -> Option<Dioptres> {
    let power = match rest.first()? {
        Piece::Signed(power) => *power,
        // Nought needs no sign.
        Piece::Bare(power) if *power == 0.0 => 0.0,
        word @ Piece::Word(_) if is_word(word, &["plano", "pl", "plan"]) => 0.0,
        Piece::Bare(_) | Piece::Word(_) => return None,
    };
    *rest = &rest[1..];
    skip(rest, &["d", "ds", "dsph", "sph", "sphere", "s"]);
    Some(Dioptres::new(power))
}

/// Powers are written in hundredths of a dioptre.
const HALF_THE_LAST_DIGIT_D: f64 = 0.005;

/// The cylinder and its axis; none where nothing follows the sphere, and where it has no power.
fn cylinder(rest: &mut &[Piece], text: &str) -> Result<Option<Cylinder>, ManifestError> {
    skip(rest, &["/"]);
    let Some(Piece::Signed(power) | Piece::Bare(power)) = rest.first() else { return Ok(None) };
    if matches!(rest.first(), Some(Piece::Bare(power)) if *power != 0.0) {
        let is_cylinder = matches!(rest.first(), Some(Piece::Bare(power)) if *power <= MOST_CYLINDER_D);
        let error = if is_cylinder { ManifestError::CylinderSign } else { ManifestError::Unread };
        return Err(error(text.into()));
    }
    // What is written as 0.00 is none.
    let power = if power.abs() < HALF_THE_LAST_DIGIT_D { 0.0 } else { *power };
    *rest = &rest[1..];
    skip(rest, &["d", "dc", "dcyl", "cyl", "c"]);
    skip(rest, &["/"]);
    skip(rest, &["x", "a", "ax", "axis"]);
    let axis = match rest.first() {
        Some(Piece::Bare(axis)) => whole(*axis),
        None if power == 0.0 => return Ok(None),
        Some(Piece::Signed(_) | Piece::Word(_)) | None => None,
    };
    let axis = axis.ok_or_else(|| ManifestError::NoAxis(text.into()))?;
    *rest = &rest[1..];
    skip(rest, &["deg", "degrees"]);
    // Nought and 180 are one axis.
    let axis_degrees = if axis == 0 { 180 } else { axis };
    Ok((power != 0.0).then_some(Cylinder { power: Dioptres::new(power), axis_degrees }))
}

/// A whole number up to 999, beyond every axis.
fn whole(number: f64) -> Option<u16> {
    const MOST: f64 = 999.0;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "it is whole, from 0 to 999")]
    (number.fract() == 0.0 && (0.0..=MOST).contains(&number)).then_some(number as u16)
}

fn is_word(piece: &Piece, words: &[&str]) -> bool {
    matches!(piece, Piece::Word(word) if words.contains(&word.as_str()))
}

fn skip(rest: &mut &[Piece], words: &[&str]) {
    if rest.first().is_some_and(|piece| is_word(piece, words)) {
        *rest = &rest[1..];
    }
}

/// Numbers and words, without air; none where a number is none.
fn pieces(text: &str) -> Option<Vec<Piece>> {
    let plain = plain(text);
    let letters: Vec<char> = plain.chars().collect();
    let mut pieces = Vec::new();
    let mut place = 0;
    while let Some(&letter) = letters.get(place) {
        let run = |of: fn(char) -> bool| letters[place + 1..].iter().take_while(|next| of(**next)).count();
        let length = match letter {
            '+' | '-' => 1 + run(is_of_number),
            letter if is_of_number(letter) => 1 + run(is_of_number),
            letter if letter.is_alphabetic() => 1 + run(char::is_alphabetic),
            _ => 1,
        };
        let piece: String = letters[place..place + length].iter().collect();
        place += length;
        match letter {
            letter if letter.is_whitespace() => {}
            // An eye is followed by a colon, numbers by commas; neither means anything more.
            ':' | ';' | ',' | '°' | 'º' => {}
            '+' | '-' => pieces.push(Piece::Signed(number(&piece)?)),
            letter if is_of_number(letter) => pieces.push(Piece::Bare(number(&piece)?)),
            _ => pieces.push(Piece::Word(piece)),
        }
    }
    Some(pieces)
}

/// In small letters, with one kind of minus, point and times; a comma between two digits is a point, unless points are there too.
fn plain(text: &str) -> String {
    let plain = text.to_lowercase().replace(['\u{2212}', '\u{2013}'], "-").replace(['×', '*'], "x");
    if plain.contains('.') {
        return plain;
    }
    let letters: Vec<char> = plain.chars().collect();
    let is_digit =
        |place: Option<usize>| place.and_then(|place| letters.get(place)).is_some_and(char::is_ascii_digit);
    let is_point = |place: usize| is_digit(place.checked_sub(1)) && is_digit(Some(place + 1));
    let letter = |(place, letter): (usize, &char)| match letter {
        ',' if is_point(place) => '.',
        letter => *letter,
    };
    letters.iter().enumerate().map(letter).collect()
}

const fn is_of_number(letter: char) -> bool {
    letter.is_ascii_digit() || letter == '.'
}

fn number(text: &str) -> Option<f64> {
    text.parse::<f64>().ok().filter(|number| number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comma_is_a_point_only_between_two_digits() {
        for (text, read) in [
            ("1,25", "1.25"),
            ("1,x", "1,x"),
            ("x,1", "x,1"),
            (",5", ",5"),
            ("5,", "5,"),
            ("1,2 , 3", "1.2 , 3"),
            // Where there are points a comma is none.
            ("1.5,2", "1.5,2"),
        ] {
            assert_eq!(plain(text), read);
        }
    }

    #[test]
    fn a_refraction_is_that_of_its_own_eye() {
        let written = |eye| Written { eye, refraction: "-1.00".parse().unwrap() };
        for asked in Laterality::ALL {
            assert!(written(None).of(asked).is_ok() && written(Some(asked)).of(asked).is_ok());
            let other = written(Some(asked.other())).of(asked);
            assert!(matches!(other, Err(ManifestError::OtherEye { .. })), "{other:?}");
        }
    }
}
