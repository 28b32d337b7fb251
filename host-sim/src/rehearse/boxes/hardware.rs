//! Ports of a box behind the page.

use std::convert::Infallible;

use underfoot_core::device::Hardware;
use underfoot_core::ports::{Address, Datagram, Door, NetPort, Station};
use underfoot_core::units::Instant;

use crate::sim::{Cable, DeskLink, Leds, MemoryFlash, TapeNet, Watched};

/// A box behind the page.
pub(super) struct Rehearsed;

impl Hardware for Rehearsed {
    type Link = DeskLink;
    type Net = Both;
    type Flash = MemoryFlash;
    type Rows = Leds;
    type Panel = Watched;
}

/// A network in which a box has its crew and its tapes.
#[derive(Debug)]
pub(super) struct Both {
    /// To the other boxes.
    pub(super) crew: Cable,
    /// To pixel tape.
    pub(super) tapes: TapeNet,
}

impl NetPort for Both {
    type Error = Infallible;

    fn settle(&mut self, address: Address) -> Result<(), Infallible> {
        self.crew.settle(address)
    }

    fn receive(&mut self, now: Instant, bytes: &mut [u8]) -> Result<Option<Datagram>, Infallible> {
        self.crew.receive(now, bytes)
    }

    fn send(&mut self, door: Door, to: Station, bytes: &[u8]) -> Result<bool, Infallible> {
        match door {
            Door::Sacn => self.tapes.send(door, to, bytes),
            Door::Link | Door::Crew => self.crew.send(door, to, bytes),
        }
    }

    fn listen(&mut self, universe: u16) -> Result<(), Infallible> {
        self.crew.listen(universe)
    }
}
