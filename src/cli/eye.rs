//! Arguments that say which eye looks, and the model that follows from them and the room.
//!
//! View and curve share these flags, so that the same words mean the same eye. What lies beyond a range is refused rather than
//! computed.

use std::error::Error;

use clap::Args;
use clap::builder::TypedValueParser;

use super::arguments::{self, one_of};
use crate::acuity::Acuity;
use crate::eye::{ChromaticEye, Eye, Pupil};
use crate::quantity::{Length, Wavelength};
use crate::view::Model;

/// Which eye looks at the chart.
#[derive(Args)]
pub(super) struct EyeArgument {
    /// The line whose letters are looked at
    #[arg(long, value_name = "A", default_value = "20/40", value_parser = arguments::acuity, allow_hyphen_values = true)]
    pub(super) line: Acuity,
    /// An aperture in the plane of the lens implant, such as 1.4mm (a round example, no particular implant); the
    /// cornea shows it 1.17 times as wide, and the smaller of it and the pupil counts
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    aperture: Option<Length>,
    /// Age in years, 20 to 83, for the natural pupil; 65 where it is not given
    #[arg(long, value_name = "YEARS", value_parser = clap::value_parser!(u8).range(20..=83))]
    age: Option<u8>,
    /// The wavelength that is in focus where the lens error is nought, 500 to 650 nm
    #[arg(long, value_name = "NM", default_value = "570nm", value_parser = wavelength)]
    focus_at: Wavelength,
    /// The formula for the eye’s chromatic focus
    #[arg(long, value_name = "FORMULA", default_value = "thibos", value_parser = formula())]
    pub(super) chromatic: ChromaticEye,
    /// Times the chromatic focus of an ordinary eye, for a lens of another material, 0.5 to 2
    #[arg(long, value_name = "TIMES", default_value_t = 1.0, value_parser = dispersion, allow_hyphen_values = true)]
    dispersion: f64,
    /// Spherical aberration over 6 mm in micrometres (Zernike), −1 to 1; without it an ordinary eye’s 0.1 from 4 mm of
    /// pupil on, and 0 for a perfect eye
    #[arg(long, value_name = "UM", value_parser = spherical, allow_hyphen_values = true)]
    spherical: Option<f64>,
    /// Count the pupil’s edge less (Stiles-Crawford); the literature is of two minds about that in diffraction
    #[arg(long)]
    stiles_crawford: bool,
}

/// The age of a natural pupil where none is given. Assumed.
const USUAL_AGE: u8 = 65;

/// A pupil, or the natural one.
#[derive(Debug, Clone, Copy)]
pub(super) enum PupilWish {
    Natural,
    Of(Length),
}

/// `--pupil`
pub(super) fn pupil(text: &str) -> Result<PupilWish, String> {
    if text == "natural" {
        return Ok(PupilWish::Natural);
    }
    text.parse().map(PupilWish::Of).map_err(|error: crate::quantity::LengthError| error.to_string())
}

fn formula() -> impl TypedValueParser<Value = ChromaticEye> {
    one_of(vec![("thibos", ChromaticEye::Thibos1992), ("atchison-smith", ChromaticEye::AtchisonSmith2005)])
}

fn wavelength(text: &str) -> Result<Wavelength, String> {
    let nm = text.trim().trim_end_matches("nm").trim_end().parse::<f64>().ok();
    nm.filter(|nm| (500.0..=650.0).contains(nm))
        .map(Wavelength::nm)
        .ok_or_else(|| format!("{text:?} is no wavelength from 500 to 650 nm: write one such as 570nm"))
}

fn within(text: &str, range: std::ops::RangeInclusive<f64>, like: &str) -> Result<f64, String> {
    let value = text.parse::<f64>().ok().filter(|value| range.contains(value));
    value.ok_or_else(|| format!("{text:?} is not from {} to {}: write {like}", range.start(), range.end()))
}

fn dispersion(text: &str) -> Result<f64, String> {
    within(text, 0.5..=2.0, "1 for an ordinary eye")
}

fn spherical(text: &str) -> Result<f64, String> {
    within(text, -1.0..=1.0, "micrometres, such as 0.15")
}

impl EyeArgument {
    /// Refuses an age where every pupil is given.
    pub(super) fn age_counts(&self, pupils: &[PupilWish]) -> Result<(), String> {
        let natural = pupils.iter().any(|pupil| matches!(pupil, PupilWish::Natural));
        if self.age.is_some() && !natural {
            return Err(
                "--age is for the natural pupil, and --pupil gives another: leave one of them out".into()
            );
        }
        Ok(())
    }

    /// The eye with a pupil, or with its natural one; an aperture takes the smaller. Says which in a few words.
    pub(super) fn eye(&self, pupil: PupilWish, model: &Model) -> Result<(Eye, String), Box<dyn Error>> {
        let (pupil, mut words) = match pupil {
            PupilWish::Of(diameter) => (Pupil::new(diameter)?, String::new()),
            PupilWish::Natural => {
                let age = self.age.unwrap_or(USUAL_AGE);
                let assumed = if self.age.is_none() { " assumed" } else { "" };
                (Pupil::natural(model.adaptation(f64::from(age))), format!(" natural (age {age}{assumed})"))
            }
        };
        let seen = match self.aperture {
            Some(aperture) => pupil.behind(Pupil::through_cornea(aperture)?),
            None => pupil,
        };
        if seen != pupil {
            words = self.aperture.map_or_else(String::new, |aperture| {
                format!(", as the cornea shows an aperture of {aperture}")
            });
        }
        let ordinary = Eye::with_pupil(seen);
        let eye = Eye {
            chromatic: self.chromatic,
            dispersion: self.dispersion,
            focus_at: self.focus_at,
            spherical_um: self.spherical.unwrap_or(ordinary.spherical_um),
            stiles_crawford: self.stiles_crawford,
            ..ordinary
        };
        Ok((eye, format!("{:.1} mm{words}", seen.diameter().to_mm())))
    }
}

/// A lens error, written with its sign, such as +0.25 or -0.50D.
pub(super) fn dioptres(text: &str) -> Result<crate::quantity::Dioptres, String> {
    let number = text.trim().trim_end_matches(['D', 'd']).trim_end().replace('\u{2212}', "-");
    let value = number.parse::<f64>().ok().filter(|value| value.abs() <= 6.0);
    value.map(crate::quantity::Dioptres::new).ok_or_else(|| {
        format!("{text:?} is no lens error from −6 to +6 D: write dioptres with their sign, such as +0.25")
    })
}
