//! What a simulated box shows, where others can look at it.

use std::sync::{Arc, Mutex, PoisonError};

use underfoot_core::panel::Face;
use underfoot_core::ports::{Event, Haptic, Lamp, Levels, PanelPort};

/// The last face and all events, shared.
#[derive(Clone, Debug, Default)]
pub struct Watched(Arc<Mutex<(Option<Face>, Vec<Event>)>>);

impl Watched {
    /// The last face shown.
    pub fn face(&self) -> Option<Face> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).0.clone()
    }

    /// All events so far.
    pub fn events(&self) -> Vec<Event> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).1.clone()
    }
}

impl PanelPort for Watched {
    fn levels(&mut self) -> Levels {
        Levels::default()
    }

    fn show(&mut self, face: &Face) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).0 = Some(face.clone());
    }

    fn lamp(&mut self, _lamp: Lamp) {}

    fn tick(&mut self, _haptic: Haptic) {}

    fn relay(&mut self, _closed: bool) {}

    fn note(&mut self, event: Event) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).1.push(event);
    }
}
