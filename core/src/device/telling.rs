//! What the panel is told.

use super::hardware::Hardware;
use super::works::Works;
use crate::engine::{Gate, Reveal};
use crate::pack::ShowCode;
use crate::panel::{CueTag, Face};
use crate::ports::{Lamp, PanelPort};
use crate::units::{Duration, Instant};

impl<H: Hardware> Works<'_, H> {
    /// Tells the panel what has changed: signals at once, a new face when it may be drawn. True when one was: that takes
    /// as long as a stretch of a picture.
    pub(super) fn tell(&mut self, now: Instant, may_draw: bool) -> bool {
        let face = self.face(now);
        self.signal(&face);
        let draws = may_draw && self.told.face.as_ref() != Some(&face);
        if draws {
            self.panel.show(&face);
            self.told.face = Some(face);
        }
        draws
    }

    fn signal(&mut self, face: &Face) {
        let relay = face.reveal == Reveal::Clear;
        if self.told.relay != relay {
            self.panel.relay(relay);
            self.told.relay = relay;
        }
        let lamp = lamp(face);
        if self.told.lamp != Some(lamp) {
            self.panel.lamp(lamp);
            self.told.lamp = Some(lamp);
        }
    }

    pub(super) fn face(&self, now: Instant) -> Face {
        let show = &self.memory.show;
        let outlook = self.state.outlook(show, now);
        let tag = |id| CueTag::of(show, id);
        Face {
            mode: outlook.mode,
            mode_left_s: self.state.reset_left(show, now).map(whole_seconds),
            now: outlook.now.and_then(tag),
            next: outlook.next.and_then(tag),
            back: outlook.back.and_then(tag),
            code: self.pack_crc.map(|crc| ShowCode::of_crc(crc).bytes()),
            gate: outlook.gate,
            hold: outlook.hold,
            reveal: outlook.reveal,
            by: outlook.by,
            faults: outlook.faults,
            controller: self.setup.controller,
            role: self.role(),
            line: None,
        }
    }
}

/// Rounded up: a display that says 0 tells of what has happened.
fn whole_seconds(left: Duration) -> u16 {
    u16::try_from(left.as_micros().div_ceil(1_000_000)).unwrap_or(u16::MAX)
}

/// What the lamp says of a face.
fn lamp(face: &Face) -> Lamp {
    match face.gate {
        _ if !face.faults.is_none() => Lamp::Twice,
        Gate::Held | Gate::Armed { .. } => Lamp::Breathing,
        Gate::Open => Lamp::Steady,
        Gate::Off | Gate::Stopped => Lamp::Dark,
    }
}
