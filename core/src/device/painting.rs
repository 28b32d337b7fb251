//! When the floor gets a new picture.

use super::hardware::Hardware;
use super::memory::Memory;
use super::picture;
use super::works::Works;
use crate::look::View;
use crate::ports::{Event, RowPort};
use crate::show::Mode;
use crate::units::Instant;

/// What is on the floor.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Painting {
    /// The view of the picture on the floor; `None` when it has to be painted anew whatever it is.
    shown: Option<View>,
}

impl Painting {
    /// The show changed: the picture on the floor belongs to another one.
    pub(super) fn forget(&mut self) {
        self.shown = None;
    }
}

impl<H: Hardware> Works<'_, H> {
    /// Brings the floor to what the engine's state shows at `now`.
    pub(super) fn paint(&mut self, now: Instant) {
        let view = self.floor_view(now);
        if self.painting.shown == Some(view) {
            return;
        }
        self.painting.shown = Some(view);
        if view.mode == Mode::Off {
            return self.blank();
        }
        let Memory { show, scene, work, .. } = &mut *self.memory;
        match picture::paint(show, self.setup.controller, &view, (scene, work), &mut self.rows) {
            Ok(crc) => {
                self.counts.frames = self.counts.frames.wrapping_add(1);
                self.counts.picture_crc = crc;
            }
            Err(_) => {
                self.counts.paint_faults = self.counts.paint_faults.wrapping_add(1);
                self.note(Event::PaintFault);
                self.blank();
            }
        }
    }

    fn blank(&mut self) {
        self.counts.picture_crc = 0;
        if self.rows.blank().is_err() {
            self.note(Event::PortFault);
        }
    }
}
