//! The log: what happens, and what the display says, as lines.

use underfoot_core::panel::Face;
use underfoot_core::ports::Event;

use crate::adapters::panel::{Notes, Shows};
use crate::drivers::pins::{self, Record};

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

/// A display that also writes each face as a line and tells the pins of it.
#[derive(Debug)]
pub(crate) struct Logged<D>(pub(crate) D);

impl<D: Shows> Shows for Logged<D> {
    fn show(&mut self, face: &Face) {
        defmt::info!("mode: {}, gate: {}, faults: {}", face.mode, face.gate, face.faults);
        self.0.show(face);
        pins::tell(Record::Shown, 0, pins::ticks());
    }
}
