//! One canvas in memory: what a feed would show.

use std::convert::Infallible;

use underfoot_core::floor::Canvas;
use underfoot_core::paint::{Rgba, RowTarget, Span};

/// The pixels of one canvas, premultiplied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CanvasPixels {
    width: usize,
    height: usize,
    pixels: Vec<Rgba>,
    row: usize,
}

impl CanvasPixels {
    /// A clear canvas.
    pub fn new(canvas: &Canvas) -> Self {
        Self::sized(canvas.width_px.into(), canvas.height_px.into())
    }

    /// A clear canvas of `width` × `height` pixels.
    pub fn sized(width: usize, height: usize) -> Self {
        Self { width, height, pixels: vec![Rgba::CLEAR; width * height], row: 0 }
    }

    /// Width in pixels.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Height in pixels.
    pub fn height(&self) -> usize {
        self.height
    }

    /// The pixel at column `x` of row `y`; clear outside the canvas.
    pub fn at(&self, x: usize, y: usize) -> Rgba {
        if x < self.width && y < self.height { self.pixels[y * self.width + x] } else { Rgba::CLEAR }
    }

    /// All pixels, row by row.
    pub fn pixels(&self) -> &[Rgba] {
        &self.pixels
    }

    /// The rectangle at (`x`, `y`) of `width` × `height` pixels alone, cut at the canvas's edge.
    pub fn cut(&self, x: usize, y: usize, width: usize, height: usize) -> Self {
        let (right, bottom) = ((x + width).min(self.width), (y + height).min(self.height));
        let pixels = (y..bottom).flat_map(|row| (x..right).map(move |column| self.at(column, row))).collect();
        Self { width: right.saturating_sub(x), height: bottom.saturating_sub(y), pixels, row: 0 }
    }
}

impl RowTarget for CanvasPixels {
    type Error = Infallible;

    fn begin_row(&mut self, row: u16, _start: u16, _end: u16) -> Result<(), Infallible> {
        self.row = usize::from(row);
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        let first = self.row * self.width;
        let run = first + usize::from(span.start)..first + usize::from(span.end);
        if let Some(pixels) = self.pixels.get_mut(run) {
            pixels.fill(span.color);
        }
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}
