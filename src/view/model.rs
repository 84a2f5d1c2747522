//! A room as an eye meets it.
//!
//! Worked out once for a room; an eye and a line are added by whoever looks.

use crate::acuity::Acuity;
use crate::chart::{ColourError, FieldLight};
use crate::eye::{Adaptation, Curve, Eye, Sides};
use crate::quantity::Angle;
use crate::room::{Room, Spectra, SpectraError};

/// The fields of a room's charts and the spectra of its screen, as an eye meets them.
#[derive(Debug, Clone)]
pub struct Model {
    /// The fields' light.
    pub light: FieldLight,
    /// The spectra of the screen's primaries.
    pub spectra: Spectra,
    /// The bands of red, green and blue, and their shares in the white field.
    pub sides: Sides,
    /// The picture's sides as seen from the test distance.
    picture: [Angle; 2],
}

/// Why a room cannot be modelled.
#[derive(Debug, thiserror::Error)]
pub enum ModelError {
    /// Its screen cannot show a red and a green field of one luminance.
    #[error(transparent)]
    Colour(#[from] ColourError),
    /// A spectrum cannot be read.
    #[error(transparent)]
    Spectra(#[from] SpectraError),
}

impl Model {
    /// Works a room out.
    ///
    /// # Errors
    /// A screen without two equal fields, a spectrum that cannot be read.
    pub fn new(room: &Room) -> Result<Self, ModelError> {
        let spectra = room.primaries.spectra()?;
        let light = FieldLight::new(&room.display, None)?;
        Ok(Self {
            sides: Sides::of(&spectra, &room.display, light.white.codes),
            picture: room.screen.size().map(|side| Angle::subtended(side, room.viewing.distance)),
            spectra,
            light,
        })
    }

    /// How clear a line is on these fields to an eye, against lens error.
    #[must_use]
    pub fn curve(&self, eye: &Eye, line: Acuity) -> Curve<'_> {
        Curve::new(eye, &self.sides, line, self.light.luminance)
    }

    /// What sets the pupil of an eye of this age before the fields, the other eye occluded and the rest of the room dark.
    ///
    /// ```
    /// # use evenfield::{room::Room, view::Model};
    /// // The demo room: 527 × 296.5 mm at 3.2 m. Worked by hand: 2·atan(527/6400) = 9.4146° across and 5.3050° down, 49.945
    /// // square degrees.
    /// const HALF_A_DIGIT: f64 = 5e-4;
    /// let adaptation = Model::new(&Room::demo())?.adaptation(70.0);
    /// assert!((adaptation.square_degrees - 49.945).abs() < HALF_A_DIGIT && !adaptation.both_eyes);
    /// # Ok::<(), evenfield::view::ModelError>(())
    /// ```
    #[must_use]
    pub fn adaptation(&self, age_years: f64) -> Adaptation {
        Adaptation {
            luminance: self.light.luminance,
            square_degrees: self.picture.map(Angle::to_degrees).iter().product(),
            age_years,
            both_eyes: false,
        }
    }
}
