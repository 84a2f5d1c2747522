//! The record that goes with a page, within its PDF.

use time::OffsetDateTime;

use crate::balance::record::Kept;
use crate::export::pdf::Attachment;

/// How the record is named within a PDF.
pub const RECORD_NAME: &str = "record.jsonl";

/// The lines of these examinations as a file to go with their pages; read back, they are the same examinations.
#[must_use]
pub fn record_of(kept: &[&Kept]) -> Attachment {
    let lines: Vec<&str> = kept.iter().flat_map(|kept| kept.lines.iter().map(String::as_str)).collect();
    let last = kept.iter().filter_map(|kept| kept.went_on()).max();
    Attachment {
        name: RECORD_NAME.into(),
        media_type: "application/x-ndjson",
        description:
            "The examination’s record, one event a line as JSON: evenfield balance --show reads it back"
                .into(),
        changed: last.map(day),
        bytes: lines.iter().map(|line| format!("{line}\n")).collect::<String>().into_bytes(),
    }
}

fn day(moment: OffsetDateTime) -> [u16; 3] {
    let date = moment.date();
    [u16::try_from(date.year()).unwrap_or(0), u16::from(u8::from(date.month())), u16::from(date.day())]
}
