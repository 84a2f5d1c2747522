//! Moments as records have them: local time with its offset from universal time, by RFC 3339.

use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;

/// A moment of a record, such as `2026-03-31T11:30:00+02:00`; records of before are in universal time, with a `Z`.
///
/// None for a text that is no moment.
///
/// ```
/// # use evenfield::balance::record::moment;
/// // Worked by hand: half past eleven two hours east of Greenwich is half past nine there.
/// assert_eq!(moment("2026-03-31T11:30:00+02:00"), moment("2026-03-31T09:30:00Z"));
/// assert_eq!(moment("yesterday"), None);
/// ```
#[must_use]
pub fn moment(at: &str) -> Option<OffsetDateTime> {
    OffsetDateTime::parse(at, &Rfc3339).ok()
}

/// A moment to the minute, with its offset; as it stands where it is none.
///
/// ```
/// # use evenfield::balance::record::to_the_minute;
/// assert_eq!(to_the_minute("2026-03-31T11:30:45+02:00"), "2026-03-31 11:30 UTC+02:00");
/// assert_eq!(to_the_minute("2026-03-31T09:30:45Z"), "2026-03-31 09:30 UTC");
/// ```
#[must_use]
pub fn to_the_minute(at: &str) -> String {
    let Some(moment) = moment(at) else { return at.to_owned() };
    let (date, hour, minute, offset) = (moment.date(), moment.hour(), moment.minute(), moment.offset());
    let from = if offset.is_utc() {
        String::new()
    } else {
        let (hours, minutes, _) = offset.as_hms();
        let sign = if offset.is_negative() { '\u{2212}' } else { '+' };
        format!("{sign}{:02}:{:02}", hours.abs(), minutes.abs())
    };
    format!("{date} {hour:02}:{minute:02} UTC{from}")
}
