//! Plane geometry in stage metres and canvas pixels.

pub mod affine;
pub mod point;

pub use affine::Affine;
pub use point::{PixelPoint, StagePoint, StagePoint3, StageVector};
