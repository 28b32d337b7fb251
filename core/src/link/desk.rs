//! The asking side: one request at a time, repeated until its answer comes or patience ends.

use super::frame::{self, Frame, MAX_WIRE_BYTES};
use super::message::{Answer, Request};
use crate::units::{Duration, Instant};

/// How long a desk waits and how often it asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Patience {
    /// Time without an answer before a request is repeated for the first time; it doubles with every repeat.
    pub retry: Duration,
    /// The longest that it grows to.
    pub longest: Duration,
    /// How often a request is sent before the desk gives up.
    pub tries: u8,
}

impl Patience {
    /// For pipes. Short at first, because a noisy line is more likely than a busy box; long in the end, because a box
    /// that stores a show takes its time.
    pub const PIPE: Self = Self { retry: Duration::from_millis(200), longest: Duration::from_millis(1_600), tries: 8 };
    /// For datagrams, which get lost: sooner each time.
    pub const DATAGRAMS: Self =
        Self { retry: Duration::from_millis(250), longest: Duration::from_millis(250), tries: 30 };

    /// How long to wait after so many tries, 0 for before the first.
    fn wait(self, tries: u8) -> Duration {
        let Some(doublings) = tries.checked_sub(1) else { return Duration::ZERO };
        let micros = self.retry.as_micros().saturating_mul(1 << doublings.min(16));
        Duration::from_micros(micros).min(self.longest)
    }
}

/// What the desk has to do now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DeskStep<'d> {
    /// Nothing: no request is open, or its answer is still due.
    Wait,
    /// Send these bytes (again).
    Send(&'d [u8]),
    /// No answer after [`Patience::tries`]; the request is dropped.
    GiveUp,
}

/// The desk's end of a conversation.
#[derive(Clone, Debug)]
pub struct Desk {
    wire: [u8; MAX_WIRE_BYTES],
    len: usize,
    sequence: u8,
    tries: u8,
    sent: Instant,
    open: bool,
    patience: Patience,
}

impl Default for Desk {
    fn default() -> Self {
        Self::new(0)
    }
}

impl Desk {
    /// A desk with no open request whose first request carries the number after `sequence`.
    pub const fn new(sequence: u8) -> Self {
        Self::with_patience(sequence, Patience::PIPE)
    }

    /// As [`Desk::new`], with another patience than for a pipe.
    pub const fn with_patience(sequence: u8, patience: Patience) -> Self {
        Self { wire: [0; MAX_WIRE_BYTES], len: 0, sequence, tries: 0, sent: Instant::ZERO, open: false, patience }
    }

    /// Opens a request; [`Desk::poll`] hands out its bytes. False when one is open already or it is too long.
    pub fn ask(&mut self, request: &Request<'_>) -> bool {
        if self.open {
            return false;
        }
        let sequence = self.sequence.wrapping_add(1);
        let Some(len) = frame::write(sequence, request, &mut self.wire) else { return false };
        (self.sequence, self.len, self.tries, self.open) = (sequence, len, 0, true);
        true
    }

    /// What to do at `now`.
    pub fn poll(&mut self, now: Instant) -> DeskStep<'_> {
        if !self.open || now.since(self.sent) < self.patience.wait(self.tries) {
            return DeskStep::Wait;
        }
        if self.tries == self.patience.tries {
            self.open = false;
            return DeskStep::GiveUp;
        }
        self.tries += 1;
        self.sent = now;
        DeskStep::Send(self.wire.get(..self.len).unwrap_or(&[]))
    }

    /// The answer in a frame, or `None` when it belongs to another request or cannot be read.
    pub fn hear(&mut self, frame: Frame<'_>) -> Option<Answer> {
        if !self.open || frame.sequence != self.sequence {
            return None;
        }
        let (answer, rest) = postcard::take_from_bytes(frame.message).ok()?;
        self.open = !rest.is_empty();
        rest.is_empty().then_some(answer)
    }
}
