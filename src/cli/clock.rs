//! What of this machine's clock goes into records.

use std::sync::OnceLock;

use time::error::Format;
use time::format_description::well_known::Rfc3339;
use time::macros::format_description;
use time::{Duration, OffsetDateTime, UtcOffset};

/// How far local time is from universal time. It can be found out surely only while one thread runs.
static OFFSET: OnceLock<UtcOffset> = OnceLock::new();

/// Finds out local time, before any thread begins; universal time where the system does not tell.
pub(super) fn remember_offset() {
    OFFSET.get_or_init(|| UtcOffset::current_local_offset().unwrap_or(UtcOffset::UTC));
}

/// This moment in local time, with its offset.
pub(super) fn now() -> Result<String, Format> {
    ago(Duration::ZERO)
}

/// A moment that lies so long back, likewise.
pub(super) fn ago(long: Duration) -> Result<String, Format> {
    let offset = OFFSET.get().copied().unwrap_or(UtcOffset::UTC);
    let moment = (OffsetDateTime::now_utc() - long).to_offset(offset);
    moment.replace_nanosecond(0).unwrap_or(moment).format(&Rfc3339)
}

/// A name that no other examination has: the moment, and what tells two programs of one moment apart.
pub(super) fn new_id() -> Result<String, Format> {
    let now = OffsetDateTime::now_utc();
    let apart = crc32fast::hash(format!("{} {}", std::process::id(), now.unix_timestamp_nanos()).as_bytes());
    let moment = now.format(format_description!("[year][month][day]-[hour][minute][second]"))?;
    Ok(format!("{moment}-{:04x}", apart & 0xffff))
}
