//! When frames are sent: never faster than a DMX line could, three times after a change, and then to keep the stream up.

use crate::units::{Duration, Instant};

/// Least time between two frames: the refresh rate of a full DMX512 line is about 44 Hz, and no source may be faster
/// (ANSI E1.31-2018, 6.6.1; 44 Hz from memory).
pub const FRAME: Duration = Duration::from_millis(23);
/// Time between frames that say nothing new: 800 to 1000 ms (6.6.2).
pub const KEEP_ALIVE: Duration = Duration::from_millis(900);
/// Frames of each picture before it is only kept alive (6.6.2).
pub const REPEATS: u8 = 3;

/// Counts frames and time.
#[derive(Clone, Copy, Debug, Default)]
pub struct Pace {
    begun: Option<Instant>,
    /// Frames of this picture that are left to send.
    left: u8,
}

impl Pace {
    /// Nothing sent yet.
    pub const fn new() -> Self {
        Self { begun: None, left: 0 }
    }

    /// True when a frame is due. `is_new` when it would show something else than the last.
    pub fn is_due(&self, is_new: bool, now: Instant) -> bool {
        let Some(begun) = self.begun else { return true };
        let passed = now.since(begun);
        passed >= KEEP_ALIVE || (passed >= FRAME && (is_new || self.left > 0))
    }

    /// A frame begins.
    pub fn begin(&mut self, is_new: bool, now: Instant) {
        self.left = if is_new { REPEATS - 1 } else { self.left.saturating_sub(1) };
        self.begun = Some(now);
    }
}
