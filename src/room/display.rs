use std::f64::consts::PI;

use super::file::{LuminanceTable, Steps, ToneTable};
use super::{RoomError, RoomFile, within};
use crate::light::{Basis, Channel, ToneCurve, srgb_weight};
use crate::quantity::Luminance;

/// White of an ordinary office monitor, where nothing was measured. Common practice, no source.
const ASSUMED_WHITE: Luminance = Luminance::cd_m2(250.0);

/// Black over white of an ordinary LCD, where black was not measured. Common practice, no source.
const ASSUMED_BLACK_RATIO: f64 = 1e-3;

/// By how much the primaries may add up to another white than the measured one.
const ADDITIVITY: f64 = 0.05;

/// By how much the ends of measured steps may differ from the luminances.
const END_AGREEMENT: f64 = 0.01;

/// The last digit of an ordinary photometer in cd/m²; two readings of one black differ by so much. Assumed.
const METER_STEP: f64 = 0.02;

/// The light of a screen for any device code, and the room's light upon it.
///
/// `L(code) = black + (L_full − black) · tone(code)` for each channel; channels add.
#[derive(Debug, Clone)]
pub struct Display {
    black: Luminance,
    full: [Luminance; 3],
    tone: [ToneCurve; 3],
    reflected: Luminance,
    full_basis: [Basis; 3],
    black_basis: Basis,
    tone_basis: Basis,
    reflected_basis: Basis,
}

impl Display {
    /// A screen of which nothing is known: sRGB curve and weights, everything assumed.
    ///
    /// # Panics
    /// Never: the assumptions are legal.
    #[must_use]
    pub fn assumed() -> Self {
        Self::from_tables(&LuminanceTable::default(), Basis::Assumed).expect("the assumptions are legal")
    }

    /// The screen's own luminance at a pixel's codes.
    #[must_use]
    pub fn luminance(&self, codes: [u8; 3]) -> Luminance {
        let above_black = |channel: Channel| {
            let index = channel.index();
            (self.full[index] - self.black) * self.tone[index].light(codes[index])
        };
        Channel::ALL.into_iter().map(above_black).fold(self.black, |sum, light| sum + light)
    }

    /// The luminance of a pixel with the room's reflected light upon it, as the eye sees it.
    #[must_use]
    pub fn luminance_in_room(&self, codes: [u8; 3]) -> Luminance {
        self.luminance(codes) + self.reflected
    }

    /// The room's light that the screen gives back.
    #[must_use]
    pub const fn reflected(&self) -> Luminance {
        self.reflected
    }

    /// The luminance with all codes 0.
    #[must_use]
    pub const fn black(&self) -> Luminance {
        self.black
    }

    /// The tone curve of a channel.
    #[must_use]
    pub const fn tone(&self, channel: Channel) -> &ToneCurve {
        &self.tone[channel.index()]
    }

    /// What a channel's luminance at full drive rests on.
    #[must_use]
    pub const fn full_basis(&self, channel: Channel) -> Basis {
        self.full_basis[channel.index()]
    }

    /// What the black rests on.
    #[must_use]
    pub const fn black_basis(&self) -> Basis {
        self.black_basis
    }

    /// What the tone curves rest on.
    #[must_use]
    pub const fn tone_basis(&self) -> Basis {
        self.tone_basis
    }

    /// What the reflected light rests on.
    #[must_use]
    pub const fn reflected_basis(&self) -> Basis {
        self.reflected_basis
    }

    /// Whether every channel follows the curve of IEC 61966-2-1.
    #[must_use]
    pub fn follows_srgb(&self) -> bool {
        let srgb = ToneCurve::srgb();
        self.tone.iter().all(|curve| *curve == srgb)
    }

    pub(super) fn from_file(file: &RoomFile, basis: Basis) -> Result<Self, RoomError> {
        let luminance = file.luminance.clone().unwrap_or_default();
        let mut display = Self::from_tables(&luminance, basis)?;
        if let Some(ambient) = &file.ambient {
            let lux = within(
                "ambient.illuminance_lux",
                ambient.illuminance_lux,
                0.0..=100_000.0,
                " lx",
                "hold the lux meter at the screen, facing the patient",
            )?;
            let remedy = "a screen gives back 0.01 to 0.06 of the light";
            let reflectance =
                within("ambient.screen_reflectance", ambient.screen_reflectance, 0.0..=1.0, "", remedy)?;
            // A perfectly diffuse reflector: L = E·ρ/π.
            display.reflected = Luminance::cd_m2(lux * reflectance / PI);
            display.reflected_basis = basis;
        }
        if let Some(tone) = &file.tone {
            display.take_tone(tone, &luminance)?;
            display.tone_basis = basis;
        }
        Ok(display)
    }

