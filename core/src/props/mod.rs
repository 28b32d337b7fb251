//! Props on the floor: places, footprints, keep-outs and where people may stand.
//!
//! From the ground up: [`Placement`] puts a prop somewhere; [`footprint`] says what its parts cover;
//! [`Reach`] is the room a person class needs; [`keepout`] grows the footprints by it; [`Ground`] answers
//! whether a person may stand at a point and by how much; [`outline`] gives the line to draw round it all.
//! What moves does so in [`pieces`], each with one law; [`mod@sweep`] says what a part passes over meanwhile.
//! A staging aid: it compares a plan with a plan and does not know who is on the floor.

pub mod footprint;
pub mod ground;
pub mod keepout;
pub mod life;
pub mod motion;
pub mod outline;
pub mod physical;
pub mod pieces;
pub mod place;
pub mod reach;
pub mod sweep;

#[cfg(test)]
mod tests;

pub use ground::{Ground, Standing};
pub use keepout::{KeepOut, KeepOutError, Limit};
pub use life::{Life, life_at, standing};
pub use motion::Moment;
pub use pieces::Piece;
pub use place::Placement;
pub use reach::{Level, Reach};
pub use sweep::sweep;
