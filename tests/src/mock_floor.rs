//! A row target that is stricter than any hardware.

use underfoot_core::paint::{Rgba, RowTarget, Span};

/// What a painter did wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// `begin_row` before the last row was ended.
    RowNotEnded,
    /// `span` or `end_row` outside a row.
    NoRow,
    /// A row that is not right below the last one.
    RowOrder {
        /// The row that was due.
        due: u16,
        /// The row that came.
        came: u16,
    },
    /// A row range that is not the block's.
    RowRange(u16, u16),
    /// A span without a pixel.
    Empty(Span),
    /// A span outside the row's range.
    Outside(Span),
    /// A span that starts before the last one's end.
    Overlap(Span),
    /// A span that paints nothing.
    ZeroAlpha(Span),
    /// A channel above alpha.
    NotPremultiplied(Span),
}

/// Keeps what was painted and refuses whatever breaks the contract of [`RowTarget`].
#[derive(Clone, Debug)]
pub struct MockFloor {
    columns: (u16, u16),
    next_row: u16,
    free_from: Option<u16>,
    first_row: u16,
    pixels: Vec<Rgba>,
    /// Runs taken so far.
    pub runs: usize,
}

impl MockFloor {
    /// A floor of the columns `left..right` that expects row `first_row` next.
    pub const fn new(left: u16, right: u16, first_row: u16) -> Self {
        Self { columns: (left, right), next_row: first_row, free_from: None, first_row, pixels: Vec::new(), runs: 0 }
    }

    /// Rows that were painted and ended.
    pub const fn rows(&self) -> core::ops::Range<u16> {
        self.first_row..self.next_row
    }

    /// True between rows.
    pub const fn is_idle(&self) -> bool {
        self.free_from.is_none()
    }

    /// The colour at a canvas place.
    pub fn at(&self, x: u16, y: u16) -> Rgba {
        self.row(y)[usize::from(x - self.columns.0)]
    }

    /// The colours of a canvas row.
    pub fn row(&self, y: u16) -> &[Rgba] {
        let width = usize::from(self.columns.1 - self.columns.0);
        let first = usize::from(y - self.first_row) * width;
        &self.pixels[first..first + width]
    }
}

impl RowTarget for MockFloor {
    type Error = Fault;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Fault> {
        if self.free_from.is_some() {
            return Err(Fault::RowNotEnded);
        }
        if row != self.next_row {
            return Err(Fault::RowOrder { due: self.next_row, came: row });
        }
        if (start, end) != self.columns {
            return Err(Fault::RowRange(start, end));
        }
        self.free_from = Some(start);
        self.pixels.resize(self.pixels.len() + usize::from(end - start), Rgba::CLEAR);
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Fault> {
        let free = self.free_from.ok_or(Fault::NoRow)?;
        let Rgba { r, g, b, a } = span.color;
        let fault = match span {
            s if s.start >= s.end => Some(Fault::Empty(s)),
            s if s.start < self.columns.0 || s.end > self.columns.1 => Some(Fault::Outside(s)),
            s if s.start < free => Some(Fault::Overlap(s)),
            s if a == 0 => Some(Fault::ZeroAlpha(s)),
            s if r.max(g).max(b) > a => Some(Fault::NotPremultiplied(s)),
            _ => None,
        };
        if let Some(fault) = fault {
            return Err(fault);
        }
        let width = usize::from(self.columns.1 - self.columns.0);
        let row = self.pixels.len() - width;
        let (from, to) = (usize::from(span.start - self.columns.0), usize::from(span.end - self.columns.0));
        self.pixels[row + from..row + to].fill(span.color);
        self.free_from = Some(span.end);
        self.runs += 1;
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Fault> {
        self.free_from.take().ok_or(Fault::NoRow)?;
        self.next_row += 1;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(start: u16, end: u16) -> Span {
        Span { start, end, color: Rgba::opaque(9, 9, 9) }
    }

    fn open_row() -> MockFloor {
        let mut floor = MockFloor::new(10, 20, 5);
        floor.begin_row(5, 10, 20).unwrap();
        floor
    }

    #[test]
    fn every_breach_is_named() {
        assert_eq!(open_row().span(span(12, 12)), Err(Fault::Empty(span(12, 12))));
        assert_eq!(open_row().span(span(9, 12)), Err(Fault::Outside(span(9, 12))));
        assert_eq!(open_row().span(span(19, 21)), Err(Fault::Outside(span(19, 21))));
        let thin = Span { color: Rgba::CLEAR, ..span(11, 12) };
        assert_eq!(open_row().span(thin), Err(Fault::ZeroAlpha(thin)));
        let loud = Span { color: Rgba { r: 5, g: 0, b: 0, a: 4 }, ..span(11, 12) };
        assert_eq!(open_row().span(loud), Err(Fault::NotPremultiplied(loud)));
        assert_eq!(open_row().begin_row(6, 10, 20), Err(Fault::RowNotEnded));
        assert_eq!(MockFloor::new(0, 4, 0).end_row(), Err(Fault::NoRow));
        assert_eq!(MockFloor::new(0, 4, 0).span(span(0, 1)), Err(Fault::NoRow));
        assert_eq!(MockFloor::new(0, 4, 3).begin_row(4, 0, 4), Err(Fault::RowOrder { due: 3, came: 4 }));
        assert_eq!(MockFloor::new(0, 4, 3).begin_row(3, 0, 5), Err(Fault::RowRange(0, 5)));
    }

    #[test]
    fn overlap_and_disorder_are_refused_and_neighbours_are_not() {
        let mut floor = open_row();
        floor.span(span(12, 14)).unwrap();
        assert_eq!(floor.span(span(13, 15)), Err(Fault::Overlap(span(13, 15))));
        assert_eq!(floor.span(span(10, 11)), Err(Fault::Overlap(span(10, 11))));
        floor.span(span(14, 20)).unwrap();
        floor.end_row().unwrap();
        assert_eq!((floor.at(11, 5), floor.at(12, 5)), (Rgba::CLEAR, Rgba::opaque(9, 9, 9)));
        assert_eq!(floor.rows(), 5..6);
    }
}
