//! A whole picture in memory: what the desk writes to files. The box never holds one.

use core::convert::Infallible;

use super::{Rgba, RowTarget, Span};

/// A picture of `width` pixels a row. Rows outside it are refused by [`Frame::new`]'s caller choosing the size.
#[derive(Debug)]
pub struct Frame<'p> {
    pixels: &'p mut [Rgba],
    width: usize,
    row: usize,
    next: usize,
    end: usize,
}

impl<'p> Frame<'p> {
    /// A picture over `pixels`, row by row; `None` when `width` is zero or does not divide them.
    pub fn new(pixels: &'p mut [Rgba], width: u16) -> Option<Self> {
        let width = usize::from(width);
        (width > 0 && pixels.len().is_multiple_of(width)).then_some(Self { pixels, width, row: 0, next: 0, end: 0 })
    }

    fn fill(&mut self, end: usize, color: Rgba) {
        let (from, to) = (self.row + self.next, self.row + end.min(self.width));
        if let Some(run) = self.pixels.get_mut(from..to) {
            run.fill(color);
        }
        self.next = end;
    }
}

impl RowTarget for Frame<'_> {
    type Error = Infallible;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Infallible> {
        self.row = usize::from(row) * self.width;
        (self.next, self.end) = (start.into(), end.into());
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        self.fill(span.start.into(), Rgba::CLEAR);
        self.fill(span.end.into(), span.color);
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        self.fill(self.end, Rgba::CLEAR);
        Ok(())
    }
}
