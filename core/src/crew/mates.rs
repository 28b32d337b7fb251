//! The other boxes of the show, as far as they were heard.

use heapless::Vec;

use super::ask::is_after;
use super::beat::Beat;
use super::seat::{Seat, Stand};
use crate::limits;
use crate::units::{Duration, Instant};

/// A message with a number at most this far behind is an old one that was under way; one farther behind comes from a
/// box that began anew.
const OLD: u32 = 64;
/// Nothing is under way for longer than this.
const UNDER_WAY: Duration = Duration::from_millis(1_000);

/// Another box.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mate {
    pub(super) seat: Seat,
    pub(super) heard: Instant,
    pub(super) sequence: u32,
    pub(super) decides: Stand,
    pub(super) drives: Stand,
    pub(super) stop: bool,
    /// The newest of its asks that was decided on.
    pub(super) settled: u16,
}

/// All that were heard of.
#[derive(Clone, Debug)]
pub(super) struct Mates(Vec<Mate, { limits::CREW }>);

impl Mates {
    pub(super) const fn none() -> Self {
        Self(Vec::new())
    }

    /// Those heard within `span` before `now`.
    pub(super) fn within(&self, span: Duration, now: Instant) -> impl Iterator<Item = &Mate> {
        self.0.iter().filter(move |mate| now.since(mate.heard) < span)
    }

    pub(super) fn get_mut(&mut self, seat: Seat) -> Option<&mut Mate> {
        self.0.iter_mut().find(|mate| mate.seat == seat)
    }

    /// The asks of each box that were decided on.
    pub(super) fn settled(&self) -> Vec<(Seat, u16), { limits::CREW }> {
        self.0.iter().map(|mate| (mate.seat, mate.settled)).collect()
    }

    /// Takes a beat in; `None` when it is an old one, or when there are too many boxes.
    pub(super) fn hear(&mut self, beat: &Beat, now: Instant) -> Option<&mut Mate> {
        let before = asked_before(beat);
        if self.get_mut(beat.seat).is_none() {
            let mate = Mate {
                seat: beat.seat,
                heard: now,
                sequence: beat.sequence.wrapping_sub(1),
                decides: beat.decides,
                drives: beat.drives,
                stop: beat.stop,
                settled: before,
            };
            self.0.push(mate).ok()?;
        }
        let mate = self.get_mut(beat.seat)?;
        let behind = mate.sequence.wrapping_sub(beat.sequence);
        if behind <= OLD && now.since(mate.heard) < UNDER_WAY {
            return None;
        }
        if behind < u32::MAX / 2 {
            // It began anew, and so did its numbers.
            mate.settled = before;
        }
        (mate.heard, mate.sequence, mate.stop) = (now, beat.sequence, beat.stop);
        (mate.decides, mate.drives) = (beat.decides, beat.drives);
        Some(mate)
    }

    /// Learns from the box in charge what it decided on.
    pub(super) fn learn(&mut self, settled: &[(Seat, u16)]) {
        for &(seat, number) in settled {
            if let Some(mate) = self.get_mut(seat).filter(|mate| is_after(number, mate.settled)) {
                mate.settled = number;
            }
        }
    }
}

/// Number of the last ask before those that a beat carries.
fn asked_before(beat: &Beat) -> u16 {
    beat.asked.wrapping_sub(beat.asks.len() as u16)
}
