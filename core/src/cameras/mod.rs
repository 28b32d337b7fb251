//! What cameras see: lenses, poses, shots, people in the frame.
//!
//! From the ground up: [`Rect`] and [`Frame`] in tangents; [`lens`] from millimetres and Brown–Conrady
//! coefficients to a frame; [`Pose`] from stage places to tangents; [`shots`] from a show to [`View`]s, one for
//! each moment of a shot; [`Body`], a person as the pictures have it; [`framing`], whether a shot holds that
//! person; [`Solid`], a part of a prop as it stands, and [`crossings`] of lines of sight with it; [`sight`], what
//! solids hide and paint over of a person; [`surfaces`], which LED surface backs a person and [`off_wall`], where
//! none does. `core/docs/cameras.md` has frames, signs and worked numbers.

pub mod body;
mod breaks;
mod column;
pub mod crossings;
pub mod frame;
pub mod framing;
mod heights;
pub mod lens;
mod moves;
pub mod off_wall;
pub mod pose;
mod pyramid;
pub mod shots;
pub mod sight;
pub mod solids;
pub mod surfaces;
mod vector;

#[cfg(test)]
mod tests;

pub use crate::props::motion::moments as times;
pub use body::{Body, Upright};
pub use crossings::Crossings;
pub use frame::{Frame, Rect};
pub use framing::{Framed, Framing, Side};
pub use lens::LensError;
pub use off_wall::{OffWall, off_wall};
pub use pose::{Pose, Seen};
pub use shots::{ShotError, View};
pub use sight::{Case, Share, Sight, SightFault};
pub use solids::{Gap, Solid, SolidShape, SolidsError};
pub use surfaces::{Backing, Passing, Surfaces};
