//! A slow painter to measure the fast one against.
//!
//! It shares nothing with core's painter but the scene's and the block's plain data: places are mapped
//! in `f64`, ellipses become polygons of thousands of sides, and the cover of every single pixel is the
//! area of the contour clipped to that pixel's square ([`clip`], Sutherland and Hodgman 1974). Colours
//! are composited in `f64` with the premultiplied "over" operator (Porter and Duff 1984).

pub mod clip;
pub mod eye;
pub mod outline;
pub mod picture;

pub use outline::{Figure, figures};
pub use picture::{Picture, Pixel, paint};
