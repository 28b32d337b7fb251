//! The log: what happens, and what the display says, as lines.

use underfoot_core::panel::Face;
use underfoot_core::ports::Event;

use crate::adapters::panel::{Notes, Shows};

/// Writes events as lines.
#[derive(Debug)]
pub(crate) struct LogLines;

impl Notes for LogLines {
    fn note(&mut self, event: Event) {
        match event {
            Event::ShowReady { .. } | Event::NoShow => {
                defmt::info!("{}", event);
            }
            _ => defmt::warn!("{}", event),
        }
    }
}

/// Writes faces as lines, for boards without a display.
#[derive(Debug)]
pub(crate) struct FaceLines;

impl Shows for FaceLines {
    fn show(&mut self, face: &Face) {
        defmt::info!("mode: {}, gate: {}, faults: {}", face.mode, face.gate, face.faults);
    }
}
