//! What a display profile says of its screen ([ICC.1](crate::bibliography::ICC_1)).
//!
//! A display profile holds three colorants, adapted to the white of D50, and three curves. Undone and turned into chromaticities
//! and steps they stand in a room file as *claimed*: a profile from a measurement of this screen is worth more than the maker's,
//! and nothing in it tells which it is.

use std::path::Path;

use moxcms::{ColorProfile, Matrix3d, ToneReprCurve, Xyz, Xyzd, adaption_matrix_d};

use super::file::{LuminanceTable, PrimariesTable, PrimaryTable, Steps, ToneTable};

/// A display profile as it came, ready to embed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Profile {
    name: String,
    bytes: Vec<u8>,
}

/// Why a file is not a display profile.
#[derive(Debug, thiserror::Error)]
pub enum ProfileError {
    /// It cannot be read.
    #[error("{0}: cannot be read ({1}): give the screen’s own ICC profile, or leave it out")]
    Unreadable(String, String),
    /// It is no RGB display profile.
    #[error(
        "{0}: is not an RGB display profile (ICC.1) of at most 4 MiB: give the screen’s own, or leave it out"
    )]
    NotADisplay(String),
    /// It is one, but not of primaries and curves.
    #[error(
        "{0}: {1}, so it tells nothing of the fields: leave it out, and meter red, green, white and black"
    )]
    TellsNothing(String, &'static str),
}

const MAX_BYTES: u64 = 4 << 20;

/// Codes from one step of a curve to the next in a room file: a 51st part of 255, so that both ends are steps.
const STEP_CODES: usize = 5;

/// How many parts of one a chromaticity, or a step of light, is rounded to in a room file.
const PARTS: f64 = 1e5;

/// The white of the profile connection space.
const D50: Xyz = Xyz { x: 0.9642, y: 1.0, z: 0.8249 };

/// A white so near to D50 is D50: the tag holds 16 bits behind the point.
const SAME_WHITE: f32 = 1e-3;

/// What a profile says of its screen, ready for a room file: everything in it is claimed.
///
/// Chromaticities to five decimals; curves as 52 steps, every fifth code, in shares of full light.
#[derive(Debug, Clone, PartialEq)]
pub struct ProfileSays {
    /// Chromaticities of the primaries and of white.
    pub primaries: PrimariesTable,
    /// The luminance of white, if the profile has it.
    pub luminance: Option<LuminanceTable>,
    /// The tone curve.
    pub tone: ToneTable,
}

impl Profile {
    /// Reads a profile and looks at its header (ICC.1, table of the profile header: bytes 0, 12, 16 and 36).
    ///
    /// # Errors
    /// Unreadable, too large, or not an RGB display profile.
    pub fn read(path: &Path) -> Result<Self, ProfileError> {
        let name = path.display().to_string();
        match crate::store::read(path, MAX_BYTES) {
            Ok(bytes) => Self::new(bytes, name),
            Err(problem) => Err(ProfileError::Unreadable(name, problem.to_string())),
        }
    }

    /// The same of a profile in memory; `name` stands for it in an error.
    ///
    /// # Errors
    /// Not an RGB display profile.
    pub fn new(bytes: Vec<u8>, name: String) -> Result<Self, ProfileError> {
        let says = |from: usize, what: &[u8]| bytes.get(from..from + what.len()) == Some(what);
        let length = u32::try_from(bytes.len()).unwrap_or(0).to_be_bytes();
        if says(0, &length) && says(12, b"mntr") && says(16, b"RGB ") && says(36, b"acsp") {
            Ok(Self { name, bytes })
        } else {
            Err(ProfileError::NotADisplay(name))
        }
    }

    /// The profile's bytes.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// What the profile says of the screen. Its colorants are adapted to D50; that is undone, by its own matrix where
    /// it has one, else by that of Bradford from its white.
    ///
    /// # Errors
    /// Where the profile is damaged or has no primaries and curves.
    pub fn says(&self) -> Result<ProfileSays, ProfileError> {
        let name = || self.name.clone();
        let profile =
            ColorProfile::new_from_slice(&self.bytes).map_err(|_| ProfileError::NotADisplay(name()))?;
        let nothing = |why| ProfileError::TellsNothing(name(), why);
        let to_screen = from_d50(&profile);
        let native = [profile.red_colorant, profile.green_colorant, profile.blue_colorant]
            .map(|colorant| times(&to_screen, colorant));
        let chromaticities = native.map(chromaticity);
        if !chromaticities.iter().flatten().all(|part| part.is_finite() && *part > 0.0) {
            return Err(nothing("has no primaries"));
        }
        let sum = native.into_iter().fold(Xyzd::default(), |sum, one| Xyzd {
            x: sum.x + one.x,
            y: sum.y + one.y,
            z: sum.z + one.z,
        });
        let curves = [&profile.red_trc, &profile.green_trc, &profile.blue_trc].map(Option::as_ref);
        let [Some(red), Some(green), Some(blue)] = curves else { return Err(nothing("has no tone curves")) };
        let tone = tone([red, green, blue]).ok_or_else(|| nothing("has tone curves that do not rise"))?;
        Ok(ProfileSays {
            primaries: primaries(chromaticities, chromaticity(sum)),
            luminance: profile.luminance.filter(|light| light.y > 0.0).map(|light| LuminanceTable {
                white: Some(light.y),
                claimed: true,
                ..LuminanceTable::default()
            }),
            tone,
        })
    }
}

