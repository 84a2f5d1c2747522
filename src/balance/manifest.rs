//! The refraction from before, and how it is read and written.

use std::fmt;

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use super::lens::{Cylinder, Lens};
use crate::eye::CLICK_D;
use crate::quantity::{Dioptres, Length};

/// The strongest sphere and cylinder that are taken for a refraction, in dioptres.
const MOST_SPHERE_D: f64 = 30.0;
pub(super) const MOST_CYLINDER_D: f64 = 12.0;

/// Which eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Laterality {
    /// The right one.
    Right,
    /// The left one.
    Left,
}

impl Laterality {
    /// Both, the right one first.
    pub const ALL: [Self; 2] = [Self::Right, Self::Left];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }
}

/// What distance a refraction is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum RefinedFor {
    /// The distance of this room's chart, at which it was refined.
    Room,
    /// Far away.
    FarAway,
}

impl RefinedFor {
    /// Its name on the command line.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Room => "room",
            Self::FarAway => "far",
        }
    }
}

/// A lens within ±30 D of sphere and ±12 D of cylinder, its axis from 1 to 180, refined before the balance begins.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(try_from = "Lens")]
pub struct Manifest(Lens);

/// Why a text or a lens is no refraction.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ManifestError {
    /// It reads otherwise.
    #[error(
        "{0:?} is no refraction: write the sphere with its sign, such as -1.25, or with cylinder -1.25/-0.50x90"
    )]
    Unread(String),
    /// No lens has that power.
    #[error("{0:?} is beyond ±30 D of sphere or ±12 D of cylinder: write the refraction in dioptres")]
    TooStrong(String),
    /// No cylinder lies so.
    #[error("{0:?} has no axis from 1 to 180: write the cylinder as -0.50x90")]
    NoAxis(String),
    /// A cylinder without its sign.
    #[error("{0:?} has a cylinder without its sign: write it as -0.50x90")]
    CylinderSign(String),
    /// `@` is read in two ways, which lie 90° apart.
    #[error(
        "{0:?} has @, which can stand before the axis or before the meridian that has the power: write the axis as x90"
    )]
    Ambiguous(String),
    /// More than a refraction for one distance.
    #[error("{0:?} has an add: leave it out here, since the add is asked for at near")]
    HasAdd(String),
    /// Two eyes.
    #[error("{0:?} names both eyes: write one eye’s refraction")]
    BothEyes(String),
    /// An eye where only a refraction is wanted.
    #[error("{0:?} names an eye: leave that out here")]
    NamesEye(String),
    /// Another eye than the one that is asked.
    #[error("{written:?} names the other eye: write the {} eye’s refraction, or choose the other eye", .asked.name())]
    OtherEye {
        /// As it is written, with its eye.
        written: String,
        /// The eye that is asked.
        asked: Laterality,
    },
}

impl TryFrom<Lens> for Manifest {
    type Error = ManifestError;

    fn try_from(lens: Lens) -> Result<Self, ManifestError> {
        Self::written(lens, &lens.to_string())
    }
}

impl Manifest {
    /// Refuses what no lens has, by the words in which it was written.
    pub(super) fn written(lens: Lens, words: &str) -> Result<Self, ManifestError> {
        let within = |power: Dioptres, most: f64| power.to_d().abs() <= most;
        if lens.cylinder.is_some_and(|cylinder| !(1..=180).contains(&cylinder.axis_degrees)) {
            Err(ManifestError::NoAxis(words.into()))
        } else if within(lens.sphere, MOST_SPHERE_D)
            && lens.cylinder.is_none_or(|cylinder| within(cylinder.power, MOST_CYLINDER_D))
        {
            Ok(Self(lens))
        } else {
            Err(ManifestError::TooStrong(words.into()))
        }
    }

    /// The lens.
    #[must_use]
    pub const fn lens(self) -> Lens {
        self.0
    }

    /// The sphere.
    #[must_use]
    pub const fn sphere(self) -> Dioptres {
        self.0.sphere
    }

    /// The cylinder.
    #[must_use]
    pub const fn cylinder(self) -> Option<Cylinder> {
        self.0.cylinder
    }

    /// The stronger of both meridians, for which the distance from lens to eye matters.
    ///
    /// ```
    /// # use evenfield::balance::Manifest;
    /// // Worked by hand: the meridians are −3.50 and −4.25 D.
    /// const BINARY_DUST: f64 = 1e-9;
    /// let manifest: Manifest = "-3.50/-0.75x90".parse()?;
    /// assert!((manifest.strongest().to_d() - 4.25).abs() < BINARY_DUST);
    /// # Ok::<(), evenfield::balance::ManifestError>(())
    /// ```
    #[must_use]
    pub fn strongest(self) -> Dioptres {
        let other = self.0.cylinder.map_or(self.0.sphere, |cylinder| self.0.sphere + cylinder.power);
        Dioptres::new(self.0.sphere.to_d().abs().max(other.to_d().abs()))
    }

    /// The lens with another sphere and its cylinder, which the balance leaves as it is.
    #[must_use]
    pub const fn with_sphere(self, sphere: Dioptres) -> Lens {
        Lens { sphere, ..self.0 }
    }

