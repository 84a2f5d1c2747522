//! The spectra of the primaries, on which the dioptres between the two fields rest.
//!
//! Where nothing is known the usual bands of the screen's kind stand in. They differ between kinds by more than any formula does:
//! red and green lie about 0.3 D apart on a broad screen and nearly 0.5 D on a narrow one.

use std::path::{Path, PathBuf};

use super::RoomError;
use super::file::{PrimariesTable, PrimaryTable};
use crate::light::{Basis, Channel, Spectrum, SpectrumError};
use crate::quantity::Wavelength;

/// A spectrum file has some hundred lines.
const MOST_BYTES: u64 = 1 << 20;

/// A kind of screen, with the bands that such screens usually have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScreenKind {
    /// White light-emitting diodes behind wide filters: an ordinary office monitor.
    BroadLcd,
    /// Narrow phosphors or quantum dots.
    NarrowLcd,
    /// Organic light-emitting diodes.
    Oled,
}

impl ScreenKind {
    /// All of them; the first is assumed where nothing is said.
    pub const ALL: [Self; 3] = [Self::BroadLcd, Self::NarrowLcd, Self::Oled];

    /// Its name in room files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::BroadLcd => "broad-lcd",
            Self::NarrowLcd => "narrow-lcd",
            Self::Oled => "oled",
        }
    }

    /// Its usual bands.
    #[must_use]
    pub fn spectra(self) -> Spectra {
        let band = |channel: Channel| {
            let (peak, width) = self.band(channel);
            Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width))
        };
        Spectra {
            red: band(Channel::Red),
            green: band(Channel::Green),
            blue: band(Channel::Blue),
            basis: Basis::Assumed,
            origin: format!("generic bands of the kind {}, from memory", self.name()),
        }
    }

    /// Peak and full width at half maximum of a primary in nanometres. From memory: within the ranges that such
    /// screens are said to have, no measurement; those of the broad one have the mean wavelengths, 608 and 547 nm, of an
    /// early display whose spectra are published (611 and 546 nm).
    const fn band(self, channel: Channel) -> (f64, f64) {
        match (self, channel) {
            (Self::BroadLcd, Channel::Red) => (625.0, 60.0),
            (Self::BroadLcd, Channel::Green) => (540.0, 80.0),
            (Self::BroadLcd, Channel::Blue) => (450.0, 20.0),
            (Self::NarrowLcd, Channel::Red) => (630.0, 25.0),
            (Self::NarrowLcd, Channel::Green) => (530.0, 30.0),
            (Self::NarrowLcd, Channel::Blue) => (450.0, 20.0),
            (Self::Oled, Channel::Red) => (620.0, 45.0),
            (Self::Oled, Channel::Green) => (530.0, 45.0),
            (Self::Oled, Channel::Blue) => (460.0, 20.0),
        }
    }
}

/// Where the spectra of red and green come from.
#[derive(Debug, Clone, PartialEq)]
pub struct Primaries {
    red: Source,
    green: Source,
    blue: Source,
    kind: ScreenKind,
    /// What the given ones rest on.
    basis: Basis,
}

/// Where one spectrum comes from.
#[derive(Debug, Clone, PartialEq)]
enum Source {
    Band { peak: f64, width: f64 },
    File(PathBuf),
    Generic,
}

/// The spectra of the primaries, in relative power, and what they rest on.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectra {
    /// Of the red primary.
    pub red: Spectrum,
    /// Of the green primary.
    pub green: Spectrum,
    /// Of the blue primary, for white fields only; generic where nothing is given, whatever the others are.
    pub blue: Spectrum,
    /// What red and green rest on: measured, claimed, invented, or assumed from the kind of screen.
    pub basis: Basis,
    /// In words, for people.
    pub origin: String,
}

