//! A screen's light: what each code shows, what it rests on, and how sure it is.
//!
//! Two kinds of number come from here, and each with what it rests on. A *luminance* needs the full drive of its channels. A
//! *ratio* of two, on which the match hangs, needs only their shares of white: so a screen whose white nobody read can still be
//! matched by its chromaticities, or by an eye.

use std::f64::consts::PI;

use super::field_readings::FieldReadings;
use super::file::{AmbientTable, LuminanceTable, PrimariesTable, Steps, ToneTable};
use super::full_drive::{FullDrive, percent_of_meter, with_ends_of_steps};
pub use super::full_drive::{METER_PERCENT, READING};
use super::{RoomError, RoomFile, within};
use crate::light::{Basis, Channel, ToneCurve};
use crate::quantity::Luminance;

/// Standard uncertainty in per cent of one reading of a coloured field by an ordinary photometer, whose filter is
/// never just V(λ): most of it for narrow bands. Assumed.
const ASSUMED_METER_PERCENT: f64 = 3.0;

/// Standard uncertainty of luminances that a profile claims or chromaticities give. Assumed.
const CLAIMED_LIGHT: f64 = 0.1;

/// Standard uncertainty of luminances of which nothing is known; screens go from 150 to 400 cd/m². Assumed.
const ASSUMED_LIGHT: f64 = 0.3;

/// Standard uncertainty of a screen's gamma where the curve is assumed to be that of sRGB, or where an eye found it on
/// the setup sheet. Assumed.
const ASSUMED_GAMMA: f64 = 0.1;

/// What a lux meter may read.
const LUX: std::ops::RangeInclusive<f64> = 0.0..=100_000.0;

/// By how much the ends of measured steps may differ from the luminances.
const END_AGREEMENT: f64 = 0.01;

/// The last digit of an ordinary photometer in cd/m²; two readings of one black may differ by it. Assumed.
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
    ratio_basis: [Basis; 3],
    black_basis: Basis,
    tone_basis: Basis,
    reflected_basis: Basis,
    meter: Meter,
    field_readings: Option<FieldReadings>,
}

/// How good the readings of a room file are.
///
/// A photometer's filter is never just V(λ); in narrow bands of colour it errs most, and otherwise in red than in green. So the
/// uncertainty of a coloured reading is larger than the one on the instrument's data sheet, which as a rule is for white.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meter {
    /// The relative standard uncertainty of one reading of a coloured field.
    pub standard: f64,
    /// Whether the room file gives it.
    pub given: bool,
}

impl Display {
    /// A screen of which nothing is known: sRGB curve and weights, everything assumed.
    ///
    /// White of 250 cd/m², black a thousandth of it, no room light. For pictures whose screen nobody knows, such as slides.
    ///
    /// # Panics
    /// Never: the assumptions are legal.
    #[must_use]
    pub fn assumed() -> Self {
        Self::from_tables(&LuminanceTable::default(), None, Basis::Assumed)
            .expect("the assumptions are legal")
    }

    /// The screen's own luminance at a pixel's codes.
    ///
    /// ```
    /// # use evenfield::room::Room;
    /// // The demo room: red 52, black 0.25 cd/m², the sRGB curve, which has 0.215861 of full light at code 128 by IEC
    /// // 61966-2-1. Worked by hand: 0.25 + 51.75 · 0.215861 = 11.4208.
    /// const HALF_A_DIGIT: f64 = 5e-5;
    /// let display = &Room::demo().display;
    /// assert!((display.luminance([128, 0, 0]).to_cd_m2() - 11.4208).abs() < HALF_A_DIGIT);
    /// ```
    #[must_use]
    pub fn luminance(&self, codes: [u8; 3]) -> Luminance {
        let above_black = |channel: Channel| {
            let index = channel.index();
            (self.full[index] - self.black) * self.tone[index].light(codes[index])
        };
        Channel::ALL.into_iter().map(above_black).fold(self.black, |sum, light| sum + light)
    }

    /// The luminance of a pixel with the room's reflected light upon it, as the eye sees it.
    ///
    /// ```
    /// # use evenfield::room::Room;
    /// // Worked by hand for the demo room: a letter has the black of 0.25 and the reflected 0.02546 cd/m².
    /// const HALF_A_DIGIT: f64 = 5e-6;
    /// let letter = Room::demo().display.luminance_in_room([0; 3]);
    /// assert!((letter.to_cd_m2() - 0.27546).abs() < HALF_A_DIGIT);
    /// ```
    #[must_use]
    pub fn luminance_in_room(&self, codes: [u8; 3]) -> Luminance {
        self.luminance(codes) + self.reflected
    }

