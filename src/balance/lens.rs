//! A lens before an eye, and the same lens otherwise written: transposed, by its meridians, at another distance from the eye.

use std::fmt;

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use crate::quantity::{Dioptres, Length};

/// A cylinder in the form in which it was refined.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Cylinder {
    /// Its power, plus or minus.
    #[serde(rename = "power_d")]
    pub power: Dioptres,
    /// Its axis in degrees, 1 to 180.
    pub axis_degrees: u16,
}

/// A sphere, and a cylinder if there is one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Lens {
    /// The sphere.
    #[serde(rename = "sphere_d")]
    pub sphere: Dioptres,
    /// The cylinder.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cylinder: Option<Cylinder>,
}

/// How cylinders are written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum CylinderForm {
    /// As the refraction was typed.
    #[default]
    AsTyped,
    /// With minus.
    Minus,
    /// With plus.
    Plus,
}

impl CylinderForm {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::AsTyped, Self::Minus, Self::Plus];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

impl Lens {
    /// The sphere and half the cylinder: the mean power of both meridians.
    ///
    /// ```
    /// # use evenfield::balance::Manifest;
    /// // Worked by hand: −1.25 − 0.50/2 = −1.50 D.
    /// let lens = "-1.25/-0.50x90".parse::<Manifest>()?.lens();
    /// assert_eq!(lens.spherical_equivalent().to_string(), "−1.50 D");
    /// # Ok::<(), evenfield::balance::ManifestError>(())
    /// ```
    #[must_use]
    pub fn spherical_equivalent(self) -> Dioptres {
        let half = self.cylinder.map_or(0.0, |cylinder| cylinder.power.to_d() / 2.0);
        Dioptres::new(self.sphere.to_d() + half)
    }

    /// The same lens with its cylinder of the other sign; without a cylinder, itself.
    ///
    /// ```
    /// # use evenfield::balance::Manifest;
    /// // Worked by hand: the sphere takes the cylinder, which changes its sign and turns by 90°.
    /// let lens = "-1.25/+0.50x180".parse::<Manifest>()?.lens();
    /// assert_eq!(lens.transposed().to_string(), "−0.75 / −0.50 × 90");
    /// assert_eq!(lens.transposed().transposed(), lens);
    /// # Ok::<(), evenfield::balance::ManifestError>(())
    /// ```
    #[must_use]
    pub fn transposed(self) -> Self {
        let Some(Cylinder { power, axis_degrees }) = self.cylinder else { return self };
        let cylinder = Cylinder { power: -power, axis_degrees: across(axis_degrees) };
        Self { sphere: self.sphere + power, cylinder: Some(cylinder) }
    }

    /// The same lens with its cylinder as it is to be written.
    #[must_use]
    pub fn written(self, form: CylinderForm) -> Self {
        let is_plus = self.cylinder.is_some_and(|cylinder| cylinder.power.to_d() > 0.0);
        let turns = match form {
            CylinderForm::AsTyped => false,
            CylinderForm::Minus => is_plus,
            CylinderForm::Plus => !is_plus,
        };
        if turns { self.transposed() } else { self }
    }

    /// The lens that does the same for an eye when it stands elsewhere, both distances counted from the cornea; each meridian
    /// by itself, its power over 1 − power · distance moved towards the eye, in metres. The axis stays.
    ///
    /// ```
    /// # use evenfield::{balance::Manifest, quantity::Length};
    /// // Worked by hand: −6.75 / (1 + 0.012 · 6.75) = −6.2442 D; the other meridian is −7.75 / (1 + 0.012 · 7.75) = −7.0906 D.
    /// const LAST_DIGIT: f64 = 5e-5;
    /// let lens = "-6.75/-1.00x180".parse::<Manifest>()?.lens();
    /// let at_the_cornea = lens.moved(Length::mm(12.0), Length::mm(0.0));
    /// assert!((at_the_cornea.sphere.to_d() + 6.2442).abs() < LAST_DIGIT);
    /// let other = at_the_cornea.sphere + at_the_cornea.cylinder.unwrap().power;
    /// assert!((other.to_d() + 7.0906).abs() < LAST_DIGIT);
    /// # Ok::<(), evenfield::balance::ManifestError>(())
    /// ```
    #[must_use]
    pub fn moved(self, from: Length, to: Length) -> Self {
        let moved = |power: Dioptres| Dioptres::new(power.to_d() / (1.0 - power.to_d() * (from - to).to_m()));
        let sphere = moved(self.sphere);
        let cylinder = self.cylinder.map(|Cylinder { power, axis_degrees }| Cylinder {
            power: moved(self.sphere + power) - sphere,
            axis_degrees,
        });
        Self { sphere, cylinder }
    }

