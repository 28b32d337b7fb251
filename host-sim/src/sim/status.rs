//! The panel of a simulated box: levels that others set, and what people would see and feel.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use underfoot_core::panel::Face;
use underfoot_core::ports::{Event, Haptic, Lamp, Levels, PanelPort};

/// A panel in memory. Clones are the same panel.
#[derive(Clone, Debug, Default)]
pub struct Watched(Arc<Mutex<Panel>>);

/// All of a panel.
#[derive(Clone, Debug, Default)]
pub struct Panel {
    /// Keys and contacts, for the box to read.
    pub levels: Levels,
    /// What the display says.
    pub face: Option<Face>,
    /// What the lamp does.
    pub lamp: Lamp,
    /// The reveal relay is closed: CLEAR.
    pub relay: bool,
    /// What the hand felt, all of it.
    pub ticks: Vec<Haptic>,
    /// What was noted, all of it.
    pub events: Vec<Event>,
}

impl Watched {
    /// The panel as it is.
    pub fn panel(&self) -> Panel {
        self.lock().clone()
    }

    /// The last face shown.
    pub fn face(&self) -> Option<Face> {
        self.lock().face.clone()
    }

    /// All events so far.
    pub fn events(&self) -> Vec<Event> {
        self.lock().events.clone()
    }

    /// Moves keys and contacts.
    pub fn set(&self, levels: Levels) {
        self.lock().levels = levels;
    }

    /// The display, lamp and relay of a box without power.
    pub fn darken(&self) {
        let mut panel = self.lock();
        (panel.face, panel.lamp, panel.relay) = (None, Lamp::Dark, false);
    }

    fn lock(&self) -> MutexGuard<'_, Panel> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl PanelPort for Watched {
    fn levels(&mut self) -> Levels {
        self.lock().levels
    }

    fn show(&mut self, face: &Face) {
        self.lock().face = Some(face.clone());
    }

    fn lamp(&mut self, lamp: Lamp) {
        self.lock().lamp = lamp;
    }

    fn tick(&mut self, haptic: Haptic) {
        self.lock().ticks.push(haptic);
    }

    fn relay(&mut self, closed: bool) {
        self.lock().relay = closed;
    }

    fn note(&mut self, event: Event) {
        self.lock().events.push(event);
    }
}
