//! An opaque picture for people.

use std::convert::Infallible;

use embedded_graphics::Pixel;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{OriginDimensions, Size};
use embedded_graphics::pixelcolor::{Rgb888, RgbColor};

/// An opaque picture, 8 bits a channel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    width: usize,
    height: usize,
    pixels: Vec<[u8; 3]>,
}

impl Picture {
    /// A picture of one colour.
    pub fn new(width: usize, height: usize, color: [u8; 3]) -> Self {
        Self { width, height, pixels: vec![color; width * height] }
    }

    /// Width in pixels.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Height in pixels.
    pub fn height(&self) -> usize {
        self.height
    }

    /// All pixels, row by row.
    pub fn pixels(&self) -> &[[u8; 3]] {
        &self.pixels
    }

    /// The pixel at column `x` of row `y`, for writing; `None` outside.
    pub fn at_mut(&mut self, x: usize, y: usize) -> Option<&mut [u8; 3]> {
        if x < self.width { self.pixels.get_mut(y * self.width + x) } else { None }
    }

    /// Lays `other` with its top left corner at (`x`, `y`); what reaches past an edge is cut.
    pub fn lay(&mut self, other: &Self, x: usize, y: usize) {
        for (row, line) in other.pixels.chunks_exact(other.width.max(1)).enumerate() {
            for (column, &color) in line.iter().enumerate() {
                if let Some(pixel) = self.at_mut(x + column, y + row) {
                    *pixel = color;
                }
            }
        }
    }
}

impl OriginDimensions for Picture {
    fn size(&self) -> Size {
        Size::new(self.width as u32, self.height as u32)
    }
}

impl DrawTarget for Picture {
    type Color = Rgb888;
    type Error = Infallible;

    fn draw_iter<I>(&mut self, pixels: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Pixel<Rgb888>>,
    {
        for Pixel(point, color) in pixels {
            if let (Ok(x), Ok(y)) = (usize::try_from(point.x), usize::try_from(point.y))
                && let Some(pixel) = self.at_mut(x, y)
            {
                *pixel = [color.r(), color.g(), color.b()];
            }
        }
        Ok(())
    }
}