    /// The lens with another cylinder whose sphere keeps the spherical equivalent: it gives up half of what the cylinder gains,
    /// so that the circle of least confusion stays where it was (common practice, no source).
    ///
    /// ```
    /// # use evenfield::balance::Manifest;
    /// // Worked by hand: half a dioptre more minus cylinder takes a quarter more plus of sphere.
    /// let [before, after] = ["-1.25/-0.50x90", "-1.00/-1.00x90"].map(|text| text.parse::<Manifest>().unwrap().lens());
    /// assert_eq!(before.with_cylinder(after.cylinder), after);
    /// ```
    #[must_use]
    pub fn with_cylinder(self, cylinder: Option<Cylinder>) -> Self {
        let half = cylinder.map_or(0.0, |cylinder| cylinder.power.to_d() / 2.0);
        Self { sphere: Dioptres::new(self.spherical_equivalent().to_d() - half), cylinder }
    }

    /// Whether no power and no turn of the cylinder differs as far as lenses are written.
    #[must_use]
    pub fn has_the_cylinder_of(self, other: Self) -> bool {
        match (self.cylinder, other.written_like(self).cylinder) {
            (None, None) => true,
            (Some(one), Some(other)) => {
                one.axis_degrees == other.axis_degrees
                    && (one.power - other.power).to_d().abs() < LAST_DIGIT_D / 2.0
            }
            (None, Some(_)) | (Some(_), None) => false,
        }
    }

    /// Itself with a cylinder of the sign of another's.
    fn written_like(self, other: Self) -> Self {
        let is_plus = other.cylinder.is_some_and(|cylinder| cylinder.power.to_d() > 0.0);
        self.written(if is_plus { CylinderForm::Plus } else { CylinderForm::Minus })
    }
}

/// The last digit with which powers are written, in dioptres.
const LAST_DIGIT_D: f64 = 0.01;

/// The axis at a right angle to another, within 1 to 180.
const fn across(axis_degrees: u16) -> u16 {
    if axis_degrees > 90 { axis_degrees - 90 } else { axis_degrees + 90 }
}

impl fmt::Display for Cylinder {
    /// As it follows a sphere: `−0.50 × 90`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} × {}", self.power.number(), self.axis_degrees)
    }
}

impl fmt::Display for Lens {
    /// As lenses are written: `−1.25 D`, `−1.25 / −0.50 × 90`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.cylinder {
            None => write!(f, "{}", self.sphere),
            Some(cylinder) => write!(f, "{} / {cylinder}", self.sphere.number()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::Manifest;

    fn lens(text: &str) -> Lens {
        text.parse::<Manifest>().unwrap().lens()
    }

    #[test]
    fn an_axis_across_another_lies_within_1_to_180() {
        for (axis, other) in [(1, 91), (90, 180), (91, 1), (180, 90)] {
            assert_eq!(across(axis), other);
        }
    }

    #[test]
    fn a_cylinder_is_the_same_where_it_is_written_alike_whatever_its_sign() {
        let plus = lens("-1.25/+0.50x180");
        assert!(plus.has_the_cylinder_of(lens("-0.75/-0.50x90")));
        assert!(lens("-0.75/-0.50x90").has_the_cylinder_of(plus));
        assert!(!plus.has_the_cylinder_of(lens("-0.75/-0.50x91")));
        assert!(!plus.has_the_cylinder_of(lens("-0.75")) && lens("0").has_the_cylinder_of(lens("+1")));
        // Powers are written to a hundredth: less than half of one is none.
        let by = |more: f64| Lens {
            cylinder: plus.cylinder.map(|one| Cylinder { power: one.power + Dioptres::new(more), ..one }),
            ..plus
        };
        assert!(plus.has_the_cylinder_of(by(0.004)) && plus.has_the_cylinder_of(by(-0.004)));
        assert!(!plus.has_the_cylinder_of(by(0.006)) && !plus.has_the_cylinder_of(by(-0.006)));
    }

    #[test]
    fn a_lens_is_written_with_the_sign_that_is_asked_for() {
        let (plus, minus) = (lens("-1.25/+0.50x180"), lens("-0.75/-0.50x90"));
        for (form, of_plus, of_minus) in [
            (CylinderForm::AsTyped, plus, minus),
            (CylinderForm::Minus, minus, minus),
            (CylinderForm::Plus, plus, plus),
        ] {
            assert_eq!((plus.written(form), minus.written(form)), (of_plus, of_minus), "{form:?}");
        }
    }
}
