//! The panel of a simulated box: keys that are held for a time, and what the display says.

use std::cell::RefCell;
use std::rc::Rc;

use underfoot_core::panel::Face;
use underfoot_core::ports::{Event, Haptic, Key, Lamp, Levels, PanelPort};
use underfoot_core::units::Instant;

/// The panel of one box. Clones look at the same panel.
#[derive(Clone, Debug, Default)]
pub struct Front(Rc<RefCell<Panel>>);

#[derive(Debug, Default)]
struct Panel {
    now: Instant,
    /// Until when each key is down.
    down: [Instant; Key::ALL.len()],
    contacts: Levels,
    face: Option<Face>,
    ticks: Vec<(Instant, Haptic)>,
    events: Vec<Event>,
}

impl Front {
    /// Lets it be `now`.
    pub fn set_time(&self, now: Instant) {
        self.0.borrow_mut().now = now;
    }

    /// Keeps `key` down until `end`.
    pub fn press(&self, key: Key, end: Instant) {
        let mut panel = self.0.borrow_mut();
        if let Some(slot) = Key::ALL.iter().position(|k| *k == key).and_then(|i| panel.down.get_mut(i)) {
            *slot = end;
        }
    }

    /// The stop contact asks for darkness, or not.
    pub fn stop(&self, stop: bool) {
        self.0.borrow_mut().contacts.stop = stop;
    }

    /// What the display says.
    pub fn face(&self) -> Option<Face> {
        self.0.borrow().face.clone()
    }

    /// What the hand felt, and when.
    pub fn ticks(&self) -> Vec<(Instant, Haptic)> {
        self.0.borrow().ticks.clone()
    }
}

impl PanelPort for Front {
    fn levels(&mut self) -> Levels {
        let panel = self.0.borrow();
        let keys = (0..).zip(&panel.down).filter(|(_, end)| panel.now < **end).fold(0, |bits, (i, _)| bits | 1 << i);
        Levels { keys, ..panel.contacts }
    }

    fn show(&mut self, face: &Face) {
        self.0.borrow_mut().face = Some(face.clone());
    }

    fn lamp(&mut self, _lamp: Lamp) {}

    fn tick(&mut self, haptic: Haptic) {
        let mut panel = self.0.borrow_mut();
        let now = panel.now;
        panel.ticks.push((now, haptic));
    }

    fn relay(&mut self, _closed: bool) {}

    fn note(&mut self, event: Event) {
        self.0.borrow_mut().events.push(event);
    }
}