    /// The room's light that the screen gives back.
    ///
    /// E·ρ/π, as of a perfectly diffuse reflector: illuminance in lux, reflectance 0 to 1. Nought where the room file has no
    /// `[ambient]`, and then contrast is better in the report than in the room.
    ///
    /// ```
    /// # use evenfield::room::Room;
    /// // Worked by hand for the demo room: 4 lx · 0.02 / π = 0.02546 cd/m².
    /// const HALF_A_DIGIT: f64 = 5e-6;
    /// assert!((Room::demo().display.reflected().to_cd_m2() - 0.02546).abs() < HALF_A_DIGIT);
    /// ```
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

    /// What a channel's share of white rests on, whatever the white.
    ///
    /// It can be firmer than [`full_basis`](Self::full_basis): chromaticities tell the ratio of red to green and nothing of their size.
    #[must_use]
    pub const fn ratio_basis(&self, channel: Channel) -> Basis {
        self.ratio_basis[channel.index()]
    }

    /// How good the readings are.
    #[must_use]
    pub const fn meter(&self) -> Meter {
        self.meter
    }

    /// The relative standard uncertainty of a pixel's own luminance, by the root of the sum of squares: the meter
    /// (or what is assumed in place of readings), the rounding of its code, and the curve where that is assumed.
    ///
    /// ```
    /// # use evenfield::room::Room;
    /// // Red at full drive in the demo room. Worked by hand: 3 % of the meter, and of code 255 half a code of the screen's own,
    /// // (1 − 0.991102)/√12 = 0.26 %; an assumed curve adds nothing at its end. √(0.03² + 0.0025686²) = 0.03011.
    /// const HALF_A_DIGIT: f64 = 5e-6;
    /// assert!((Room::demo().display.uncertainty([255, 0, 0]) - 0.03011).abs() < HALF_A_DIGIT);
    /// ```
    #[must_use]
    pub fn uncertainty(&self, codes: [u8; 3]) -> f64 {
        let driven = || Channel::ALL.into_iter().filter(|channel| codes[channel.index()] > 0);
        let rounding = |channel: Channel| {
            let (tone, code) = (self.tone(channel), codes[channel.index()]);
            // A screen may round the code by half a step of its own: a rectangle of that width over √12.
            let light = tone.light(code);
            if light > 0.0 { (light - tone.light(code - 1)) / light / 12_f64.sqrt() } else { 0.0 }
        };
        // L = (code/255)^γ, so dL/L = ln(code/255) · dγ: nothing at full drive, 5 % at code 147.
        let curve = |channel: Channel| ASSUMED_GAMMA * (f64::from(codes[channel.index()]) / 255.0).ln();
        let read = match driven().map(|channel| self.full_basis(channel)).fold(Basis::Measured, Basis::with) {
            Basis::Measured | Basis::Invented => self.meter.standard,
            Basis::Derived | Basis::Matched | Basis::Claimed => CLAIMED_LIGHT,
            Basis::Assumed => ASSUMED_LIGHT,
        };
        let curved = |channel: Channel| if self.tone_is_guessed() { curve(channel).powi(2) } else { 0.0 };
        let rest: f64 = driven().map(|channel| rounding(channel).powi(2) + curved(channel)).sum();
        (read.powi(2) + rest).sqrt()
    }

    /// Whether nobody measured the curve: it is assumed, or an eye found it among steps a fifth of a gamma apart.
    fn tone_is_guessed(&self) -> bool {
        [Basis::Assumed, Basis::Matched].contains(&self.tone_basis)
    }

