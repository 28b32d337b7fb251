//! Who has a duty that one box at a time has to have.
//!
//! There are two: to decide for all boxes of the show, and to put the rows of a controller out. Both pass from box to
//! box by the same rules.

use super::seat::{Claim, Seat, Stand};
use crate::units::{Duration, Instant};

/// Silence after which a duty is taken over.
pub const SILENCE: Duration = Duration::from_millis(250);
/// A box that has just got power listens this long before it takes a duty.
pub const LISTEN: Duration = Duration::from_millis(300);
/// A box that comes after others in line waits this long for them.
const COURTESY: Duration = Duration::from_millis(100);

/// One duty, as one box sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Duty {
    seat: Seat,
    stand: Stand,
    holder: Option<Holder>,
    /// When the first in line may take it, while nobody has it.
    free: Instant,
}

/// Another box that has the duty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Holder {
    seat: Seat,
    claim: Claim,
    heard: Instant,
}

/// What a word about a duty led to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turn {
    /// The sender does not decide for this box.
    Apart,
    /// The sender has the duty.
    Follow,
    /// The sender has it, and this box had it until now.
    Yield,
}

impl Duty {
    /// The duty of a box without others.
    pub(super) const fn alone(seat: Seat) -> Self {
        let stand = Stand { in_charge: true, seasoned: false, epoch: 0 };
        Self { seat, stand, holder: None, free: Instant::ZERO }
    }

    /// A duty that nobody is known to have; the box begins to listen at `now`.
    pub(super) fn open(seat: Seat, now: Instant) -> Self {
        let stand = Stand { in_charge: false, seasoned: false, epoch: 0 };
        Self { seat, stand, holder: None, free: now.after(LISTEN) }
    }

    /// What this box says of it.
    pub(super) const fn stand(&self) -> Stand {
        self.stand
    }

    /// The other box that has it, as far as this box knows.
    pub(super) fn holder(&self) -> Option<Seat> {
        self.holder.map(|holder| holder.seat)
    }

    /// What is shared has changed, by this box.
    pub(super) fn changed(&mut self) {
        self.stand.epoch = self.stand.epoch.saturating_add(2);
    }

    /// Takes what the box of `from` says of the duty.
    pub(super) fn hear(&mut self, from: Seat, theirs: Stand, now: Instant) -> Turn {
        if theirs.in_charge {
            return self.hear_claim(from, theirs, now);
        }
        if self.stand.in_charge {
            // Somebody follows: from now on this box speaks for more than itself.
            self.stand.seasoned = true;
        }
        if self.holder() == Some(from) {
            // It gave the duty up, or lost its memory in a power cut: nobody has to wait for its silence.
            self.holder = None;
            self.free = now;
        }
        Turn::Apart
    }

    fn hear_claim(&mut self, from: Seat, theirs: Stand, now: Instant) -> Turn {
        let claim = Claim::new(from, theirs);
        let had_it = self.stand.in_charge;
        let gives_way = match self.holder {
            _ if had_it => claim > Claim::new(self.seat, self.stand),
            Some(holder) => holder.seat == from || claim > holder.claim,
            // A box that lost its memory does not lead one that remembers.
            None => claim.is_as_new_as(&Claim::new(self.seat, self.stand)),
        };
        if !gives_way {
            return Turn::Apart;
        }
        self.holder = Some(Holder { seat: from, claim, heard: now });
        self.stand = Stand { in_charge: false, seasoned: true, epoch: theirs.epoch };
        if had_it { Turn::Yield } else { Turn::Follow }
    }

    /// Lets time pass. `others` are the stands of the boxes that were heard lately and could have the duty.
    /// True when this box takes it now.
    pub(super) fn pass(&mut self, others: impl Iterator<Item = (Seat, Stand)>, now: Instant) -> bool {
        if self.stand.in_charge {
            return false;
        }
        if let Some(holder) = self.holder {
            if now.since(holder.heard) < SILENCE {
                return false;
            }
            self.holder = None;
            self.free = now;
        }
        let ours = Claim::new(self.seat, self.stand);
        let first = others.map(|(seat, stand)| Claim::new(seat, stand)).all(|claim| claim < ours);
        let due = if first { self.free } else { self.free.after(COURTESY) };
        if now < due {
            return false;
        }
        self.stand.in_charge = true;
        self.stand.epoch = self.stand.epoch.saturating_add(1);
        true
    }
}
