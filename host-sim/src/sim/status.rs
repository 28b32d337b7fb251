//! What a simulated box shows, where others can look at it.

use std::sync::{Arc, Mutex, PoisonError};

use underfoot_core::ports::{Event, Status, StatusPort};

/// The last status and all events, shared.
#[derive(Clone, Debug, Default)]
pub struct Watched(Arc<Mutex<(Option<Status>, Vec<Event>)>>);

impl Watched {
    /// The last status shown.
    pub fn status(&self) -> Option<Status> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).0
    }

    /// All events so far.
    pub fn events(&self) -> Vec<Event> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).1.clone()
    }
}

impl StatusPort for Watched {
    fn show(&mut self, status: &Status) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).0 = Some(*status);
    }

    fn note(&mut self, event: Event) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).1.push(event);
    }
}
