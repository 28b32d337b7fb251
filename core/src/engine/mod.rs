//! The cue engine: `step(state, now, input) -> (state, output)`. No clock, no input or output of its own.
//!
//! What the floor shows at a moment is [`State::view`], what people are told is [`State::outlook`].

pub mod calls;
pub mod chase;
pub mod countdown;
pub mod faults;
pub mod feet;
mod frames;
pub mod heard;
pub mod input;
pub mod lights;
pub mod outlook;
pub mod output;
mod reveal;
pub mod shared;
pub mod state;
pub mod step;
pub mod table;
mod things;
pub mod timecode;
pub mod unseen;
pub mod view;

pub use countdown::RESET_LEAD;
pub use faults::{Fault, Faults};
pub use heard::Heard;
pub use input::{Input, PRESENT, Sense, Source};
pub use outlook::{Gate, Outlook, Reveal};
pub use output::{Output, Refused};
pub use shared::Shared;
pub use state::{ARM, LOCKOUT, State};
pub use step::step;
pub use table::Then;

#[cfg(test)]
mod tests;
