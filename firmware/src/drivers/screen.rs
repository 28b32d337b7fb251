//! A display in the board's external RAM: the MPS2 boards have none that the emulator draws. 320 × 240 pixels of two
//! bytes each, 5-6-5 bits, little-endian, row by row.

use core::convert::Infallible;

use embedded_graphics_core::Pixel;
use embedded_graphics_core::draw_target::DrawTarget;
use embedded_graphics_core::geometry::{OriginDimensions, Size};
use embedded_graphics_core::pixelcolor::{IntoStorage, Rgb565};
use embedded_graphics_core::primitives::Rectangle;
use underfoot_core::panel::display::COLOR;

/// Where it begins, bytes from the start of the external RAM: far behind what stands for flash.
pub const OFFSET: usize = 8 * 1024 * 1024;

/// The display at its base address.
#[derive(Debug)]
pub struct Screen {
    base: *mut u16,
}

impl Screen {
    /// The display in external RAM at `base`.
    ///
    /// # Safety
    /// Two bytes for each pixel from `base` on must be RAM that nothing else uses, and there must be one such display.
    pub const unsafe fn new(base: usize) -> Self {
        Self { base: base as *mut u16 }
    }

    fn set(&mut self, x: u32, y: u32, color: u16) {
        if x < COLOR.width && y < COLOR.height {
            // SAFETY: inside the display, which `new`'s caller vouches for.
            unsafe { self.base.add((y * COLOR.width + x) as usize).write_volatile(color) }
        }
    }
}

impl OriginDimensions for Screen {
    fn size(&self) -> Size {
        COLOR
    }
}

impl DrawTarget for Screen {
    type Color = Rgb565;
    type Error = Infallible;

    fn draw_iter<I: IntoIterator<Item = Pixel<Rgb565>>>(&mut self, pixels: I) -> Result<(), Infallible> {
        for Pixel(at, color) in pixels {
            if let (Ok(x), Ok(y)) = (at.x.try_into(), at.y.try_into()) {
                self.set(x, y, color.into_storage());
            }
        }
        Ok(())
    }

    fn fill_solid(&mut self, area: &Rectangle, color: Rgb565) -> Result<(), Infallible> {
        let inside = area.intersection(&Rectangle::new(Default::default(), COLOR));
        let (left, top) = (inside.top_left.x as u32, inside.top_left.y as u32);
        for y in top..top + inside.size.height {
            let at = (y * COLOR.width + left) as usize;
            // SAFETY: a row inside the display, which `new`'s caller vouches for.
            (at..at + inside.size.width as usize)
                .for_each(|i| unsafe { self.base.add(i).write_volatile(color.into_storage()) });
        }
        Ok(())
    }
}
