//! The standard's rules for one universe: which levels count, and whose.
//!
//! The universe drives no lamps, so levels of several sources are never mixed. The highest priority is in control; among
//! equals whoever has it keeps it until it ends, is lost, or is outranked. Packets of other start codes and previews
//! count for the sequence and for nothing else: a source that sends only those is not there.

use heapless::Vec;

use super::packet::{Cid, Data, Packet, Sync};
use super::source::{Source, speaks};
use super::table::Levels;
use crate::limits;
use crate::units::{Duration, Instant};

/// A source that has not been heard for this long is lost (ANSI E1.31-2018, appendix A, network data loss).
pub const LOSS: Duration = Duration::from_millis(2_500);

/// Levels that act.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frame {
    /// The levels.
    pub levels: Levels,
    /// The first ones since another source, or none, was in control.
    pub is_first: bool,
}

/// Listens to one universe.
#[derive(Clone, Debug)]
pub struct Receiver {
    universe: u16,
    sources: Vec<Source, { limits::SACN_SOURCES }>,
    control: Option<Cid>,
    /// The source in control has not been followed yet.
    is_new: bool,
}

impl Receiver {
    /// Listens to `universe`; to none when it is 0.
    pub const fn new(universe: u16) -> Self {
        Self { universe, sources: Vec::new(), control: None, is_new: false }
    }

    /// The universe.
    pub const fn universe(&self) -> u16 {
        self.universe
    }

    /// The source in control; `None` when none is there.
    pub fn control(&mut self, now: Instant) -> Option<Cid> {
        self.arbitrate(now);
        self.control
    }

    /// Takes a packet; the levels that act now, when it has any.
    pub fn hear(&mut self, packet: &Packet<'_>, now: Instant) -> Option<Frame> {
        self.arbitrate(now);
        let (cid, levels) = match packet {
            Packet::Data(data) => (data.header.cid, self.data(data, now)),
            Packet::Sync(sync) => (sync.cid, self.sync(sync, now)),
            Packet::Discovery => return None,
        };
        self.arbitrate(now);
        let levels = levels.filter(|_| self.control == Some(cid))?;
        Some(Frame { levels, is_first: core::mem::take(&mut self.is_new) })
    }

    fn data(&mut self, data: &Data<'_>, now: Instant) -> Option<Levels> {
        if data.header.universe != self.universe {
            return None;
        }
        if let Some(known) = self.sources.iter_mut().find(|s| s.cid == data.header.cid) {
            return known.data(data, now);
        }
        if !speaks(data) {
            return None;
        }
        self.make_room(data.header.priority);
        self.sources.push(Source::new(&data.header, now)).ok()?;
        self.sources.last_mut()?.data(data, now)
    }

    fn sync(&mut self, sync: &Sync, now: Instant) -> Option<Levels> {
        self.sources.iter_mut().find(|s| s.cid == sync.cid)?.sync(sync, now)
    }

    /// A full list forgets its least source for one that outranks it: what is in control outranks all.
    fn make_room(&mut self, priority: u8) {
        if !self.sources.is_full() {
            return;
        }
        let rank = |s: &Source| (s.is_live, s.priority);
        let control = self.control;
        let others = self.sources.iter().enumerate().filter(|(_, s)| Some(s.cid) != control);
        if let Some((at, least)) = others.min_by_key(|(_, s)| rank(s))
            && rank(least) < (true, priority)
        {
            self.sources.swap_remove(at);
        }
    }

    /// Forgets who is lost, and says who is in control.
    fn arbitrate(&mut self, now: Instant) {
        self.sources.retain(|source| !source.is_silent(now));
        let control = self.control;
        // The last of equals wins: the one in control, and else the first of the list.
        let rank = |(at, s): &(usize, &Source)| (s.priority, Some(s.cid) == control, usize::MAX - at);
        let best = self.sources.iter().enumerate().filter(|(_, s)| s.is_live).max_by_key(rank);
        let best = best.map(|(_, source)| source.cid);
        if best != control {
            (self.control, self.is_new) = (best, true);
        }
    }
}
