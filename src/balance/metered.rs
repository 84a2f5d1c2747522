//! When a room's fields were last metered, and whether it is time to do so again.

use serde::{Deserialize, Serialize};
use time::Date;

/// When both fields were last metered, seen from the day of the examination.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Metered {
    /// The day, as year-month-day.
    pub on: String,
    /// So many days before the examination.
    pub days_before: u32,
    /// After how many days the room's file wants it done again, if it says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub again_after_days: Option<u32>,
}

/// Days of a week, and of a month and a year on average.
const WEEK: u32 = 7;
const MONTH: f64 = 30.44;
const YEAR: f64 = 365.25;

impl Metered {
    /// None where the day lies after the examination's, so that one of the two clocks is wrong.
    #[must_use]
    pub fn seen_from(on: Date, today: Date, again_after_days: Option<u32>) -> Option<Self> {
        let days_before = u32::try_from((today - on).whole_days()).ok()?;
        Some(Self { on: on.to_string(), days_before, again_after_days })
    }

    /// Whether the time that the room's file sets is over.
    #[must_use]
    pub fn is_due(&self) -> bool {
        self.again_after_days.is_some_and(|most| self.days_before > most)
    }

    /// That it is time to do it again, and what to do; none before that.
    #[must_use]
    pub fn due(&self) -> Option<[String; 2]> {
        let again = self.again_after_days.filter(|_| self.is_due())?;
        let what = format!(
            "The fields were last metered {}, on {}, and this room’s file asks for it every {again} days.",
            self.ago(),
            self.on
        );
        Some([what, "Meter them again (evenfield room verify).".into()])
    }

    /// How long ago it was, in the largest unit of which there are two.
    ///
    /// ```
    /// # use evenfield::balance::Metered;
    /// // Worked by hand: 150 days are 4.9 months; 13 days are not two weeks; 800 days are 2.2 years.
    /// let ago = |days_before| Metered { on: "2026-03-31".into(), days_before, again_after_days: None }.ago();
    /// assert_eq!([0, 1, 13, 20, 150, 800].map(ago), ["today", "1 day ago", "13 days ago", "2 weeks ago", "5 months ago", "2 years ago"]);
    /// ```
    #[must_use]
    pub fn ago(&self) -> String {
        let days = f64::from(self.days_before);
        let (count, unit) = match self.days_before {
            0 => return "today".into(),
            1 => return "1 day ago".into(),
            few if few < 2 * WEEK => (days, "days"),
            // The nearest whole number of the others; weeks are counted whole.
            some if days < 2.0 * MONTH => (f64::from(some / WEEK), "weeks"),
            _ if days < 2.0 * YEAR => ((days / MONTH).round(), "months"),
            _ => ((days / YEAR).round(), "years"),
        };
        format!("{count:.0} {unit} ago")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_begins_where_there_are_two_of_it() {
        // Two weeks are 14 days, two months 60.88, two years 730.5.
        let ago =
            |days_before| Metered { on: "2026-03-31".into(), days_before, again_after_days: None }.ago();
        assert_eq!(
            [14, 60, 61, 730, 731].map(ago),
            ["2 weeks ago", "8 weeks ago", "2 months ago", "24 months ago", "2 years ago"]
        );
    }
}
