//! What a painter gives and what a target must take.

use super::Rgba;

/// A half-open run of pixels of one colour in one row: `start` is in, `end` is out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// First pixel.
    pub start: u16,
    /// First pixel after the run.
    pub end: u16,
    /// The resolved premultiplied colour: where light core meets dark keyline inside one pixel, both are in it.
    pub color: Rgba,
}

/// Takes painted rows.
///
/// The painter calls `begin_row`, then `span` for each painted run from left to right (never
/// overlapping, never empty, never with zero alpha, never outside the row's range), then `end_row`.
/// Pixels of the row's range that no span covers are clear. Rows of one block come top to bottom;
/// blocks of one canvas come one after the other and do not overlap.
pub trait RowTarget {
    /// Why a row could not be taken; [`core::convert::Infallible`] for memory.
    type Error;

    /// Starts pixels `start..end` of canvas row `row`.
    ///
    /// # Errors
    /// The target's own.
    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Self::Error>;

    /// Paints one run.
    ///
    /// # Errors
    /// The target's own.
    fn span(&mut self, span: Span) -> Result<(), Self::Error>;

    /// Ends the row.
    ///
    /// # Errors
    /// The target's own.
    fn end_row(&mut self) -> Result<(), Self::Error>;
}
