//! Where a room file is at fault.

/// The line of a fault, counted from 1, and one sentence on it.
pub(super) type Fault = (Option<usize>, String);

/// The line of a byte, counted from 1.
pub(super) fn line_at(text: &str, offset: usize) -> usize {
    text.bytes().take(offset).filter(|byte| *byte == b'\n').count() + 1
}
