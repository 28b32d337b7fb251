//! How people get there: the ways they walk, how long they take, and what they meet.
//!
//! From the ground up: [`Path`] is a walk line as exact lines and arcs.
//! A staging aid: it compares a plan with a plan and does not know who is on the floor.

mod blocked;
mod error;
mod obstacle;
mod obstacle_band;
mod obstacle_convex;
mod obstacle_leg;
mod obstacle_reach;
mod obstacle_ring;
pub mod path;
mod route;
mod route_search;
mod route_work;
mod tangent;
mod terrain;
mod terrain_floor;

#[cfg(test)]
mod route_tests;
#[cfg(test)]
mod tests;

pub use error::{NoWay, Store, WalkError};
pub use path::{Bend, Path, Spot};
pub use route::{Route, shortest};
pub use route_work::PlanWork;
pub use terrain::Terrain;
