//! What cameras see: lenses, poses, shots, people in the frame.
//!
//! From the ground up: [`Rect`] and [`Frame`] in tangents; [`lens`] from millimetres and Brown–Conrady
//! coefficients to a frame; [`Pose`] from stage places to tangents; [`shots`] from a show to [`View`]s, one for
//! each moment of a shot; [`Body`], a person as the pictures have it; [`framing`], whether a shot holds that
//! person; [`Solid`], a part of a prop as it stands, and [`crossings`] of lines of sight with it; [`sight`], what
//! solids hide and paint over of a person; [`surfaces`], which LED surface backs a person and [`off_wall`], where
//! none does. [`hidden`] says whether a camera shows any of a mark, with a [`Guard`] round it, and which marks stay
//! hidden all through a cue; [`live`] says it from what tracking says now; [`seen`], how much of the floor a camera
//! shows; [`wedge`] and [`jib`], where crew and people keep away from cameras. `core/docs/cameras.md` has frames,
//! signs and worked numbers.

mod bend;
pub mod body;
mod breaks;
mod column;
pub mod crossings;
mod cue_marks;
mod edges;
pub mod frame;
pub mod framing;
pub mod guard;
mod heights;
pub mod hidden;
mod hot;
pub mod jib;
pub mod lens;
pub mod live;
mod moves;
pub mod off_wall;
mod patch;
pub mod pose;
mod pyramid;
pub mod seen;
mod shadow;
mod shares;
pub mod shots;
pub mod sight;
pub mod solids;
mod speed;
pub mod surfaces;
mod vector;
mod view;
pub mod wedge;

#[cfg(test)]
mod tests;

pub use crate::props::motion::moments as times;
pub use body::{Body, Upright};
pub use crossings::Crossings;
pub use frame::{Frame, Rect};
pub use framing::{Framed, Framing, Side};
pub use guard::Guard;
pub use hidden::{Hiding, HotSet, Patch};
pub use lens::LensError;
pub use off_wall::{OffWall, off_wall};
pub use pose::{Pose, Seen};
pub use shots::ShotError;
pub use sight::{Case, Share, Sight, SightFault};
pub use solids::{Gap, Solid, SolidShape, SolidsError};
pub use surfaces::{Backing, Passing, PastFloor, Surfaces};
pub use view::View;
