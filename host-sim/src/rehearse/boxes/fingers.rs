//! Fingers on the simulated keys: the page says when they come and go, and boxes see each come and go for long enough.

use std::collections::VecDeque;

use underfoot_core::panel::Key;
use underfoot_core::units::{Duration, Instant};

/// How long a key stays as it is at least, in the boxes' time. A box takes 30 ms to see it; on a busy machine its time goes
/// slower than that of the fingers.
const SEEN: Duration = Duration::from_millis(40);
/// Most changes of one key that wait.
const WAITING: usize = 8;

/// Everybody's fingers.
#[derive(Debug, Default)]
pub(super) struct Fingers {
    keys: [OneKey; Key::ALL.len()],
}

#[derive(Debug, Default)]
struct OneKey {
    is_down: bool,
    /// When it changed last; `None` before it ever did.
    since: Option<Instant>,
    waiting: VecDeque<bool>,
}

impl Fingers {
    /// A finger comes down on a key, or goes.
    pub(super) fn put(&mut self, key: Key, down: bool) {
        let Some(key) = Key::ALL.iter().position(|one| *one == key).and_then(|i| self.keys.get_mut(i)) else { return };
        if key.waiting.back().unwrap_or(&key.is_down) == &down {
            return;
        }
        if key.waiting.len() >= WAITING {
            // One press less, and never half of one.
            key.waiting.truncate(WAITING - 2);
        }
        key.waiting.push_back(down);
    }

    /// The keys that are down for the boxes, a bit each.
    pub(super) fn keys(&mut self, now: Instant) -> u8 {
        for key in &mut self.keys {
            if key.since.is_none_or(|since| now.since(since) >= SEEN)
                && let Some(down) = key.waiting.pop_front()
            {
                (key.is_down, key.since) = (down, Some(now));
            }
        }
        let down = Key::ALL.iter().zip(&self.keys).filter(|(_, state)| state.is_down);
        down.fold(0, |keys, (key, _)| keys | key.bit())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(ms: u64) -> Instant {
        Instant::ZERO.after(Duration::from_millis(ms))
    }

    #[test]
    fn a_tap_between_two_looks_is_seen_down_and_up() {
        let mut fingers = Fingers::default();
        fingers.put(Key::Go, true);
        fingers.put(Key::Go, false);
        let seen = [0, 20, 39, 40, 60].map(|ms| fingers.keys(at(ms)));
        assert_eq!(seen, [Key::Go.bit(), Key::Go.bit(), Key::Go.bit(), 0, 0]);
    }

    #[test]
    fn two_taps_are_two_and_keys_are_apart() {
        let mut fingers = Fingers::default();
        for down in [true, false, true, false] {
            fingers.put(Key::Back, down);
        }
        fingers.put(Key::Hold, true);
        let back = Key::Back.bit();
        let seen = [0, 40, 80, 120, 160].map(|ms| fingers.keys(at(ms)));
        let hold = Key::Hold.bit();
        assert_eq!(seen, [back | hold, hold, back | hold, hold, hold]);
    }

    #[test]
    fn whatever_is_hammered_ends_as_the_finger_does() {
        let mut fingers = Fingers::default();
        for i in 0..101 {
            fingers.put(Key::Off, i % 2 == 0);
        }
        let changes: Vec<u8> = (0..100).map(|i| fingers.keys(at(40 * i))).collect();
        assert_eq!(changes.last(), Some(&Key::Off.bit()));
    }
}
