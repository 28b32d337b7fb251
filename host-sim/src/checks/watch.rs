//! How far a check has come.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Steps of one phase: a phase's share of the bar, whatever it counts.
const STEPS: usize = 100;
/// Phases of a check: judging, better places, fixes, zones, room to spare.
const PHASES: usize = 5;
/// Steps of a whole check.
pub const ALL_STEPS: usize = STEPS * PHASES;

/// Is told how many of [`ALL_STEPS`] are done.
#[derive(Clone, Copy)]
pub(super) struct Watch<'w> {
    reach: &'w (dyn Fn(usize) + Sync),
}

impl<'w> Watch<'w> {
    pub(super) fn new(reach: &'w (dyn Fn(usize) + Sync)) -> Self {
        Self { reach }
    }

    /// Phase `index` with so many things to do.
    pub(super) fn phase(self, index: usize, things: usize) -> Phase<'w> {
        Phase { watch: self, index, things: things.max(1), done: AtomicUsize::new(0) }
    }
}

/// One phase of a check; more threads than one may count.
pub(super) struct Phase<'w> {
    watch: Watch<'w>,
    index: usize,
    things: usize,
    done: AtomicUsize,
}

impl Phase<'_> {
    /// One thing is done.
    pub(super) fn step(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        (self.watch.reach)(self.index * STEPS + STEPS * done.min(self.things) / self.things);
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Mutex;

    use super::*;

    #[test]
    fn phases_share_the_bar_whatever_they_count() {
        let reached = Mutex::new(Vec::new());
        let note = |steps| reached.lock().expect("nobody panics").push(steps);
        let watch = Watch::new(&note);
        let (first, last) = (watch.phase(0, 2), watch.phase(PHASES - 1, 1));
        first.step();
        first.step();
        last.step();
        last.step();
        assert_eq!(*reached.lock().expect("nobody panics"), [50, 100, ALL_STEPS, ALL_STEPS]);
    }
}
