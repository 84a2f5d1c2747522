//! Both fields as a photometer read them at the eye.
//!
//! These readings are better than a room file's full-drive ones by the whole tone curve, which does not enter. They hold for two
//! codes and for the day on which they were made.

use time::Date;
use time::macros::format_description;

use super::file::MatchTable;
use super::full_drive::{READING, percent_of_meter};
use super::{RoomError, within};
use crate::light::{difference_percent, pair_uncertainty_percent};
use crate::quantity::Luminance;

/// After how many days readings may be asked for again. This project's own decision.
const AGAIN_AFTER_DAYS: std::ops::RangeInclusive<f64> = 1.0..=3650.0;

/// Both fields as a photometer read them at the eye, from a room file's `[match]`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FieldReadings {
    /// The codes of red and of green that were shown.
    pub(super) codes: [u8; 2],
    light: [Luminance; 2],
    /// The relative standard uncertainty of one reading.
    pub(super) meter: f64,
    pub(super) date: String,
}

impl FieldReadings {
    pub(super) fn from_table(table: &MatchTable) -> Result<Self, RoomError> {
        if table.codes.contains(&0) {
            let problem = "has a code of 0, which is black: write the codes of red and green that were read";
            return Err(RoomError::new("match.codes", problem));
        }
        let remedy = "write the photometer’s reading of the field in cd/m²";
        let light = [("match.red", table.red), ("match.green", table.green)];
        for (key, value) in light {
            within(key, value, READING, " cd/m²", remedy)?;
        }
        if day(&table.date).is_none() {
            let problem = format!("= {:?} is no day: write year-month-day, such as 2026-03-31", table.date);
            return Err(RoomError::new("match.date", problem));
        }
        if let Some(days) = table.again_after_days {
            within(
                "match.again_after_days",
                f64::from(days),
                AGAIN_AFTER_DAYS,
                " days",
                "write a number of days",
            )?;
        }
        Ok(Self {
            codes: table.codes,
            light: light.map(|(_, value)| Luminance::cd_m2(value)),
            meter: percent_of_meter("match.meter_percent", table.meter_percent)?,
            date: table.date.clone(),
        })
    }

    /// Twice the standard uncertainty of their difference.
    pub(super) fn uncertainty_percent(&self) -> f64 {
        pair_uncertainty_percent(self.meter)
    }

    /// By how much the first of two fields is brighter as read; none where they have other codes than those read.
    pub(super) fn difference_percent(&self, first: [u8; 3], second: [u8; 3]) -> Option<f64> {
        let [red, green] = [[self.codes[0], 0, 0], [0, self.codes[1], 0]];
        let [red_light, green_light] = self.light;
        match (first, second) {
            both if both == (red, green) => Some(difference_percent(red_light, green_light)),
            both if both == (green, red) => Some(difference_percent(green_light, red_light)),
            _ => None,
        }
    }
}

/// The day that a text names as year-month-day, such as 2026-03-31.
///
/// None for anything else, such as another order or a day that the month does not have.
///
/// ```
/// # use evenfield::room::day;
/// assert!(day("2026-03-31").is_some() && day("2026-02-30").is_none() && day("31.03.2026").is_none());
/// ```
#[must_use]
pub fn day(text: &str) -> Option<Date> {
    Date::parse(text, format_description!("[year]-[month]-[day]")).ok()
}
