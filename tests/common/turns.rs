//! Turns for what takes a core or more: only so many tests have it at once, each as often as it wants.

use std::collections::HashSet;
use std::sync::{Condvar, Mutex, PoisonError};
use std::thread::ThreadId;

/// Turns of some tests at once; a test runs in a thread.
pub(crate) struct Turns {
    at_once: usize,
    /// The thread of each turn that is held.
    held: Mutex<Vec<ThreadId>>,
    given_back: Condvar,
}

/// A turn, held until it is dropped.
pub(crate) struct Turn {
    of: &'static Turns,
    thread: ThreadId,
}

impl Turns {
    pub(crate) const fn new(at_once: usize) -> Self {
        Self { at_once, held: Mutex::new(Vec::new()), given_back: Condvar::new() }
    }

    /// Waits until fewer other tests than may have a turn at once hold one. A test that holds one gets another at once, or two
    /// tests could wait for each other.
    pub(crate) fn take(&'static self) -> Turn {
        let thread = std::thread::current().id();
        let is_full = |held: &mut Vec<ThreadId>| {
            let tests: HashSet<ThreadId> = held.iter().copied().collect();
            !tests.contains(&thread) && tests.len() >= self.at_once
        };
        let held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        let mut held = self.given_back.wait_while(held, is_full).unwrap_or_else(PoisonError::into_inner);
        held.push(thread);
        Turn { of: self, thread }
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        let mut held = self.of.held.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(place) = held.iter().position(|thread| *thread == self.thread) {
            held.remove(place);
        }
        self.of.given_back.notify_all();
    }
}
