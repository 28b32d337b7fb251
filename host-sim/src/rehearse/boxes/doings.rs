//! What was done at the front box: for a box beside it that gets the same orders.

use std::collections::VecDeque;
use std::sync::{Condvar, Mutex, PoisonError};
use std::time::Duration;

use underfoot_core::engine::Gate;
use underfoot_core::panel::Face;
use underfoot_core::show::{CueId, Mode};

use crate::rehearse::house::lock;

/// Most that wait for somebody to take them: who is farther behind has lost its box.
const WAITING: usize = 16;

/// Something that was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Done {
    /// The first of the two steps out of OFF.
    Arm,
    /// To the next cue.
    Go(CueId),
    /// To the cue before.
    Back(CueId),
    /// OFF.
    Off,
    /// HOLD, or its end.
    Hold(bool),
    /// A mode beside the cue's own; none for the cue's own again.
    Mode(Option<Mode>),
}

/// What was done between two faces of the box. What it does by itself is no order: a stop contact, a power cut and what
/// restores the cue after one.
pub fn between(old: &Face, new: &Face) -> Vec<Done> {
    let id = |tag: &Option<underfoot_core::panel::CueTag>| tag.as_ref().map(|tag| tag.id);
    let is_armed = |face: &Face| matches!(face.gate, Gate::Armed { .. });
    let mut done = Vec::new();
    if is_armed(new) && !is_armed(old) {
        done.push(Done::Arm);
    }
    match (id(&old.now), id(&new.now)) {
        (Some(_), None) if new.gate == Gate::Off => done.push(Done::Off),
        (from, Some(to)) if from != Some(to) && old.gate != Gate::Held => {
            let is_back = id(&old.next) != Some(to) && id(&old.back) == Some(to);
            done.push(if is_back { Done::Back(to) } else { Done::Go(to) });
        }
        _ => {}
    }
    if old.hold != new.hold {
        done.push(Done::Hold(new.hold));
    }
    done
}

/// What was done and not taken yet.
#[derive(Debug, Default)]
pub struct Doings {
    waiting: Mutex<VecDeque<Done>>,
    came: Condvar,
}

impl Doings {
    /// Something more was done.
    pub fn add(&self, done: impl IntoIterator<Item = Done>) {
        let mut waiting = lock(&self.waiting);
        waiting.extend(done);
        let old = waiting.len().saturating_sub(WAITING);
        waiting.drain(..old);
        self.came.notify_all();
    }

    /// All of it, oldest first.
    pub fn take(&self) -> Vec<Done> {
        lock(&self.waiting).drain(..).collect()
    }

    /// True when something waits.
    pub fn any(&self) -> bool {
        !lock(&self.waiting).is_empty()
    }

    /// Waits for something, but not longer than this.
    pub fn wait(&self, longest: Duration) {
        let nothing = |waiting: &mut VecDeque<Done>| waiting.is_empty();
        drop(
            self.came.wait_timeout_while(lock(&self.waiting), longest, nothing).unwrap_or_else(PoisonError::into_inner),
        );
    }
}

#[cfg(test)]
mod tests {
    use underfoot_core::engine::{Faults, Reveal};
    use underfoot_core::panel::{CueTag, Role};

    use super::*;

    fn tag(id: u8) -> CueTag {
        CueTag { id: CueId(id), number: 100 * (u32::from(id) + 1), name: "A".try_into().expect("a short name") }
    }

    fn face(gate: Gate, [now, next, back]: [Option<u8>; 3]) -> Face {
        Face {
            mode: Mode::Brief,
            mode_left_s: None,
            now: now.map(tag),
            next: next.map(tag),
            back: back.map(tag),
            code: None,
            gate,
            hold: false,
            reveal: Reveal::Unknown,
            by: None,
            faults: Faults::default(),
            controller: 0,
            role: Role::Alone,
            line: None,
        }
    }

    #[test]
    fn advances_are_told_from_what_the_box_does_itself() {
        let (off, armed) =
            (face(Gate::Off, [None, Some(0), None]), face(Gate::Armed { left_s: 9 }, [None, Some(0), None]));
        let (one, two) = (face(Gate::Open, [Some(0), Some(1), None]), face(Gate::Open, [Some(1), Some(2), Some(0)]));
        let held = face(Gate::Held, [None, Some(1), None]);
        let stopped = face(Gate::Stopped, [None, Some(1), None]);
        let later = face(Gate::Armed { left_s: 8 }, [None, Some(0), None]);
        let rows: [(&Face, &Face, &[Done]); 9] = [
            (&off, &armed, &[Done::Arm]),
            (&armed, &later, &[]),
            (&armed, &one, &[Done::Go(CueId(0))]),
            (&one, &two, &[Done::Go(CueId(1))]),
            (&two, &one, &[Done::Back(CueId(0))]),
            (&two, &off, &[Done::Off]),
            (&two, &stopped, &[]),
            (&two, &held, &[]),
            (&held, &two, &[]),
        ];
        for (old, new, wanted) in rows {
            assert_eq!(between(old, new), wanted, "{old:?} {new:?}");
        }
        let hold = Face { hold: true, ..one.clone() };
        assert_eq!((between(&one, &hold), between(&hold, &one)), (vec![Done::Hold(true)], vec![Done::Hold(false)]));
    }

    #[test]
    fn who_takes_nothing_loses_the_oldest() {
        let doings = Doings::default();
        doings.add((0..20).map(|i| Done::Go(CueId(i))));
        assert_eq!(doings.take().first(), Some(&Done::Go(CueId(4))));
        assert!(!doings.any());
    }
}
