//! What takes seconds to make for a room, kept.

use crate::room::{Room, RoomFile};

/// Something that takes seconds to make, kept for its room: one is made at a time.
#[derive(Default)]
pub(super) struct Made(tokio::sync::Mutex<Option<(RoomFile, Vec<u8>)>>);

impl Made {
    /// As kept, or made now, beside what windows wait for.
    pub(super) async fn of(
        &self,
        room: Room,
        make: fn(&Room) -> Result<Vec<u8>, String>,
    ) -> Result<Vec<u8>, String> {
        let mut kept = self.0.lock().await;
        if let Some((of, made)) = kept.as_ref()
            && of == room.file()
        {
            return Ok(made.clone());
        }
        let (room, made) = tokio::task::spawn_blocking(move || (room.clone(), make(&room)))
            .await
            .map_err(|error| error.to_string())?;
        let made = made?;
        *kept = Some((room.file().clone(), made.clone()));
        Ok(made)
    }
}
