//! The small display: a [`Face`] drawn on any `embedded-graphics` target.
//!
//! [`mono`] is for 128 × 64 pixels, lit or dark; [`color`] for 320 × 240, amber on black. Every pixel is touched at most
//! once after the screen was cleared, so that a slow panel never shows one word through another.

mod foot;
mod large;
pub mod lettering;
pub mod pen;
mod small;
pub mod words;

use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::Size;
use embedded_graphics::pixelcolor::{BinaryColor, Rgb565};

use super::face::Face;
use pen::Pen;

/// Size of the display of [`mono`].
pub const MONO: Size = Size::new(128, 64);
/// Size of the display of [`color`].
pub const COLOR: Size = Size::new(320, 240);

/// Draws `face` on a display of 128 × 64 pixels.
///
/// # Errors
/// The target's own.
pub fn mono<D: DrawTarget<Color = BinaryColor>>(face: &Face, target: &mut D) -> Result<(), D::Error> {
    target.clear(BinaryColor::Off)?;
    small::draw(face, &mut Pen::new(target, 1))
}

/// Draws `face` on a display of 320 × 240 pixels.
///
/// # Errors
/// The target's own.
pub fn color<D: DrawTarget<Color = Rgb565>>(face: &Face, target: &mut D) -> Result<(), D::Error> {
    target.clear(Rgb565::new(0, 0, 0))?;
    large::draw(face, &mut Pen::new(target, 2))
}

#[cfg(test)]
mod tests;