/// The matrix from the profile's D50 back to the screen's own white.
fn from_d50(profile: &ColorProfile) -> Matrix3d {
    if let Some(adaptation) = profile.chromatic_adaptation {
        return adaptation.inverse();
    }
    // Profiles before version 4 need not say how they adapted; their white is then the screen's.
    let white = profile.media_white_point.unwrap_or(profile.white_point);
    let (white, d50) = (white.to_xyz(), D50);
    let same = (white.x - d50.x).abs().max((white.z - d50.z).abs()) < SAME_WHITE;
    if same { Matrix3d::IDENTITY } else { adaption_matrix_d(d50, white) }
}

fn times(matrix: &Matrix3d, colour: Xyzd) -> Xyzd {
    let row = |[a, b, c]: [f64; 3]| a * colour.x + b * colour.y + c * colour.z;
    let [x, y, z] = matrix.v.map(row);
    Xyzd { x, y, z }
}

fn chromaticity(Xyzd { x, y, z }: Xyzd) -> [f64; 2] {
    [x, y].map(|part| rounded(part / (x + y + z)))
}

fn rounded(value: f64) -> f64 {
    (value * PARTS).round() / PARTS
}

fn primaries([red, green, blue]: [[f64; 2]; 3], white: [f64; 2]) -> PrimariesTable {
    let primary =
        |xy| Some(PrimaryTable { peak_nm: None, fwhm_nm: None, spectrum: None, chromaticity: Some(xy) });
    PrimariesTable {
        red: primary(red),
        green: primary(green),
        blue: primary(blue),
        white: Some(white),
        kind: None,
        claimed: true,
    }
}

/// One gamma where all three curves are that, else steps of each; none where a curve does not rise.
fn tone(curves: [&ToneReprCurve; 3]) -> Option<ToneTable> {
    let gammas = curves.map(pure_gamma);
    let table = |gamma, steps| ToneTable {
        gamma,
        steps,
        relative: gamma.is_none(),
        claimed: true,
        ..ToneTable::default()
    };
    if let [Some(red), Some(green), Some(blue)] = gammas
        && (red - green).abs().max((red - blue).abs()) < 1.0 / PARTS
    {
        return Some(table(Some(red), None));
    }
    let [red, green, blue] = curves.map(steps);
    let (red, green, blue) = (red?, green?, blue?);
    let steps = if red == green && green == blue {
        Steps::White(red)
    } else {
        Steps::Each { red, green, blue: Some(blue) }
    };
    Some(table(None, Some(steps)))
}

/// The exponent of a curve that is a pure power.
fn pure_gamma(curve: &ToneReprCurve) -> Option<f64> {
    let gamma = match curve {
        // One entry is a gamma with eight bits behind the point.
        ToneReprCurve::Lut(table) if table.len() == 1 => f64::from(table[0]) / 256.0,
        ToneReprCurve::Parametric(parameters) if parameters.len() == 1 => f64::from(parameters[0]),
        ToneReprCurve::Lut(_) | ToneReprCurve::Parametric(_) => return None,
    };
    Some(rounded(gamma))
}

/// Shares of full light at some codes, from 0 to 1, less those that do not rise.
fn steps(curve: &ToneReprCurve) -> Option<Vec<[f64; 2]>> {
    let evaluator = curve.make_linear_evaluator().ok()?;
    let light = |code: u8| f64::from(evaluator.evaluate_value(f32::from(code) / 255.0));
    let (dark, full) = (light(0), light(255));
    let share = |code: u8| rounded((light(code) - dark) / (full - dark));
    let mut steps: Vec<[f64; 2]> = vec![[0.0, 0.0]];
    for code in (0..=255_u8).step_by(STEP_CODES).skip(1) {
        let share = share(code);
        if !share.is_finite() {
            return None;
        }
        if share > steps[steps.len() - 1][1] && (share < 1.0 || code == 255) {
            steps.push([f64::from(code), share]);
        }
    }
    (steps.len() > 2 && steps[steps.len() - 1][0] > 254.0).then_some(steps)
}
