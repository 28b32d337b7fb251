//! The cue engine: `step(state, now, input) -> (state, output)`. No clock, no input or output of its own.
//!
//! First light: modes, absolute GO and BACK, OFF, the lockout after an advance. Power-up is OFF.

pub mod input;
pub mod output;
pub mod state;
pub mod step;

pub use input::Input;
pub use output::{Output, Refused};
pub use state::State;
pub use step::{ARM, LOCKOUT, step};

#[cfg(test)]
mod tests;
