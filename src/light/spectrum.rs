//! Spectra by the nanometre, read, made and summed.
//!
//! Powers are relative: where a spectrum was measured, in which unit and how bright it was makes no difference to a focus. From
//! a file every nanometre from 380 to 780 is filled by straight lines between its rows.

use super::Observer;
use crate::quantity::Wavelength;

/// The visible range that a spectrum covers, in whole nanometres.
const NM: std::ops::RangeInclusive<u16> = 380..=780;

/// The coarsest and the finest step of a spectrum file in nanometres.
const STEP_NM: std::ops::RangeInclusive<f64> = 1.0..=10.0;

/// What a spectrum file begins with.
const HEADER: &str = "wavelength_nm,power";

/// Powers under this share of the peak count as noise. At each end a file must fall below it, or reach the end of the
/// visible range.
const TAIL: f64 = 0.05;

/// The relative power of a light at each nanometre from 380 to 780 nm: never negative, somewhere above zero.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectrum {
    powers: Vec<f64>,
}

/// Why a text is not a spectrum; rows are counted from 1, the header included. Nothing of the text is quoted: whatever file
/// a room file names, its contents stay there.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SpectrumError {
    /// Another header, or none.
    #[error("line 1 is not the header {HEADER}: write that there")]
    Header,
    /// Not two numbers.
    #[error(
        "line {0} is not a wavelength and a power: write two numbers with a comma between, such as 540,0.82"
    )]
    Row(usize),
    /// A power under zero.
    #[error(
        "line {0} has a power under zero: no light is negative, so subtract the dark reading and write 0"
    )]
    Power(usize),
    /// Wavelengths that do not rise.
    #[error("line {0} has no longer wavelength than the line before: sort the lines by wavelength")]
    Order(usize),
    /// A step too fine or too coarse.
    #[error("line {0} is not 1 to 10 nm from the line before: fill the gap, or thin the lines out")]
    Step(usize),
    /// Nothing between 380 and 780 nm.
    #[error("it has no light between 380 and 780 nm: measure the primary alone at full drive")]
    Dark,
    /// Cut off where there is still light.
    #[error("it begins or ends at line {0} with over 5 % of its peak: measure from 380 to 780 nm")]
    Cut(usize),
}

impl Spectrum {
    /// A Gaussian band by its peak and its full width at half the maximum.
    ///
    /// ```
    /// # use evenfield::{light::Spectrum, quantity::Wavelength};
    /// // By the meaning of the width: half of the peak's power lies half a width to either side.
    /// const BINARY_DUST: f64 = 1e-12;
    /// let red = Spectrum::gaussian(Wavelength::nm(620.0), Wavelength::nm(40.0));
    /// let at = |nm: f64| red.powers().find(|(one, _)| *one == Wavelength::nm(nm)).unwrap().1;
    /// assert!((at(620.0) - 1.0).abs() < BINARY_DUST && (at(600.0) - 0.5).abs() < BINARY_DUST);
    /// ```
    #[must_use]
    pub fn gaussian(peak: Wavelength, width: Wavelength) -> Self {
        let power = |nm: u16| {
            let off = (f64::from(nm) - peak.to_nm()) / width.to_nm();
            (-4.0 * std::f64::consts::LN_2 * off * off).exp()
        };
        Self { powers: NM.map(power).collect() }
    }

    /// A light of a single wavelength, rounded to the nearest nanometre.
    ///
    /// # Panics
    /// Never: a wavelength outside the visible range is moved to its nearest end.
    #[must_use]
    pub fn line(wavelength: Wavelength) -> Self {
        let (first, last) = (f64::from(*NM.start()), f64::from(*NM.end()));
        let place = wavelength.to_nm().clamp(first, last).round();
        Self { powers: NM.map(|nm| f64::from(u8::from((f64::from(nm) - place).abs() < 0.5))).collect() }
    }

