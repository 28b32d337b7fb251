//! The box's status as log lines. Its display comes with its board.

use underfoot_core::ports::{Event, Status, StatusPort};

/// Logs status and events.
#[derive(Debug)]
pub(crate) struct LogStatus;

impl StatusPort for LogStatus {
    fn show(&mut self, status: &Status) {
        defmt::info!("{}", status);
    }

    fn note(&mut self, event: Event) {
        match event {
            Event::ShowReady { .. } | Event::NoShow => defmt::info!("{}", event),
            _ => defmt::warn!("{}", event),
        }
    }
}
