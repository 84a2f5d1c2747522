//! What of a room file somebody measured, and would have to measure again.
//!
//! Asked before a room file is overwritten: what a screen says of itself can be had again in a second, an evening with a
//! photometer cannot.

use super::RoomFile;
use super::file::{LuminanceTable, PrimariesTable, Steps, ToneTable};

impl RoomFile {
    /// What was measured or found by an eye besides the size of the screen and its distance, for people: key and value.
    /// Nothing that only the screen or its profile claims is among it.
    ///
    /// ```
    /// # use evenfield::room::Room;
    /// let held = Room::demo().file().measurements();
    /// assert!(held.contains(&"red 52 cd/m²".to_string()) && held.contains(&"room light of 4 lx".to_string()));
    /// ```
    #[must_use]
    pub fn measurements(&self) -> Vec<String> {
        let mut held = Vec::new();
        held.extend(self.luminance.as_ref().map(luminances).unwrap_or_default());
        held.extend(self.tone.as_ref().and_then(tone));
        held.extend(self.primaries.as_ref().map(primaries).unwrap_or_default());
        let ambient = self.ambient.as_ref();
        held.extend(ambient.map(|ambient| format!("room light of {} lx", ambient.illuminance_lux)));
        let read = self.field_match.as_ref();
        held.extend(read.map(|read| format!("the readings of both fields of {}", read.date)));
        held
    }
}

/// Each reading with its unit; none of a table that the screen or its profile claims.
fn luminances(table: &LuminanceTable) -> Vec<String> {
    if table.claimed {
        return Vec::new();
    }
    let by_eye = match (table.matched_by_eye, table.match_open) {
        (_, true) => " (matched by eye, not to the end)",
        (true, false) => " (matched by eye)",
        (false, false) => "",
    };
    [
        ("red", table.red, by_eye),
        ("green", table.green, by_eye),
        ("blue", table.blue, ""),
        ("white", table.white, ""),
        ("black", table.black, ""),
    ]
    .into_iter()
    .filter_map(|(name, value, by_eye)| value.map(|value| format!("{name} {value} cd/m²{by_eye}")))
    .collect()
}

/// A curve or a gamma, if somebody found it.
fn tone(table: &ToneTable) -> Option<String> {
    if table.claimed {
        return None;
    }
    let by_eye = if table.matched_by_eye { " (matched by eye)" } else { "" };
    let counted = |steps: &Steps| steps.named().iter().map(|(_, steps)| steps.len()).sum::<usize>();
    let steps = table.steps.as_ref().map(|steps| format!("{} steps of the tone curve", counted(steps)));
    steps.or_else(|| table.gamma.map(|gamma| format!("gamma {gamma}{by_eye}")))
}

/// Each primary of which something was measured.
fn primaries(table: &PrimariesTable) -> Vec<String> {
    if table.claimed {
        return Vec::new();
    }
    [("red", &table.red), ("green", &table.green), ("blue", &table.blue)]
        .into_iter()
        .filter(|(_, primary)| primary.is_some())
        .map(|(name, _)| format!("the primary {name}"))
        .collect()
}
