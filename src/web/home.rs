//! The small pages around an examination: the door, the panel's home, records and teaching. (stub)
use crate::balance::record::Kept;
use crate::exam::Role;
/// A record.
pub struct RecordRow {
    /// Name.
    pub id: String,
}
impl RecordRow {
    /// Of.
    #[must_use]
    pub fn new(kept: &Kept) -> Self {
        Self { id: kept.id.clone() }
    }
}
/// Door.
#[must_use]
pub fn door_page(_role: Role) -> String {
    String::new()
}
/// Home.
#[must_use]
pub fn home_page() -> String {
    String::new()
}
/// Panel.
#[must_use]
pub fn panel_page() -> String {
    String::new()
}
/// Teach.
#[must_use]
pub fn teach_page() -> String {
    String::new()
}
/// Records.
#[must_use]
pub fn records_page(_rows: &[RecordRow]) -> String {
    String::new()
}