    /// Reads a text of lines `wavelength_nm,power` in steps of 1 to 10 nm; between them power is interpolated linearly.
    ///
    /// A header line `wavelength_nm,power` comes first; powers are relative, so any unit of power will do. What lies outside 380
    /// to 780 nm is left out. Under 5 % of its peak a file may begin and end, and is dark beyond.
    ///
    /// ```
    /// # use evenfield::{light::Spectrum, quantity::Wavelength};
    /// let peak = Spectrum::from_csv("wavelength_nm,power\n540,0\n550,4\n560,0\n")?;
    /// // Worked by hand: 543 nm has three tenths of the peak's power.
    /// const BINARY_DUST: f64 = 1e-12;
    /// let (_, power) = peak.powers().find(|(one, _)| *one == Wavelength::nm(543.0)).unwrap();
    /// assert!((power - 0.3).abs() < BINARY_DUST);
    /// # Ok::<(), evenfield::light::SpectrumError>(())
    /// ```
    ///
    /// # Errors
    /// Says which line is wrong first, and what to write instead.
    pub fn from_csv(text: &str) -> Result<Self, SpectrumError> {
        let mut rows = rows(text)?;
        let visible = |nm: f64| (f64::from(*NM.start())..=f64::from(*NM.end())).contains(&nm);
        // Powers are relative: as shares of the peak no sum of them goes beyond what a number holds.
        let peak = rows.iter().map(|row| row.power).fold(0.0, f64::max);
        rows.iter_mut().filter(|_| peak > 0.0).for_each(|row| row.power /= peak);
        let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return Err(SpectrumError::Dark) };
        if let Some(end) = [first, last].into_iter().find(|row| visible(row.nm) && row.power > TAIL) {
            return Err(SpectrumError::Cut(end.number));
        }
        let at = |nm: f64| {
            let after = rows.partition_point(|row| row.nm < nm);
            match (after.checked_sub(1).map(|before| rows[before]), rows.get(after)) {
                // In this form what a binary number cannot hold never makes a power under zero.
                (Some(from), Some(to)) => {
                    let share = (nm - from.nm) / (to.nm - from.nm);
                    from.power * (1.0 - share) + to.power * share
                }
                (None, Some(from)) if from.nm <= nm => from.power,
                _ => 0.0,
            }
        };
        let powers: Vec<f64> = NM.map(|nm| at(f64::from(nm))).collect();
        if powers.iter().all(|power| *power <= 0.0) { Err(SpectrumError::Dark) } else { Ok(Self { powers }) }
    }

    /// Each wavelength with its power, nanometre by nanometre.
    pub fn powers(&self) -> impl Iterator<Item = (Wavelength, f64)> {
        NM.zip(&self.powers).map(|(nm, power)| (Wavelength::nm(f64::from(nm)), *power))
    }

    /// The light for an observer, in relative units: Σ power · efficiency.
    ///
    /// ```
    /// # use evenfield::{light::{Observer, Spectrum}, quantity::Wavelength};
    /// // V(λ) of CIE 1924 prints 0.503 at 510 nm.
    /// const PRINTED: f64 = 1e-9;
    /// assert!((Spectrum::line(Wavelength::nm(510.0)).light(Observer::Standard) - 0.503).abs() < PRINTED);
    /// ```
    #[must_use]
    pub fn light(&self, observer: Observer) -> f64 {
        self.powers().map(|(wavelength, power)| power * observer.efficiency(wavelength)).sum()
    }

    /// The mean of a measure over the spectrum, each wavelength weighted by its luminance (V(λ) of 1924).
    ///
    /// ```
    /// # use evenfield::{light::Spectrum, quantity::Wavelength};
    /// // Two lines of one power, at 555 nm with V = 1 and at 610 nm with V = 0.503. Worked by hand:
    /// // (555 · 1 + 610 · 0.503) / 1.503 = 573.4065 nm, where the plain mean would be 582.5 nm.
    /// let rows = ["554,0", "555,1", "556,0", "566,0", "576,0", "586,0", "596,0", "606,0", "609,0", "610,1", "611,0"];
    /// let lines = Spectrum::from_csv(&format!("wavelength_nm,power\n{}\n", rows.join("\n")))?;
    /// const HALF_A_DIGIT_NM: f64 = 5e-4;
    /// assert!((lines.mean(Wavelength::to_nm) - 573.4065).abs() < HALF_A_DIGIT_NM);
    /// # Ok::<(), evenfield::light::SpectrumError>(())
    /// ```
    #[must_use]
    pub fn mean(&self, measure: impl Fn(Wavelength) -> f64) -> f64 {
        let weight = |(wavelength, power): (Wavelength, f64)| {
            (power * Observer::Standard.efficiency(wavelength), wavelength)
        };
        let (sum, weights) =
            self.powers().map(weight).fold((0.0, 0.0), |(sum, weights), (weight, wavelength)| {
                (sum + weight * measure(wavelength), weights + weight)
            });
        sum / weights
    }

    /// The luminance-weighted mean wavelength.
    ///
    /// ```
    /// # use evenfield::{light::Spectrum, quantity::Wavelength};
    /// let green = Spectrum::gaussian(Wavelength::nm(540.0), Wavelength::nm(80.0));
    /// // By the V(λ) of colour-science 0.4.7.
    /// const HALF_A_DIGIT_NM: f64 = 0.05;
    /// assert!((green.mean_wavelength().to_nm() - 547.5).abs() < HALF_A_DIGIT_NM);
    /// ```
    #[must_use]
    pub fn mean_wavelength(&self) -> Wavelength {
        Wavelength::nm(self.mean(Wavelength::to_nm))
    }
}

/// A line of a file.
#[derive(Debug, Clone, Copy)]
struct Row {
    number: usize,
    nm: f64,
    power: f64,
}

