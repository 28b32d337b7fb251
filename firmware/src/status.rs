//! The box's panel as log lines. Its display comes with its board.

use underfoot_core::panel::Face;
use underfoot_core::ports::{Event, Haptic, Lamp, Levels, PanelPort};

/// Logs faces and events.
#[derive(Debug)]
pub(crate) struct LogPanel;

impl PanelPort for LogPanel {
    fn levels(&mut self) -> Levels {
        Levels::default()
    }

    fn show(&mut self, face: &Face) {
        defmt::info!("mode: {}, gate: {}, faults: {}", face.mode, face.gate, face.faults);
    }

    fn lamp(&mut self, _lamp: Lamp) {}

    fn tick(&mut self, _haptic: Haptic) {}

    fn relay(&mut self, _closed: bool) {}

    fn note(&mut self, event: Event) {
        match event {
            Event::ShowReady { .. } | Event::NoShow => defmt::info!("{}", event),
            _ => defmt::warn!("{}", event),
        }
    }
}
