//! What takes seconds to make for a room, kept.

use std::sync::Arc;
use std::time::Duration;

use tokio::sync::Mutex;
use tokio::time::timeout;

use crate::room::{Room, RoomFile};

/// For how long a window waits before it is told to ask again; a connection is served no longer than twice that.
const WAITS: Duration = Duration::from_secs(5);

/// How something is made for a room.
pub(super) type Make = fn(&Room) -> Result<Vec<u8>, String>;

/// What was made, and for which room.
type Kept = (RoomFile, Vec<u8>);

/// Something that takes seconds to make, kept for its room: one is made at a time.
#[derive(Clone, Default)]
pub(super) struct Made(Arc<Mutex<Option<Kept>>>);

impl Made {
    /// As kept, or made now; none where that takes longer than a window waits, and then it goes on.
    pub(super) async fn of(&self, room: Room, make: Make) -> Option<Result<Vec<u8>, String>> {
        let kept = Arc::clone(&self.0);
        let made = tokio::spawn(async move {
            let mut kept = kept.lock_owned().await;
            if let Some((of, made)) = kept.as_ref()
                && of == room.file()
            {
                return Ok(made.clone());
            }
            let file = room.file().clone();
            let made = tokio::task::spawn_blocking(move || make(&room)).await;
            let made = made.map_err(|error| error.to_string())??;
            *kept = Some((file, made.clone()));
            Ok(made)
        });
        let made = timeout(WAITS, made).await.ok()?;
        Some(made.unwrap_or_else(|error| Err(error.to_string())))
    }
}
