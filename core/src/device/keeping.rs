//! What outlives a power cut beside the show, and what a wipe leaves: nothing but which box this is.

use super::hardware::{Hardware, Setup};
use super::works::{Works, refusal};
use crate::engine::Input;
use crate::link::Refusal;
use crate::pack;
use crate::ports::{Address, Event};
use crate::show::CueId;
use crate::store::{Floor, Identity};
use crate::units::{Duration, Instant};

/// How long after a wipe the box starts over: its answer has to get out first.
const GOODBYE: Duration = Duration::from_millis(500);

impl<H: Hardware> Works<'_, H> {
    /// Is the box that it was told to be, if it was.
    pub(super) fn recall(&mut self) {
        let known = self.store.identity().map(|known| Setup {
            controller: known.controller,
            backup: known.backup,
            address: Address { ip: known.address.0, prefix: known.address.1 },
        });
        self.settle(known.unwrap_or(self.setup));
    }

    /// Becomes another box of the show, and stays it.
    pub(super) fn set_up(&mut self, setup: Setup) -> Result<(), Refusal> {
        self.only_in_off()?;
        if !setup.address.is_usable() {
            return Err(Refusal::BadValue);
        }
        let Setup { controller, backup, address: Address { ip, prefix } } = setup;
        self.store.identify(Identity { controller, backup, address: (ip, prefix) }).map_err(|_| self.store_failed())?;
        self.settle(setup);
        self.floor_changed();
        self.note(Event::SetUp);
        Ok(())
    }

    /// The cue that was on the floor of this show when power went away.
    pub(super) fn held(&self) -> Option<CueId> {
        let Floor { lit, pack_crc } = self.store.on_floor();
        let cue = lit.map(CueId).filter(|_| self.pack_crc == Some(pack_crc))?;
        (cue.index() < self.memory.show.cues.len()).then_some(cue)
    }

    /// Keeps what is on the floor, when that has changed; erases ahead of time, when no picture is due.
    pub(super) fn keep(&mut self, now: Instant) {
        if core::mem::take(&mut self.unkept) {
            let lit = self.state.kept().map(|cue| cue.0);
            let floor = Floor { lit, pack_crc: self.pack_crc.filter(|_| lit.is_some()).unwrap_or(0) };
            if self.store.keep(floor).is_err() {
                self.store_failed();
            }
        }
        if !self.store.is_tidy() && !self.untidy && self.is_at_rest(now) && self.store.tidy().is_err() {
            // A page that cannot be erased is not tried again and again: its record is refused when it is due.
            self.untidy = true;
            self.store_failed();
        }
    }

    /// Forgets the show, what happened, and everything of people, in flash and in memory.
    pub(super) fn wipe(&mut self, now: Instant) -> Result<(), Refusal> {
        self.only_in_off()?;
        let wiped = self.store.wipe().map_err(|_| self.store_failed());
        self.upload.forget();
        self.pack_crc = None;
        pack::decode::clear(&mut self.memory.show);
        self.memory.staging.fill(0);
        self.enter(now, Input::Loaded { held: None }).map_err(refusal)?;
        self.memory.ring.wipe();
        self.floor_changed();
        self.restart_at = Some(now.after(GOODBYE));
        self.note(Event::Wiped);
        wiped
    }

    /// True when the box has to start over, with memory as at power-up: what a list held stays behind its end until then.
    pub(super) fn wants_restart(&self, now: Instant) -> bool {
        self.restart_at.is_some_and(|at| now >= at)
    }

    fn store_failed(&mut self) -> Refusal {
        self.note(Event::StoreFailed);
        Refusal::Store
    }
}
