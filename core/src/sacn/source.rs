//! What is remembered of one source of the universe.

use super::packet::{Cid, Data, Header, Sync};
use super::receiver::LOSS;
use super::sequence;
use super::table::{Levels, SLOTS};
use crate::units::Instant;

/// One source.
#[derive(Clone, Copy, Debug)]
pub(super) struct Source {
    pub(super) cid: Cid,
    pub(super) priority: u8,
    /// False once it ended its stream, until it begins anew.
    pub(super) is_live: bool,
    /// When its last levels came.
    pub(super) heard: Instant,
    sequence: u8,
    /// Address that its data wait for; 0 for none.
    sync_address: u16,
    synced: Option<Synced>,
    waiting: Option<Levels>,
}

/// The last synchronization packet.
#[derive(Clone, Copy, Debug)]
struct Synced {
    address: u16,
    sequence: u8,
    at: Instant,
}

impl Source {
    /// A source at its first levels.
    pub(super) const fn new(header: &Header<'_>, now: Instant) -> Self {
        Self {
            cid: header.cid,
            priority: header.priority,
            is_live: false,
            heard: now,
            // So that the first packet follows.
            sequence: header.sequence.wrapping_sub(1),
            sync_address: header.sync_address,
            synced: None,
            waiting: None,
        }
    }

    /// True when nothing has come for the time after which a source is lost.
    pub(super) fn is_silent(&self, now: Instant) -> bool {
        now.since(self.heard) >= LOSS
    }

    /// Takes a data packet of this source; the levels that act now.
    pub(super) fn data(&mut self, data: &Data<'_>, now: Instant) -> Option<Levels> {
        let header = &data.header;
        if !sequence::follows(self.sequence, header.sequence) {
            return None;
        }
        self.sequence = header.sequence;
        if header.terminated {
            (self.is_live, self.waiting) = (false, None);
            return None;
        }
        if !speaks(data) {
            return None;
        }
        (self.is_live, self.heard, self.priority) = (true, now, header.priority);
        self.sync_address = header.sync_address;
        self.wait(levels_of(data.slots), header, now)
    }

    /// Levels that wait for synchronization are kept; what need not wait is given back.
    fn wait(&mut self, levels: Levels, header: &Header<'_>, now: Instant) -> Option<Levels> {
        let synced = self.synced.filter(|last| last.address == header.sync_address);
        self.waiting = match synced {
            // Before the first synchronization packet of the address nothing waits for it (11.1); address 0 never waits.
            None => None,
            // Gone for too long: free, or frozen, as the packet says.
            Some(last) if now.since(last.at) >= LOSS && header.force_sync => None,
            Some(_) => Some(levels),
        };
        if self.waiting.is_none() { Some(levels) } else { None }
    }

    /// Takes a synchronization packet of this source; the levels that it lets act.
    pub(super) fn sync(&mut self, sync: &Sync, now: Instant) -> Option<Levels> {
        let known = self.synced.filter(|last| last.address == sync.address);
        let late = known.is_some_and(|last| !sequence::follows(last.sequence, sync.sequence));
        if late || sync.address == 0 || sync.address != self.sync_address {
            return None;
        }
        self.synced = Some(Synced { address: sync.address, sequence: sync.sequence, at: now });
        self.waiting.take()
    }
}

/// True for live levels: start code 0, no preview.
pub(super) const fn speaks(data: &Data<'_>) -> bool {
    data.start_code == 0 && !data.header.preview && !data.header.terminated
}

/// The first slots; those that a short packet lacks are 0.
fn levels_of(slots: &[u8]) -> Levels {
    let mut levels = [0; SLOTS];
    levels.iter_mut().zip(slots).for_each(|(level, slot)| *level = *slot);
    levels
}