/// Why a spectrum file was refused.
#[derive(Debug, thiserror::Error)]
pub enum SpectraError {
    /// It cannot be read.
    #[error("{path}: {problem}: mend or remove primaries.{primary}.spectrum in the room file")]
    Unreadable {
        /// The file.
        path: String,
        /// Which primary it is.
        primary: &'static str,
        /// What the system says.
        problem: String,
    },
    /// Red of a shorter mean wavelength than green, by which all advice would be turned round.
    #[error(
        "primaries.red has a mean wavelength of {red_nm:.0} nm and primaries.green of {green_nm:.0} nm: red is the longer one, so exchange them in the room file"
    )]
    Swapped {
        /// Of red.
        red_nm: f64,
        /// Of green.
        green_nm: f64,
    },
    /// It is no spectrum.
    #[error("{path}: {problem}")]
    Refused {
        /// The file.
        path: String,
        /// One sentence with the remedy.
        problem: SpectrumError,
    },
}

impl Primaries {
    pub(super) fn from_table(table: Option<&PrimariesTable>, basis: Basis) -> Result<Self, RoomError> {
        let Some(table) = table else {
            return Ok(Self {
                red: Source::Generic,
                green: Source::Generic,
                blue: Source::Generic,
                kind: ScreenKind::BroadLcd,
                basis: Basis::Assumed,
            });
        };
        Ok(Self {
            red: Source::of(table.red.as_ref()),
            green: Source::of(table.green.as_ref()),
            blue: Source::of(table.blue.as_ref()),
            kind: table.kind.as_deref().map_or(Ok(ScreenKind::BroadLcd), kind)?,
            basis: if table.claimed { basis.with(Basis::Claimed) } else { basis },
        })
    }

    /// Counts the paths of spectrum files from a folder.
    pub(super) fn count_from(&mut self, folder: &Path) {
        for source in [&mut self.red, &mut self.green, &mut self.blue] {
            if let Source::File(path) = source {
                *path = folder.join(&*path);
            }
        }
    }

    /// Reads the spectra.
    ///
    /// # Errors
    /// A file that cannot be read or is no spectrum.
    pub fn spectra(&self) -> Result<Spectra, SpectraError> {
        let generic = [&self.red, &self.green].into_iter().any(|source| *source == Source::Generic);
        let basis = if generic { Basis::Assumed } else { self.basis };
        let [red, green] =
            [self.spectrum(&self.red, Channel::Red)?, self.spectrum(&self.green, Channel::Green)?];
        let [red_nm, green_nm] = [&red, &green].map(|light| light.mean_wavelength().to_nm());
        if red_nm <= green_nm {
            return Err(SpectraError::Swapped { red_nm, green_nm });
        }
        Ok(Spectra {
            red,
            green,
            blue: self.spectrum(&self.blue, Channel::Blue)?,
            basis,
            origin: if generic {
                format!("generic bands of the kind {}, from memory", self.kind.name())
            } else {
                format!("spectra {basis}")
            },
        })
    }

    fn spectrum(&self, source: &Source, channel: Channel) -> Result<Spectrum, SpectraError> {
        let (peak, width) = match source {
            Source::Band { peak, width } => (*peak, *width),
            Source::Generic => self.kind.band(channel),
            Source::File(path) => return read(path, channel),
        };
        Ok(Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)))
    }
}

fn kind(name: &str) -> Result<ScreenKind, RoomError> {
    ScreenKind::ALL.into_iter().find(|kind| kind.name() == name).ok_or_else(|| {
        let names = ScreenKind::ALL.map(ScreenKind::name).join(", ");
        RoomError::new("primaries.kind", format!("= {name:?} is no kind of screen: write one of {names}"))
    })
}

fn read(path: &Path, channel: Channel) -> Result<Spectrum, SpectraError> {
    let name = path.display().to_string();
    let unreadable =
        |problem: String| SpectraError::Unreadable { path: name.clone(), primary: channel.name(), problem };
    let bytes = crate::store::read(path, MOST_BYTES).map_err(|problem| unreadable(problem.to_string()))?;
    let text = String::from_utf8(bytes).map_err(|_| unreadable("is not UTF-8 text".into()))?;
    Spectrum::from_csv(&text).map_err(|problem| SpectraError::Refused { path: name.clone(), problem })
}

impl Source {
    fn of(table: Option<&PrimaryTable>) -> Self {
        let Some(table) = table else { return Self::Generic };
        match (table.peak_nm, table.fwhm_nm, &table.spectrum) {
            (Some(peak), Some(width), _) => Self::Band { peak, width },
            (_, _, Some(file)) => Self::File(file.into()),
            _ => Self::Generic,
        }
    }
}
