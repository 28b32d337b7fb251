//! The line buffer: one row of pixels as a panel driver's transfer sends it.

use core::convert::Infallible;
use core::ops::Range;

use heapless::Vec;
use underfoot_core::paint::{Rgba, RowTarget, Span};
use underfoot_core::ports::RowPort;

/// Pixels of the longest row of one block.
pub const LINE_PX: usize = underfoot_core::limits::BOX_COLUMNS;
/// Separate painted stretches of a row that are told apart.
const PAINTED: usize = 64;

/// Sends one finished row to the LEDs.
pub trait Shift {
    /// Rows of a new picture of a canvas follow.
    fn begin(&mut self) {}

    /// Sends row `row`, whose first pixel is canvas column `start`.
    fn shift(&mut self, row: u16, start: u16, pixels: &[Rgba]);

    /// Makes every LED dark.
    fn dark(&mut self);
}

/// A row port over one line buffer, which holds the pixels of one block's row from its first on.
#[derive(Debug)]
pub struct LineBuffer<'b, S> {
    line: &'b mut [Rgba; LINE_PX],
    shift: S,
    row: u16,
    start: u16,
    end: u16,
    /// What the last row painted, so that clearing costs no more than painting.
    painted: Vec<Range<u16>, PAINTED>,
}

impl<'b, S> LineBuffer<'b, S> {
    /// A row port in `line`, which it clears.
    pub fn new(line: &'b mut [Rgba; LINE_PX], shift: S) -> Self {
        line.fill(Rgba::CLEAR);
        Self { line, shift, row: 0, start: 0, end: 0, painted: Vec::new() }
    }

    /// What sends the rows.
    pub const fn shift(&self) -> &S {
        &self.shift
    }

    fn clear(&mut self) {
        for range in &self.painted {
            if let Some(old) = self.line.get_mut(usize::from(range.start)..usize::from(range.end)) {
                old.fill(Rgba::CLEAR);
            }
        }
        self.painted.clear();
    }

    /// Remembers painted pixels; when there are too many stretches, the last one takes in the gap.
    #[inline]
    fn remember(&mut self, start: u16, end: u16) {
        if let Some(last) = self.painted.last_mut()
            && last.end == start
        {
            last.end = end;
        } else if self.painted.push(start..end).is_err()
            && let Some(last) = self.painted.last_mut()
        {
            last.end = end;
        }
    }
}

impl<S: Shift> RowTarget for LineBuffer<'_, S> {
    type Error = Infallible;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Infallible> {
        self.clear();
        (self.row, self.start, self.end) = (row, start, end);
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        let (start, end) = (span.start.wrapping_sub(self.start), span.end.wrapping_sub(self.start));
        self.remember(start, end);
        match self.line.get_mut(usize::from(start)..usize::from(end)) {
            // Most spans are the one pixel of an edge.
            Some([pixel]) => *pixel = span.color,
            Some(pixels) => pixels.fill(span.color),
            None => {}
        }
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        let (row, start) = (self.row, self.start);
        let pixels = self.line.get(..usize::from(self.end.wrapping_sub(self.start))).unwrap_or(&[]);
        self.shift.shift(row, start, pixels);
        Ok(())
    }
}

impl<S: Shift> RowPort for LineBuffer<'_, S> {
    fn begin_frame(&mut self, _canvas: u8, _width_px: u16, _height_px: u16) -> Result<(), Infallible> {
        self.shift.begin();
        Ok(())
    }

    fn end_frame(&mut self) -> Result<(), Infallible> {
        Ok(())
    }

    fn blank(&mut self) -> Result<(), Infallible> {
        self.shift.dark();
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use std::boxed::Box;
    use std::vec::Vec;

    use super::*;

    #[derive(Default)]
    struct Sent(Vec<(u16, u16, Vec<u8>)>);

    impl Shift for &mut Sent {
        fn shift(&mut self, row: u16, start: u16, pixels: &[Rgba]) {
            self.0.push((row, start, pixels.iter().map(|p| p.a).collect()));
        }
        fn dark(&mut self) {
            self.0.clear();
        }
    }

    #[test]
    fn rows_start_clear_and_hold_their_spans() {
        let (mut sent, mut line) = (Sent::default(), Box::new([Rgba::opaque(1, 1, 1); LINE_PX]));
        let mut port = LineBuffer::new(&mut line, &mut sent);
        let lit = Rgba::opaque(9, 9, 9);
        port.begin_row(4, 2, 8).unwrap();
        port.span(Span { start: 3, end: 5, color: lit }).unwrap();
        port.span(Span { start: 7, end: 8, color: lit }).unwrap();
        port.end_row().unwrap();
        port.begin_row(5, 2, 8).unwrap();
        port.end_row().unwrap();
        assert_eq!(sent.0[0], (4, 2, [0, 255, 255, 0, 0, 255].to_vec()));
        assert_eq!(sent.0[1], (5, 2, [0; 6].to_vec()));
    }
}
