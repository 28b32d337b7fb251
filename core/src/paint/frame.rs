//! A whole picture in memory: what the desk writes to files. The box never holds one.

use core::convert::Infallible;

use super::{Rgba, RowTarget, Span};

/// A picture of `width` pixels a row, over memory that the caller lends.
#[derive(Debug)]
pub struct Frame<'p> {
    pixels: &'p mut [Rgba],
    width: usize,
    /// Index of the current row's first pixel.
    row: usize,
}

impl<'p> Frame<'p> {
    /// A picture over `pixels`, row by row; `None` when `width` is zero or does not divide them.
    pub fn new(pixels: &'p mut [Rgba], width: u16) -> Option<Self> {
        let width = usize::from(width);
        (width > 0 && pixels.len().is_multiple_of(width)).then_some(Self { pixels, width, row: 0 })
    }

    #[inline]
    fn fill(&mut self, start: u16, end: u16, color: Rgba) {
        // The painter stays inside its block; what leaves the picture all the same is dropped.
        let end = usize::from(end).min(self.width);
        match self.pixels.get_mut(self.row + usize::from(start)..self.row + end) {
            // Most spans are the one pixel of an edge.
            Some([pixel]) => *pixel = color,
            Some(run) => run.fill(color),
            None => {}
        }
    }
}

impl RowTarget for Frame<'_> {
    type Error = Infallible;

    /// Clears the row in one go: it is then in the cache for the spans, and gaps need no work.
    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Infallible> {
        self.row = usize::from(row) * self.width;
        self.fill(start, end, Rgba::CLEAR);
        Ok(())
    }

    #[inline]
    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        self.fill(span.start, span.end, span.color);
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}
