//! What of this machine's clock goes into records.

use time::error::Format;
use time::macros::format_description;
use time::{Duration, OffsetDateTime};

/// This moment in universal time.
pub(super) fn now() -> Result<String, Format> {
    ago(Duration::ZERO)
}

/// A moment that lies so long back, likewise; of two moments the later is the larger text.
pub(super) fn ago(long: Duration) -> Result<String, Format> {
    (OffsetDateTime::now_utc() - long)
        .format(format_description!("[year]-[month]-[day]T[hour]:[minute]:[second]Z"))
}

/// A name that no other examination has: the moment, and what tells two programs of one moment apart.
pub(super) fn new_id() -> Result<String, Format> {
    let now = OffsetDateTime::now_utc();
    let apart = crc32fast::hash(format!("{} {}", std::process::id(), now.unix_timestamp_nanos()).as_bytes());
    let moment = now.format(format_description!("[year][month][day]-[hour][minute][second]"))?;
    Ok(format!("{moment}-{:04x}", apart & 0xffff))
}
