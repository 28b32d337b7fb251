//! The lighting desk: packets in, at most one engine input out at a time.

use super::packet::{WireError, read};
use super::receiver::Receiver;
use super::slots::{Slots, Wish};
use crate::engine::{Fault, Input, Sense, Source};
use crate::show::{CueId, Show};
use crate::units::Instant;

/// Listens to the trigger slots of one universe.
#[derive(Clone, Debug)]
pub struct Desk {
    receiver: Receiver,
    slots: Slots,
    /// What the engine was told: a desk is there.
    is_there: bool,
    bad: u32,
}

impl Desk {
    /// Listens to nothing yet.
    pub const fn new() -> Self {
        Self { receiver: Receiver::new(0), slots: Slots::new(), is_there: false, bad: 0 }
    }

    /// Listens to the universe that `show` names and to no other. True when that is another one than before: everything
    /// heard is forgotten then, and the network has to listen to the group of [`Desk::universe`].
    pub fn tune(&mut self, show: &Show) -> bool {
        let universe = show.control.slots_universe;
        let changes = universe != self.receiver.universe();
        if changes {
            *self = Self { receiver: Receiver::new(universe), bad: self.bad, ..Self::new() };
        }
        changes
    }

    /// The universe listened to; 0 for none.
    pub const fn universe(&self) -> u16 {
        self.receiver.universe()
    }

    /// Datagrams that were no packets.
    pub const fn bad(&self) -> u32 {
        self.bad
    }

    /// Takes a datagram that came to the door of sACN; what the engine has to know.
    ///
    /// # Errors
    /// [`WireError`]: these bytes are no packet; they are counted.
    pub fn hear(&mut self, bytes: &[u8], show: &Show, now: Instant) -> Result<Option<Input<'static>>, WireError> {
        let packet = read(bytes).inspect_err(|_| self.bad = self.bad.wrapping_add(1))?;
        let Some(frame) = self.receiver.hear(&packet, now) else { return Ok(None) };
        let wish = self.slots.hear(&frame, now);
        if !self.is_there {
            // The first levels never want anything.
            self.is_there = true;
            return Ok(Some(Input::Sense(Sense::Fault(Fault::Desk, false))));
        }
        Ok(wish.and_then(|wish| input_of(wish, show)))
    }

    /// Lets time pass, once a poll; what the engine has to know.
    pub fn pass(&mut self, show: &Show, now: Instant) -> Option<Input<'static>> {
        if self.receiver.control(now).is_some() {
            return self.slots.pass(now).and_then(|wish| input_of(wish, show));
        }
        core::mem::take(&mut self.is_there).then_some(Input::Sense(Sense::Fault(Fault::Desk, true)))
    }
}

impl Default for Desk {
    fn default() -> Self {
        Self::new()
    }
}

/// The engine's input for a wish; `None` when it names a cue that the show does not have.
fn input_of(wish: Wish, show: &Show) -> Option<Input<'static>> {
    let from = Source::Slots;
    match wish {
        Wish::Go(number) => {
            let index = show.cues.iter().position(|cue| cue.number == number)?;
            Some(Input::Go { to: CueId(u8::try_from(index).ok()?), from })
        }
        Wish::Off => Some(Input::Off { from }),
        Wish::Mode(mode) => Some(Input::Mode { mode, from }),
        Wish::Level(level) => Some(Input::Level { level, from }),
    }
}
