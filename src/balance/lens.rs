//! A lens before an eye.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::quantity::Dioptres;

/// A cylinder in the form in which it was refined.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Cylinder {
    /// Its power, plus or minus.
    #[serde(rename = "power_d")]
    pub power: Dioptres,
    /// Its axis in degrees, 1 to 180.
    pub axis_degrees: u16,
}

/// A sphere, and a cylinder if there is one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Lens {
    /// The sphere.
    #[serde(rename = "sphere_d")]
    pub sphere: Dioptres,
    /// The cylinder.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cylinder: Option<Cylinder>,
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
