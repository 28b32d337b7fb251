//! How people get there: the ways they walk, how long they take, and what they meet.
//!
//! From the ground up: [`Path`] is a walk line as exact lines and arcs; [`Terrain`] is what a walker goes round, and
//! [`shortest`] plans a line through it (`core/docs/walk.md` tells how); [`check`] gives the least room along any line.
//! [`PlanRoom`] is what a line is planned anew in. [`Schedule`] says how long it takes and a [`Walker`] is somebody on it; [`meet`] says how near they come to what moves
//! and to each other.
//! A staging aid: it compares a plan with a plan and does not know who is on the floor.

mod error;
pub mod meet;
mod obstacle;
pub mod path;
pub mod phase;
pub mod replan;
mod route;
mod tangent;
mod terrain;
pub mod timing;
pub mod walker;

#[cfg(test)]
mod tests;

pub use error::{NoWay, Store, WalkError};
pub use meet::apart::{Apart, least_apart};
pub use meet::{Meeting, first_within, least_gap, least_spare};
pub use path::{Bend, Path, Spot};
pub use phase::Phase;
pub use replan::PlanRoom;
pub use route::check::{Narrowest, check, narrowest, narrowest_until};
pub use route::work::PlanWork;
pub use route::{Route, shortest};
pub use terrain::Terrain;
pub use terrain::raised::{RAISED_M, closed_sides};
pub use timing::{Schedule, Timing};
pub use walker::{Walker, Way};