    /// Both fields as they were read, if the room file has that.
    pub(super) const fn field_readings(&self) -> Option<&FieldReadings> {
        self.field_readings.as_ref()
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
    ///
    /// Then a chart's file may carry the sRGB tag; with any other curve the tag would be wrong, and a viewer that obeys it would change the codes.
    #[must_use]
    pub fn follows_srgb(&self) -> bool {
        let srgb = ToneCurve::srgb();
        self.tone.iter().all(|curve| *curve == srgb)
    }

    pub(super) fn from_file(file: &RoomFile, basis: Basis) -> Result<Self, RoomError> {
        let tone = file.tone.as_ref();
        tone.map_or(Ok(()), legal_curves)?;
        let readings = with_ends_of_steps(&file.luminance.clone().unwrap_or_default(), tone);
        let mut display = Self::from_tables(&readings, file.primaries.as_ref(), basis)?;
        display.field_readings = file.field_match.as_ref().map(FieldReadings::from_table).transpose()?;
        if let Some(ambient) = &file.ambient {
            display.take_ambient(ambient, basis)?;
        }
        if let Some(tone) = tone {
            display.take_tone(tone, &readings)?;
            display.tone_basis = match (tone.claimed, tone.matched_by_eye) {
                (true, _) => basis.with(Basis::Claimed),
                (false, true) => basis.with(Basis::Matched),
                (false, false) => basis,
            };
        }
        Ok(display)
    }

    fn from_tables(
        readings: &LuminanceTable,
        primaries: Option<&PrimariesTable>,
        basis: Basis,
    ) -> Result<Self, RoomError> {
        let percent = readings.meter_percent.unwrap_or(ASSUMED_METER_PERCENT);
        let standard = percent_of_meter("luminance.meter_percent", percent)?;
        let drive = FullDrive::new(readings, primaries, basis)?;
        Ok(Self {
            black: Luminance::cd_m2(drive.black),
            full: drive.full.map(Luminance::cd_m2),
            tone: std::array::from_fn(|_| ToneCurve::srgb()),
            reflected: Luminance::cd_m2(0.0),
            full_basis: drive.full_basis,
            ratio_basis: drive.ratio_basis,
            black_basis: drive.black_basis,
            tone_basis: Basis::Assumed,
            reflected_basis: Basis::Assumed,
            meter: Meter { standard, given: readings.meter_percent.is_some() },
            field_readings: None,
        })
    }

    fn take_ambient(&mut self, ambient: &AmbientTable, basis: Basis) -> Result<(), RoomError> {
        let remedy = "hold the lux meter at the screen, facing the patient";
        let lux = within("ambient.illuminance_lux", ambient.illuminance_lux, LUX, " lx", remedy)?;
        let remedy = "a screen gives back 0.01 to 0.06 of the light";
        let reflectance =
            within("ambient.screen_reflectance", ambient.screen_reflectance, 0.0..=1.0, "", remedy)?;
        // A perfectly diffuse reflector: L = E·ρ/π.
        self.reflected = Luminance::cd_m2(lux * reflectance / PI);
        self.reflected_basis = basis;
        Ok(())
    }

    fn take_tone(&mut self, tone: &ToneTable, readings: &LuminanceTable) -> Result<(), RoomError> {
        let ends =
            |full: Option<f64>| if tone.relative { [Some(0.0), Some(1.0)] } else { [readings.black, full] };
        match (&tone.gamma, &tone.steps) {
            (Some(gamma), None) => {
                let gamma = within("tone.gamma", *gamma, 1.0..=4.0, "", "screens have about 2.2")?;
                self.tone = std::array::from_fn(|_| ToneCurve::gamma(gamma));
            }
            (None, Some(Steps::White(steps))) => {
                let curve = legal_steps("tone.steps", steps, ends(readings.white))?;
                self.tone = std::array::from_fn(|_| curve.clone());
            }
            (None, Some(Steps::Each { red, green, blue })) => {
                let red = legal_steps("tone.steps.red", red, ends(readings.red))?;
                let green = legal_steps("tone.steps.green", green, ends(readings.green))?;
                let blue = match blue {
                    Some(steps) => legal_steps("tone.steps.blue", steps, ends(readings.blue))?,
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

fn curve(key: &str, steps: &[[f64; 2]]) -> Result<ToneCurve, RoomError> {
    ToneCurve::steps(steps).map_err(|error| RoomError::new(key, format!("cannot be: {error}")))
}

/// Curves through lights that a photometer could have read.
fn legal_curves(tone: &ToneTable) -> Result<(), RoomError> {
    let most = if tone.relative { 1.0 } else { 100_000.0 };
    let unit = if tone.relative { " of full light" } else { " cd/m²" };
    for (key, steps) in tone.steps.iter().flat_map(Steps::named) {
        for [code, light] in steps {
            let remedy = format!("measure code {code} again");
            within(key, *light, 0.0..=most, unit, &remedy)?;
        }
        curve(key, steps)?;
    }
    Ok(())
}

fn legal_steps(
    key: &str,
    steps: &[[f64; 2]],
    [black, full]: [Option<f64>; 2],
) -> Result<ToneCurve, RoomError> {
    let curve = curve(key, steps)?;
    let (first, last) = (steps[0][1], steps[steps.len() - 1][1]);
    for (what, step, given) in [("black", first, black), ("full drive", last, full)] {
        if let Some(given) =
            given.filter(|given| (step - given).abs() > METER_STEP.max(END_AGREEMENT * given))
        {
            let problem = format!(
                "has {step} cd/m² at {what} where another reading has {given} cd/m², over 1 % off: measure both in one go"
            );
            return Err(RoomError::new(key, problem));
        }
    }
    Ok(curve)
}
