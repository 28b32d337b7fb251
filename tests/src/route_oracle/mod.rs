//! How short a way can be, once more in `f64`, from the definitions alone and by other means than the core's: fine
//! polygons round and in the keep-outs, a visibility graph over their corners, and Dijkstra's search. It gives a length
//! that the shortest way cannot exceed and one that it cannot undercut.
//!
//! [`Plan`] says whether a straight way is free, with exact distances; [`build`] makes it of a show; [`corners`] has the
//! places where ways turn; [`search`] finds the shortest; [`walked`] measures a way that somebody else found.

pub mod build;
pub mod corners;
mod floor;
pub mod plan;
pub mod search;
mod shape;
pub mod vector;
pub mod walked;

pub use build::{Walk, plan};
pub use floor::Band;
pub use plan::{Plan, Thing};
pub use search::{Bounds, shortest};
pub use shape::Shape;
pub use vector::{V, v};
pub use walked::Walked;
