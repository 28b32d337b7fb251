//! The boxes of one show as one: pairs of main and backup, and several controllers of one floor.
//!
//! [`Crew`] is a state machine without clock or network of its own: beats of other boxes go in by [`Crew::hear`], time by
//! [`Crew::pass`], this box's own beats come out of [`Crew::beat`]. One box of all is in charge and decides; the others
//! follow what it says and ask it for what people press at theirs. OFF needs nobody in charge. Of each pair one box puts
//! the rows out. What the bytes mean, and why each rule is as it is, stands in `core/docs/crew.md`.

mod ask;
mod beat;
mod changes;
mod duty;
mod mates;
mod member;
mod off;
mod roster;
mod seat;

pub use ask::{ASKS, Ask, PATIENCE};
pub use beat::{BEAT_BYTES, Beat, BeatError, VERSION};
pub use changes::{CHANGES_TOLD, Change, Stamped};
pub use duty::{LISTEN, SILENCE};
pub use member::{Crew, Misfit, News};
pub use off::OffTag;
pub use roster::Roster;
pub use seat::{Seat, Stand};

pub use crate::engine::Shared;

#[cfg(test)]
mod tests;
