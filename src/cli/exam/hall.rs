//! What all windows share: the set-up or the session, the door, and word of every change.

use std::error::Error;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use tokio::sync::{Semaphore, watch};

use super::super::print;
use super::address::Addresses;
use super::made::Made;
use super::work::Work;
use crate::exam::{Door, in_groups};

/// How often it is looked whether the code still serves.
const LOOK_EVERY: Duration = Duration::from_secs(5);

/// Maximum number of windows with a line at a time. A practice has three or four, and each costs some 200 kB. This project's own
/// decision.
const MOST_WINDOWS: usize = 64;

/// What all windows share.
pub(super) struct Hall {
    work: Mutex<Work>,
    door: Mutex<Door>,
    pub(super) addresses: Addresses,
    /// Where examinations are kept, if they are.
    pub(super) record: Option<PathBuf>,
    pub(super) practice: Made,
    pub(super) deck: Made,
    pub(super) card: Made,
    changes: watch::Sender<u64>,
    /// Places for windows' lines.
    pub(super) places: Arc<Semaphore>,
    begun: Instant,
    /// Whether codes are printed as JSON.
    json: bool,
}

impl Hall {
    pub(super) fn new(work: Work, addresses: Addresses, record: Option<PathBuf>, json: bool) -> Self {
        Self {
            work: Mutex::new(work),
            door: Mutex::new(Door::default()),
            addresses,
            record,
            practice: Made::default(),
            deck: Made::default(),
            card: Made::default(),
            changes: watch::Sender::new(0),
            places: Arc::new(Semaphore::new(MOST_WINDOWS)),
            begun: Instant::now(),
            json,
        }
    }

    /// What is done here; whoever holds it decides alone.
    pub(super) fn work(&self) -> MutexGuard<'_, Work> {
        self.work.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn door(&self) -> MutexGuard<'_, Door> {
        self.door.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How long the server has been there.
    pub(super) fn now(&self) -> Duration {
        self.begun.elapsed()
    }

    /// Word of every change from now on.
    pub(super) fn changes(&self) -> watch::Receiver<u64> {
        self.changes.subscribe()
    }

    /// Something changed that windows show.
    pub(super) fn changed(&self) {
        self.changes.send_modify(|count| *count += 1);
    }

    /// A code for another window.
    pub(super) fn new_code(&self) -> Result<String, Box<dyn Error>> {
        Ok(self.door().new_code(random()?, self.now()).to_owned())
    }

    /// A code for another window, printed.
    pub(super) fn print_new_code(&self) -> Result<(), Box<dyn Error>> {
        let code = self.new_code()?;
        print(&if self.json {
            serde_json::json!({ "code": code }).to_string()
        } else {
            format!("code for another window: {}", in_groups(&code))
        });
        Ok(())
    }
}

/// Bytes that nobody can guess.
pub(super) fn random<const N: usize>() -> Result<[u8; N], Box<dyn Error>> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|error| format!("this machine gives no random numbers ({error})"))?;
    Ok(bytes)
}

/// Prints another code whenever none serves any more.
pub(super) async fn renew_codes(hall: Arc<Hall>) {
    loop {
        tokio::time::sleep(LOOK_EVERY).await;
        let serves = hall.door().code(hall.now()).is_some();
        if !serves && hall.print_new_code().is_err() {
            return;
        }
    }
}

/// Works out where balance lies once an eye's questions are at their end, while windows go on.
pub(super) async fn estimate(hall: Arc<Hall>) {
    let mut changes = hall.changes();
    loop {
        let wanted = hall.work().to_estimate();
        if let Some(course) = wanted {
            let worked_out = tokio::task::spawn_blocking(|| {
                let said = course.estimate_in_words();
                (course, said)
            });
            if let Ok((course, Some(said))) = worked_out.await {
                hall.work().estimated(course, said);
                hall.changed();
            }
        }
        if changes.changed().await.is_err() {
            return;
        }
    }
}
