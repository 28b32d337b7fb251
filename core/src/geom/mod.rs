//! Plane geometry in stage metres and canvas pixels.
//!
//! [`polygon`], [`segment`], [`hull`] and [`clip`] work on plain vertex lists. [`Convex`], [`Rounded`] and
//! [`Ring`] are checked shapes with exact distances; [`Region`] is any of them, and its outline comes as
//! exact [`Stretch`]es that are flattened only to be drawn.

pub mod affine;
pub mod clip;
pub mod convex;
pub mod error;
pub mod fillet;
pub mod hull;
pub(crate) mod meet;
pub mod point;
pub mod polygon;
pub mod prepared;
pub mod region;
pub mod ring;
mod ring_gap;
pub mod rounded;
pub mod segment;
pub mod stretch;

pub use affine::Affine;
pub use convex::Convex;
pub use error::GeomError;
pub use fillet::{Fillet, fillet};
pub use point::{PixelPoint, StagePoint, StagePoint3, StageVector, TrackingPoint};
pub use prepared::{Near, Prepared};
pub use region::Region;
pub use ring::Ring;
pub use rounded::Rounded;
pub use stretch::Stretch;
