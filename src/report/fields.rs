//! The two fields as a room's screen makes them.
//!
//! The match is given twice. *As coded* is what the room file's luminances and tone curve say of the two codes: whether the
//! drawing chose well. *At the eye* is the same with the light that the room throws on the screen, or what a photometer read of
//! both fields as they are shown, with how far that may be off.

use serde::Serialize;

use crate::chart::FieldLight;
use crate::light::{Basis, Observer, Spectrum, difference_percent};
use crate::room::{Room, Spectra};

/// The two fields as the screen makes them.
///
/// An uncertainty here is twice the standard one: with nineteen in twenty readings the truth lies within it.
#[derive(Debug, Clone, Serialize)]
pub struct FieldsShown {
    /// The codes of red and green.
    pub codes: [u8; 2],
    /// Their luminances without the room's light.
    pub cd_m2: [f64; 2],
    /// Twice their standard uncertainty.
    pub uncertainty_cd_m2: [f64; 2],
    /// What the luminances rest on.
    pub luminance_basis: Basis,
    /// What the tone curve rests on.
    pub tone_basis: Basis,
    /// By how much red is brighter as coded, in per cent of their mean.
    pub match_as_coded_percent: f64,
    /// By how much red is brighter at the eye, as read or worked out, in per cent of their mean.
    pub match_at_eye_percent: f64,
    /// Twice the standard uncertainty of that.
    pub match_uncertainty_percent: f64,
    /// Whether the light of red and green was ever measured, matched by eye or claimed.
    pub match_established: bool,
    /// Whether both fields were read as they are shown.
    pub match_read: bool,
    /// The weakest ground of the match at the eye.
    pub match_basis: Basis,
    /// What the match at the eye rests on, in words.
    pub match_rests_on: String,
    /// Why readings of the fields in the room file do not count, in a sentence; none where they do, or are not there.
    pub readings_left_out: Option<String>,
    /// What black rests on, and the room's light on the screen.
    pub contrast_bases: [Basis; 2],
    /// A letter over its field with the room's light, the worse of the two.
    pub contrast_percent: f64,
    /// How much brighter red looks than green to an average eye of CIE 2008 where a photometer finds them equal.
    pub cie_2008_red_over_green: f64,
    /// The same for a protanope.
    pub protanope_red_over_green: f64,
}

impl FieldsShown {
    pub(crate) fn new(room: &Room, light: &FieldLight, spectra: &Spectra) -> Self {
        let display = &room.display;
        let fields @ [red, green] = [light.red, light.green].map(|paint| paint.codes);
        let cd_m2 = fields.map(|codes| display.luminance(codes).to_cd_m2());
        let uncertainty = fields.map(|codes| display.uncertainty(codes));
        let letter = display.luminance_in_room([0; 3]);
        let found = display.field_match(red, green);
        Self {
            codes: [red[0], green[1]],
            cd_m2,
            uncertainty_cd_m2: [0, 1].map(|field: usize| 2.0 * cd_m2[field] * uncertainty[field]),
            luminance_basis: display.light_basis_of(red).with(display.light_basis_of(green)),
            tone_basis: display.tone_basis(),
            match_as_coded_percent: difference_percent(display.luminance(red), display.luminance(green)),
            match_at_eye_percent: found.difference_percent,
            match_uncertainty_percent: found.uncertainty_percent,
            match_established: found.established,
            match_read: found.read,
            match_basis: found.basis,
            match_rests_on: display.match_rests_on(red, green),
            readings_left_out: display.readings_left_out(red, green),
            contrast_bases: [display.black_basis(), display.reflected_basis()],
            contrast_percent: fields
                .map(|codes| letter / display.luminance_in_room(codes) * 100.0)
                .into_iter()
                .fold(0.0, f64::max),
            cie_2008_red_over_green: red_over_green(spectra, Observer::Cie2008),
            protanope_red_over_green: red_over_green(spectra, Observer::Protanope),
        }
    }
}

/// How an observer sees a red and a green that the standard observer finds equal.
///
/// Both lights are first made equal for V(λ) of 1924, as a photometer makes them; what is left is the observer's own. A number
/// over 1: to this observer red is brighter, so answers lean to red.
fn red_over_green(spectra: &Spectra, observer: Observer) -> f64 {
    let seen = |light: &Spectrum| light.light(observer) / light.light(Observer::Standard);
    seen(&spectra.red) / seen(&spectra.green)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Wavelength;

    #[test]
    fn a_protanope_and_an_average_eye_see_a_line_pair_as_cone_tables_have_it() {
        // colour-science 0.4.7, cones of Stockman & Sharpe over V(λ): 538 and 615 nm, 0.34; CIE 2008 by the tables.
        let lines = |nm: f64| Spectrum::line(Wavelength::nm(nm));
        let spectra = Spectra {
            red: lines(615.0),
            green: lines(538.0),
            blue: lines(450.0),
            basis: Basis::Measured,
            origin: String::new(),
        };
        assert!((red_over_green(&spectra, Observer::Protanope) - 0.34).abs() < 0.005);
        let spectra = Spectra { red: lines(610.0), green: lines(540.0), ..spectra };
        // CIE 2008: 0.5584/0.503 over 0.9545/0.954.
        assert!((red_over_green(&spectra, Observer::Cie2008) - 1.1095).abs() < 0.002);
    }
}
