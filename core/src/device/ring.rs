//! What happened lately: a bounded list with times, nothing personal in it.

use crate::limits;
use crate::link::events::EVENTS;
use crate::link::{Entry, Events, Happened};
use crate::units::Instant;

/// Most bytes of one kind of happening in postcard: a refused pack (4 bytes of kinds, two numbers of 5 bytes).
const WHAT_BYTES: usize = 14;

/// The last [`limits::RING`] entries. Numbers of entries count up from 1 and never start over but at a wipe.
///
/// Entries are kept as the link sends them: bytes that are zero at first, so that a static ring costs no flash.
#[derive(Debug)]
pub struct Ring {
    slots: [Slot; limits::RING],
    /// Entries so far.
    written: u32,
    now_ms: u32,
}

#[derive(Clone, Copy, Debug)]
struct Slot {
    at_ms: u32,
    times: u16,
    what: [u8; WHAT_BYTES],
}

const EMPTY: Slot = Slot { at_ms: 0, times: 0, what: [0; WHAT_BYTES] };

impl Default for Ring {
    fn default() -> Self {
        Self::new()
    }
}

impl Ring {
    /// A ring in which nothing has happened.
    pub const fn new() -> Self {
        Self { slots: [EMPTY; limits::RING], written: 0, now_ms: 0 }
    }

    /// Forgets everything that happened.
    pub fn wipe(&mut self) {
        self.slots.fill(EMPTY);
        self.written = 0;
    }

    /// What is noted from here on happens at `now`.
    pub fn set_time(&mut self, now: Instant) {
        self.now_ms = u32::try_from(now.as_millis()).unwrap_or(u32::MAX);
    }

    /// Notes that something happened. What happens again right after itself is one entry with a count.
    pub fn note(&mut self, what: Happened) {
        let mut bytes = [0; WHAT_BYTES];
        if postcard::to_slice(&what, &mut bytes).is_err() {
            return;
        }
        let at_ms = self.now_ms;
        if let Some(last) = self.slot_mut(self.written)
            && last.times > 0
            && last.what == bytes
        {
            last.times = last.times.saturating_add(1);
            last.at_ms = at_ms;
            return;
        }
        self.written = self.written.wrapping_add(1);
        if let Some(slot) = self.slot_mut(self.written) {
            *slot = Slot { at_ms, times: 1, what: bytes };
        }
    }

    /// The entries that follow entry `after`, as many as one answer has room for.
    pub fn after(&self, after: u32) -> Events {
        let oldest = self.written.saturating_sub(limits::RING as u32).saturating_add(1);
        // Who asks past the end has asked another box, or this one before a wipe: it is told all.
        let known = if after > self.written { 0 } else { after };
        let first = known.saturating_add(1).max(oldest);
        let mut entries = [None; EVENTS];
        for (entry, number) in entries.iter_mut().zip(first..=self.written) {
            *entry = self.entry(number);
        }
        Events { first, now_ms: self.now_ms, entries }
    }

    fn entry(&self, number: u32) -> Option<Entry> {
        let slot = self.slots.get(index(number))?;
        let what = postcard::take_from_bytes(&slot.what).ok()?.0;
        Some(Entry { at_ms: slot.at_ms, times: slot.times, what })
    }

    fn slot_mut(&mut self, number: u32) -> Option<&mut Slot> {
        self.slots.get_mut(index(number))
    }
}

const fn index(number: u32) -> usize {
    number as usize % limits::RING
}

#[cfg(test)]
mod tests {
    use std::vec::Vec;

    use super::*;
    use crate::engine::{Fault, Source};
    use crate::link::{PackCheck, Refusal, Start};
    use crate::show::CueId;

    fn advanced(to: u8) -> Happened {
        Happened::Advanced { from: Source::Desk, to: CueId(to) }
    }

    fn all(ring: &Ring) -> Vec<(u32, Entry)> {
        let (mut list, mut known) = (Vec::new(), 0);
        loop {
            let events = ring.after(known);
            let part = (events.first..).zip(events.entries.into_iter().map_while(|e| e));
            let before = list.len();
            list.extend(part);
            if list.len() == before {
                return list;
            }
            known = list.last().map_or(0, |(number, _)| *number);
        }
    }

    #[test]
    fn what_happened_is_told_oldest_first_and_once() {
        let mut ring = Ring::new();
        assert_eq!(all(&ring), []);
        for to in 0..20 {
            ring.set_time(Instant::from_millis(100 + u64::from(to)));
            ring.note(advanced(to));
        }
        let told = all(&ring);
        assert_eq!(told.len(), 20);
        for (i, (number, entry)) in (0..).zip(told) {
            assert_eq!(
                (number, entry.at_ms, entry.times, entry.what),
                (u32::from(i) + 1, 100 + u32::from(i), 1, advanced(i))
            );
        }
    }

    #[test]
    fn the_oldest_make_room_and_a_gap_shows() {
        let mut ring = Ring::new();
        (0..limits::RING as u8 + 30).for_each(|to| ring.note(advanced(to)));
        let told = all(&ring);
        assert_eq!((told.len(), told[0].0), (limits::RING, 31));
        assert_eq!(ring.after(10).first, 31, "11 to 30 are gone");
        assert_eq!(ring.after(40).first, 41);
    }

    #[test]
    fn a_row_of_the_same_is_one_entry_with_a_count() {
        let mut ring = Ring::new();
        for ms in 0..100_000 {
            ring.set_time(Instant::from_millis(ms));
            ring.note(Happened::BadFrame);
        }
        ring.note(Happened::PortFault);
        ring.note(Happened::BadFrame);
        let told: Vec<_> = all(&ring).into_iter().map(|(_, e)| (e.what, e.times, e.at_ms)).collect();
        let (bad, port) = (Happened::BadFrame, Happened::PortFault);
        assert_eq!(told, [(bad, u16::MAX, 99_999), (port, 1, 99_999), (bad, 1, 99_999)]);
    }

    #[test]
    fn every_kind_fits_its_slot() {
        let pack = Refusal::Pack { check: PackCheck::Show, expected: u32::MAX, got: u32::MAX };
        let longest = [
            Happened::Started(Start::Panic { file: u32::MAX, line: u32::MAX }),
            Happened::Refused { from: Source::Crew, why: pack },
            Happened::Refused { from: Source::Crew, why: Refusal::Incomplete { expected: u32::MAX, got: u32::MAX } },
            Happened::Fault { fault: Fault::Port, there: true },
            Happened::ShowReady { pack_crc: u32::MAX },
        ];
        for what in longest {
            let mut ring = Ring::new();
            ring.note(what);
            assert_eq!(all(&ring).first().map(|(_, e)| e.what), Some(what));
        }
    }

    #[test]
    fn a_wipe_leaves_nothing_and_the_numbers_start_over() {
        let mut ring = Ring::new();
        (0..9).for_each(|to| ring.note(advanced(to)));
        ring.wipe();
        ring.note(Happened::Wiped);
        assert_eq!(all(&ring).len(), 1);
        assert_eq!(ring.after(7).first, 1);
    }
}