/// The rows of a file, checked one by one.
fn rows(text: &str) -> Result<Vec<Row>, SpectrumError> {
    let mut lines = text.trim_start_matches('\u{feff}').lines();
    let header = lines.next().unwrap_or_default().trim();
    if header.replace(' ', "") != HEADER {
        return Err(SpectrumError::Header);
    }
    let mut rows: Vec<Row> = Vec::new();
    for (row, line) in (2..).zip(lines).filter(|(_, line)| !line.trim().is_empty()) {
        let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
        let (nm, power) = line
            .split_once(',')
            .and_then(|(nm, power)| Some((number(nm)?, number(power)?)))
            .ok_or(SpectrumError::Row(row))?;
        if power < 0.0 {
            return Err(SpectrumError::Power(row));
        }
        if let Some(before) = rows.last() {
            let step = nm - before.nm;
            if step <= 0.0 {
                return Err(SpectrumError::Order(row));
            }
            if !STEP_NM.contains(&step) {
                return Err(SpectrumError::Step(row));
            }
        }
        rows.push(Row { number: row, nm, power });
    }
    Ok(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn luminance_weighted_wavelengths_of_bands_are_those_of_an_independent_library() {
        // colour-science 0.4.7: V(λ) every nanometre on Gaussian bands (peak, full width, mean).
        for (peak, width, mean) in [
            (615.0, 45.0, 606.090),
            (538.0, 60.0, 543.450),
            (630.0, 25.0, 625.934),
            (530.0, 30.0, 532.358),
            (610.0, 70.0, 593.725),
            (545.0, 85.0, 550.900),
            (625.0, 60.0, 608.149),
        ] {
            let own =
                Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)).mean_wavelength().to_nm();
            assert!((own - mean).abs() < 0.01, "{peak}/{width}: {own}, not {mean}");
        }
    }

    #[test]
    fn texts_that_are_no_spectra_are_refused() {
        let refused = |rows: &str| Spectrum::from_csv(&format!("wavelength_nm,power\n{rows}")).unwrap_err();
        assert!(matches!(Spectrum::from_csv("nm;W\n").unwrap_err(), SpectrumError::Header));
        assert_eq!(refused("540;3"), SpectrumError::Row(2));
        assert_eq!(refused("540,nan"), SpectrumError::Row(2));
        assert_eq!(refused("540,0\n545,-1"), SpectrumError::Power(3));
        assert_eq!(refused("540,0\n535,1"), SpectrumError::Order(3));
        assert_eq!(refused("540,0\n560,1"), SpectrumError::Step(3));
        assert_eq!(refused("540,0\n540.5,1"), SpectrumError::Step(3));
        assert_eq!(refused("540,1\n550,0.5\n560,0"), SpectrumError::Cut(2));
        assert_eq!(refused("540,0\n550,0"), SpectrumError::Dark);
        assert_eq!(refused(""), SpectrumError::Dark);
    }

    #[test]
    fn a_file_runs_straight_between_its_lines() {
        let text = "\u{feff}wavelength_nm, power\r\n540,0\r\n550,1\r\n560,0\r\n";
        let spectrum = Spectrum::from_csv(text).unwrap();
        let at = |nm: f64| spectrum.powers().find(|(one, _)| *one == Wavelength::nm(nm)).unwrap().1;
        assert!((at(543.0) - 0.3).abs() < 1e-12 && (at(550.0) - 1.0).abs() < 1e-12 && at(561.0) == 0.0);
    }

    #[test]
    fn powers_are_relative_and_a_file_may_begin_and_end_under_a_twentieth_of_its_peak() {
        const BINARY_DUST: f64 = 1e-12;
        let read = |rows: &str| Spectrum::from_csv(&format!("wavelength_nm,power\n{rows}"));
        let at = |spectrum: &Spectrum, nm: f64| {
            spectrum.powers().find(|(one, _)| *one == Wavelength::nm(nm)).unwrap().1
        };
        // Beyond its lines a file is dark; at its first line it has that line's power, here a fiftieth of the peak.
        let spectrum = read("540,4\n550,200\n560,10").unwrap();
        for (nm, power) in
            [(539.0, 0.0), (540.0, 0.02), (545.0, 0.51), (550.0, 1.0), (560.0, 0.05), (561.0, 0.0)]
        {
            assert!((at(&spectrum, nm) - power).abs() < BINARY_DUST, "{nm}");
        }
        // 10 of 200 are just a twentieth, 11 are more.
        assert_eq!(read("540,4\n550,200\n560,11").unwrap_err(), SpectrumError::Cut(4));
        // The largest numbers that there are.
        let largest = read("540,0\n550,1e308\n555,1e308\n560,0").unwrap();
        assert!((at(&largest, 552.0) - 1.0).abs() < BINARY_DUST);
        assert!(largest.light(Observer::Standard).is_finite());
    }
}
