//! One contact that bounces.

use crate::units::{Duration, Instant};

/// How long a contact may bounce.
pub(super) const SETTLE: Duration = Duration::from_millis(30);
/// How long a hasty contact has to be quiet, [`SETTLE`] after the first touch.
pub(super) const QUIET: Duration = Duration::from_millis(5);

/// How a contact is closed and opened. Every change waits until the level was quiet for [`SETTLE`]; the closing of a
/// hasty contact may not wait for a worn spring to come to rest: it counts [`SETTLE`] after the first touch, when the
/// last [`QUIET`] of that were quiet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Line {
    settled: bool,
    /// The level at the last look, and since when it has been so.
    level: bool,
    since: Instant,
    /// When the level first left the settled one, since it was last at rest there.
    touched: Option<Instant>,
    hasty: bool,
}

impl Line {
    /// An open contact.
    pub(super) const fn new(hasty: bool) -> Self {
        Self { settled: false, level: false, since: Instant::ZERO, touched: None, hasty }
    }

    /// Takes the level as it is, without waiting.
    pub(super) const fn start(&mut self, now: Instant, closed: bool) {
        *self = Self { settled: closed, level: closed, since: now, touched: None, hasty: self.hasty };
    }

    /// Takes the level at `now`; true when the settled one changed.
    pub(super) fn feed(&mut self, now: Instant, level: bool) -> bool {
        if level != self.level {
            (self.level, self.since) = (level, now);
        }
        let quiet = now.since(self.since);
        if level == self.settled {
            if quiet >= SETTLE {
                self.touched = None;
            }
            return false;
        }
        let touched = *self.touched.get_or_insert(now);
        let needed = if self.hasty && level { QUIET } else { SETTLE };
        let changed = quiet >= needed && now.since(touched) >= SETTLE;
        if changed {
            (self.settled, self.touched) = (level, None);
        }
        changed
    }

    /// True while the contact counts as closed.
    pub(super) const fn is_closed(&self) -> bool {
        self.settled
    }
}
