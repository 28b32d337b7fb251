//! What cameras see: lenses, poses, shots, people in the frame.
//!
//! From the ground up: [`Rect`] and [`Frame`] in tangents; [`lens`] from millimetres and Brown–Conrady
//! coefficients to a frame; [`Pose`] from stage places to tangents; [`shots`] from a show to [`View`]s, one for
//! each moment of a shot; [`Body`], a person as the pictures have it; [`framing`], whether a shot holds that
//! person. `core/docs/cameras.md` has frames, signs and worked numbers.

pub mod body;
pub mod frame;
pub mod framing;
pub mod lens;
mod moves;
pub mod pose;
mod pyramid;
pub mod shots;
mod vector;

#[cfg(test)]
mod tests;

pub use body::{Body, Upright};
pub use frame::{Frame, Rect};
pub use framing::{Framed, Framing, Side};
pub use lens::LensError;
pub use pose::{Pose, Seen};
pub use shots::{ShotError, View};