    /// The sphere that is worth as much at a distance as this one is where it was refined.
    ///
    /// A sphere for far away needs the vergence of the distance on top, so that the same eye sees the chart as sharply.
    ///
    /// ```
    /// # use evenfield::{balance::{Manifest, RefinedFor}, quantity::Length};
    /// // Worked by hand: −1.00 + 1/3.2 = −0.6875 D.
    /// const BINARY_DUST: f64 = 1e-9;
    /// let manifest: Manifest = "-1.00".parse()?;
    /// let here = manifest.sphere_at(Length::m(3.2), RefinedFor::FarAway);
    /// assert!((here.to_d() + 0.6875).abs() < BINARY_DUST);
    /// # Ok::<(), evenfield::balance::ManifestError>(())
    /// ```
    #[must_use]
    pub fn sphere_at(self, distance: Length, refined_for: RefinedFor) -> Dioptres {
        match refined_for {
            RefinedFor::Room => self.0.sphere,
            RefinedFor::FarAway => self.0.sphere + Dioptres::at(distance),
        }
    }

    /// The lens that goes in first: for this room the sphere as it is, for far away the one as many whole clicks from it
    /// as come nearest to the room's vergence; of two equally near the one with more plus.
    ///
    /// ```
    /// # use evenfield::{balance::{Manifest, RefinedFor}, quantity::Length};
    /// // Worked by hand: 1/3.2 = 0.3125 D, of which one click comes nearest; 1/0.8 = 1.25 D are five.
    /// const BINARY_DUST: f64 = 1e-9;
    /// let manifest: Manifest = "-1.37".parse()?;
    /// for (metres, lens) in [(3.2, -1.12), (0.8, -0.12)] {
    ///     let first = manifest.first_lens(Length::m(metres), RefinedFor::FarAway);
    ///     assert!((first.to_d() - lens).abs() < BINARY_DUST);
    /// }
    /// # Ok::<(), evenfield::balance::ManifestError>(())
    /// ```
    #[must_use]
    pub fn first_lens(self, distance: Length, refined_for: RefinedFor) -> Dioptres {
        let vergence = self.sphere_at(distance, refined_for) - self.0.sphere;
        self.0.sphere + nearest_quarter(vergence)
    }
}

/// The nearest whole click; of two equally near the one with more plus.
///
/// ```
/// # use evenfield::{balance::nearest_quarter, quantity::Dioptres};
/// // Worked by hand: −1.10 is nearer to −1.00; −1.125 lies between two quarters.
/// const BINARY_DUST: f64 = 1e-9;
/// for (exact, quarter) in [(-1.10, -1.0), (-1.125, -1.0), (-1.13, -1.25), (0.125, 0.25)] {
///     assert!((nearest_quarter(Dioptres::new(exact)).to_d() - quarter).abs() < BINARY_DUST);
/// }
/// ```
#[must_use]
pub fn nearest_quarter(sphere: Dioptres) -> Dioptres {
    // What a reciprocal leaves in binary must not decide a tie.
    const DUST: f64 = 1e-9;
    Dioptres::new((sphere.to_d() / CLICK_D + 0.5 + DUST).floor() * CLICK_D)
}

impl fmt::Display for Manifest {
    /// As lenses are written.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Manifest {
        text.parse().unwrap()
    }

    #[test]
    fn no_file_holds_a_refraction_that_no_lens_has() {
        let read = |json: &str| serde_json::from_str::<Manifest>(json).map_err(|error| error.to_string());
        let cylinder = |power: &str, axis: u16| {
            read(&format!(r#"{{"sphere_d":-1.0,"cylinder":{{"power_d":{power},"axis_degrees":{axis}}}}}"#))
        };
        assert_eq!(read(r#"{"sphere_d":-30.0}"#).unwrap().to_string(), "−30.00 D");
        assert!(cylinder("-12.0", 180).is_ok());
        for refused in [read(r#"{"sphere_d":-30.25}"#), cylinder("12.25", 180)] {
            assert!(refused.unwrap_err().contains("is beyond ±30 D of sphere or ±12 D of cylinder"));
        }
        for axis in [0, 181] {
            assert!(cylinder("-0.5", axis).unwrap_err().contains("has no axis from 1 to 180"), "{axis}");
        }
    }

    #[test]
    fn the_first_lens_stands_on_the_manifests_own_quarters() {
        let room = Length::m(3.2);
        let first = |text, refined_for| read(text).first_lens(room, refined_for).to_d();
        let same = |one: f64, other: f64| (one - other).abs() < 1e-9;
        assert!(same(first("-1.37", RefinedFor::Room), -1.37));
        // 1/3.2 m is 0.3125 D, of which one click comes nearest.
        assert!(same(first("-1.37", RefinedFor::FarAway), -1.12));
        // 1/0.8 m is five clicks.
        assert!(same(read("-1.00").first_lens(Length::m(0.8), RefinedFor::FarAway).to_d(), 0.25));
    }

    #[test]
    fn of_two_quarters_equally_near_the_plus_is_taken() {
        for (exact, quarter) in
            [(-1.125, -1.0), (0.125, 0.25), (-1.13, -1.25), (0.3125, 0.25), (-0.3125, -0.25)]
        {
            assert!((nearest_quarter(Dioptres::new(exact)).to_d() - quarter).abs() < 1e-9, "{exact}");
        }
    }

    #[test]
    fn the_strongest_meridian_counts_the_cylinder() {
        assert!((read("-3.50/-0.75x90").strongest().to_d() - 4.25).abs() < 1e-9);
        assert!((read("+4.50/-0.75x90").strongest().to_d() - 4.5).abs() < 1e-9);
    }
}
