//! The link between desk and box: versioned messages in guarded frames over any byte pipe.
//!
//! From the wire up: [`frame`] stuffs, checks and finds frames; [`message`] is what they say, with [`report`],
//! [`refusal`], [`spoken`], [`events`], [`bytes`] and [`moved`];
//! [`version`] decides who can talk to whom; [`desk`] asks with retries and [`responder`] answers each request
//! once. One request is under way at a time. `core/docs/link.md` is the protocol's document.

pub mod bytes;
mod cobs;
pub mod desk;
pub mod events;
pub mod frame;
pub mod message;
pub mod moved;
pub mod refusal;
pub mod report;
pub mod responder;
pub mod spoken;
pub mod version;

pub use bytes::Bytes;
pub use desk::{Desk, DeskStep};
pub use events::{Entry, Events, Happened, Start};
pub use frame::{Decoder, Frame, FrameError};
pub use message::{Answer, Request};
pub use moved::{Moved, Need, Nudge, Nudges, Piece, Short, Tiled};
pub use refusal::{PackCheck, Refusal};
pub use report::{Outlook, Report};
pub use responder::{Heard, Responder};
pub use spoken::{PlaceClass, Spoken, What};
pub use version::{Mismatch, Versions};

#[cfg(test)]
mod tests;
