//! A soak: one whole box in simulated time with everything that a long day has around it, and 1 % of all packets malformed.
//!
//! Three tracked cameras that pan send poses 50 times a second, a lighting desk sends levels 44 times, graphics and people
//! sensing talk all the time, and people press keys, switch the on-air light and ask for cues and modes now and then. The
//! box is polled every millisecond, as the firmware does when it has nothing to wait for; no poll is left out. Beside it runs
//! the rules' second writing (`rules`), which hears what people did and says what must be on the display.
//!
//! [`run()`] runs a [`Course`]; [`tally::breaches`] says what is not as it had to be.

pub mod acts;
pub mod harm;
pub mod heap;
mod hour;
pub mod latency;
pub mod model;
pub mod ports;
pub mod rows;
pub mod run;
pub mod senders;
pub mod stage;
mod step;
pub mod tally;

pub use run::{Course, run};
