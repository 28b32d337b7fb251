//! The link between desk and box: versioned messages in guarded frames over any byte pipe.
//!
//! From the wire up: [`frame`] stuffs, checks and finds frames; [`message`] is what they say;
//! [`version`] decides who can talk to whom; [`desk`] asks with retries and [`responder`] answers each request
//! once. One request is under way at a time. `core/docs/link.md` is the protocol's document.

mod cobs;
pub mod desk;
pub mod frame;
pub mod message;
pub mod responder;
pub mod version;

pub use desk::{Desk, DeskStep};
pub use frame::{Decoder, Frame, FrameError};
pub use message::{Answer, PackCheck, PlaceClass, Refusal, Report, Request, Spoken, What};
pub use responder::{Heard, Responder};
pub use version::{Mismatch, Versions};

#[cfg(test)]
mod tests;
