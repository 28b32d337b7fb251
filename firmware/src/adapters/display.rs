//! Any `embedded-graphics` target of the core's large size as a panel's display.

use embedded_graphics_core::draw_target::DrawTarget;
use embedded_graphics_core::pixelcolor::Rgb565;
use underfoot_core::panel::{Face, display};

use super::panel::Shows;

/// A colour display. What its driver refuses is dropped: the next face draws everything anew.
#[derive(Debug)]
pub struct ColorDisplay<D>(pub D);

impl<D: DrawTarget<Color = Rgb565>> Shows for ColorDisplay<D> {
    fn show(&mut self, face: &Face) {
        let _ = display::color(face, &mut self.0);
    }
}