    fn from_tables(table: &LuminanceTable, basis: Basis) -> Result<Self, RoomError> {
        let given = [table.red, table.green, table.blue];
        for (key, value) in ["luminance.red", "luminance.green", "luminance.blue", "luminance.white"]
            .into_iter()
            .zip(given.into_iter().chain([table.white]))
        {
            let remedy = "write the photometer's reading in cd/m², or leave it out";
            value.map_or(Ok(0.0), |value| within(key, value, 0.1..=100_000.0, " cd/m²", remedy))?;
        }
        let black = legal_black(table)?;
        let swing = white_swing(table, black)?;
        let full = Channel::ALL.map(|channel| {
            let assumed = black + swing * srgb_weight(channel);
            Luminance::cd_m2(given[channel.index()].unwrap_or(assumed))
        });
        Ok(Self {
            black: Luminance::cd_m2(black),
            full,
            tone: std::array::from_fn(|_| ToneCurve::srgb()),
            reflected: Luminance::cd_m2(0.0),
            full_basis: given.map(|value| value.map_or(Basis::Assumed, |_| basis)),
            black_basis: table.black.map_or(Basis::Assumed, |_| basis),
            tone_basis: Basis::Assumed,
            reflected_basis: Basis::Assumed,
        })
    }

    fn take_tone(&mut self, tone: &ToneTable, luminance: &LuminanceTable) -> Result<(), RoomError> {
        match (&tone.gamma, &tone.steps) {
            (Some(gamma), None) => {
                let gamma = within("tone.gamma", *gamma, 1.0..=4.0, "", "screens have about 2.2")?;
                self.tone = std::array::from_fn(|_| ToneCurve::gamma(gamma));
            }
            (None, Some(Steps::White(steps))) => {
                let curve = legal_steps("tone.steps", steps, luminance.black, luminance.white)?;
                self.tone = std::array::from_fn(|_| curve.clone());
            }
            (None, Some(Steps::Each { red, green, blue })) => {
                let red = legal_steps("tone.steps.red", red, luminance.black, luminance.red)?;
                let green = legal_steps("tone.steps.green", green, luminance.black, luminance.green)?;
                let blue = match blue {
                    Some(steps) => legal_steps("tone.steps.blue", steps, luminance.black, luminance.blue)?,
                    None => green.clone(),
                };
                self.tone = [red, green, blue];
            }
            (None, None) => {
                return Err(RoomError::new("tone", "is empty: write gamma or steps, or leave [tone] out"));
            }
            (Some(_), Some(_)) => return Err(RoomError::new("tone", "has both gamma and steps: keep one")),
        }
        Ok(())
    }
}

/// Black in cd/m², given or assumed, and darker than everything that was given.
fn legal_black(table: &LuminanceTable) -> Result<f64, RoomError> {
    let fields = [("red", table.red), ("green", table.green), ("blue", table.blue), ("white", table.white)];
    let Some(black) = table.black else {
        let white = table.white.unwrap_or_else(|| ASSUMED_WHITE.to_cd_m2());
        let darkest = fields.iter().filter_map(|(_, value)| *value).fold(white, f64::min);
        return Ok((white * ASSUMED_BLACK_RATIO).min(darkest / 2.0));
    };
    within(
        "luminance.black",
        black,
        0.0..=1000.0,
        " cd/m²",
        "write the photometer's reading of a black screen in the dark room",
    )?;
    for (name, value) in fields {
        if let Some(value) = value.filter(|value| *value <= black) {
            let problem = format!(
                "= {black} cd/m² is not darker than {name} = {value} cd/m²: measure both again in the dark room"
            );
            return Err(RoomError::new("luminance.black", problem));
        }
    }
    Ok(black)
}

/// White less black in cd/m²: from white, else from the primaries that were given and the weights of sRGB.
fn white_swing(table: &LuminanceTable, black: f64) -> Result<f64, RoomError> {
    let given = [table.red, table.green, table.blue];
    let light: f64 = given.iter().flatten().map(|value| value - black).sum();
    let weight: f64 =
        Channel::ALL.into_iter().filter(|channel| given[channel.index()].is_some()).map(srgb_weight).sum();
    let Some(white) = table.white else {
        return Ok(if weight > 0.0 { light / weight } else { ASSUMED_WHITE.to_cd_m2() - black });
    };
    let sum = black + light;
    if given.iter().all(Option::is_some) && (sum / white - 1.0).abs() > ADDITIVITY {
        let problem = format!(
            "= {white} cd/m², but red, green and blue add up to {sum:.1} cd/m², over 5 % off: measure again, or leave white out"
        );
        return Err(RoomError::new("luminance.white", problem));
    }
    Ok(white - black)
}

fn legal_steps(
    key: &str,
    steps: &[[f64; 2]],
    black: Option<f64>,
    full: Option<f64>,
) -> Result<ToneCurve, RoomError> {
    let curve =
        ToneCurve::steps(steps).map_err(|error| RoomError::new(key, format!("cannot be: {error}")))?;
    let (first, last) = (steps[0][1], steps[steps.len() - 1][1]);
    for (what, step, given) in [("black", first, black), ("full drive", last, full)] {
        if let Some(given) =
            given.filter(|given| (step - given).abs() > METER_STEP.max(END_AGREEMENT * given))
        {
            let problem = format!(
                "has {step} cd/m² at {what} where [luminance] has {given} cd/m², over 1 % off: measure both in one go"
            );
            return Err(RoomError::new(key, problem));
        }
    }
    Ok(curve)
}
