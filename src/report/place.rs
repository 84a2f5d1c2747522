//! The room as a record of an examination has it.

use super::room_report::RoomReport;
use crate::balance::{Caution, Place};
use crate::bibliography::DESIGN;
use crate::quantity::{Dioptres, Length, Luminance};

impl RoomReport {
    /// The room as an examination's record has it, with the light of its white; none where it has no two fields.
    #[must_use]
    pub fn place(&self, white: Luminance) -> Option<Place> {
        let fields = self.fields.as_ref()?;
        let spoiling = self.spoiling_answers().into_iter();
        Some(Place {
            name: self.name.clone().unwrap_or_else(|| "a room without a name".into()),
            // To a micrometre, since metres in binary leave dust.
            distance: Length::mm((self.distance_m * 1e6).round() / 1e3),
            luminance: white,
            luminance_basis: fields.luminance_basis.to_string(),
            interval: Dioptres::new(self.intervals.first().map_or(0.0, |interval| interval.interval_d)),
            interval_basis: format!(
                "{}; spectra {}",
                self.intervals.first().map_or("", |interval| interval.by),
                self.spectra_basis
            ),
            largest_log_mar: None,
            protanope_red_over_green: fields.protanope_red_over_green,
            cautions: spoiling
                .map(|warning| Caution {
                    what: format!("{} {}", warning.what, warning.remedy),
                    basis: DESIGN.into(),
                })
                .collect(),
        })
    }
}
