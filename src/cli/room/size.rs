//! The size of a screen, as `room new` and `room set` take it.
//!
//! One size in one of four ways. The bar of the setup sheet becomes a width here, by the columns that it takes.

use clap::{ArgGroup, Args};

use crate::print::bar_px;
use crate::quantity::Length;
use crate::room::ScreenTable;

/// One of these.
#[derive(Args)]
#[command(group = ArgGroup::new("size").args(["width", "measured_bar", "diagonal", "pitch"]))]
pub(super) struct SizeArgument {
    /// Width of the lit picture, such as 527mm: the best of these, measure it with a steel rule
    #[arg(long, value_name = "LENGTH", visible_alias = "measured-width", allow_hyphen_values = true)]
    width: Option<Length>,
    /// Length of the bar on the setup sheet (`room sheet`), such as 201.5mm
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    measured_bar: Option<Length>,
    /// Diagonal of the lit picture, such as 23.8in
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    diagonal: Option<Length>,
    /// One pixel, such as 0.2745mm
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pitch: Option<Length>,
}

impl SizeArgument {
    /// Whether any of them was given.
    pub(super) fn is_given(&self) -> bool {
        self.width.or(self.measured_bar).or(self.diagonal).or(self.pitch).is_some()
    }

    /// A screen of these pixels with what was measured of it.
    pub(super) fn of_screen(&self, pixels: [u32; 2]) -> ScreenTable {
        let [columns, rows] = pixels.map(f64::from);
        let by_bar = |bar: Length| bar * (columns / f64::from(bar_px(pixels[0])));
        let width = self.width.or(self.measured_bar.map(by_bar));
        let hundredths = |length: Length| (length.to_mm() * 100.0).round() / 100.0;
        ScreenTable {
            pixels,
            size_mm: width.map(|width| [millionths(width.to_mm()), hundredths(width * (rows / columns))]),
            diagonal_in: self.diagonal.map(|diagonal| millionths(diagonal.to_inches())),
            pitch_mm: self.pitch.map(|pitch| millionths(pitch.to_mm())),
            size_percent: None,
            size_claimed: false,
            profile: None,
        }
    }
}

/// To a millionth, which only strips binary dust.
pub(super) fn millionths(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
