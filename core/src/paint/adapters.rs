//! Row targets that change what passes through: clip, shift, dim, matte.
//!
//! Special outputs are wrappers round a target, never flags inside the painter.

use core::ops::Range;

use super::{Rgba, RowTarget, Span};

/// Lets only a rectangle of the canvas through.
#[derive(Debug)]
pub struct Clip<T> {
    target: T,
    columns: Range<u16>,
    rows: Range<u16>,
    open: bool,
}

impl<T: RowTarget> Clip<T> {
    /// Passes pixels of `columns` in `rows` on to `target`.
    pub const fn new(target: T, columns: Range<u16>, rows: Range<u16>) -> Self {
        Self { target, columns, rows, open: false }
    }
}

impl<T: RowTarget> RowTarget for Clip<T> {
    type Error = T::Error;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), T::Error> {
        let (start, end) = (start.max(self.columns.start), end.min(self.columns.end));
        self.open = self.rows.contains(&row) && start < end;
        if self.open { self.target.begin_row(row, start, end) } else { Ok(()) }
    }

    fn span(&mut self, span: Span) -> Result<(), T::Error> {
        let (start, end) = (span.start.max(self.columns.start), span.end.min(self.columns.end));
        if self.open && start < end { self.target.span(Span { start, end, ..span }) } else { Ok(()) }
    }

    fn end_row(&mut self) -> Result<(), T::Error> {
        if self.open { self.target.end_row() } else { Ok(()) }
    }
}

/// Moves everything right and down. The caller sees to it that nothing passes pixel 65,535.
#[derive(Debug)]
pub struct Shift<T> {
    target: T,
    right: i32,
    down: i32,
}

impl<T: RowTarget> Shift<T> {
    /// Moves by `right` and `down` pixels; what would leave the canvas on the left or at the top sticks to its edge.
    pub const fn new(target: T, right: i32, down: i32) -> Self {
        Self { target, right, down }
    }

    fn moved(&self, x: u16) -> u16 {
        (i32::from(x) + self.right).clamp(0, u16::MAX.into()) as u16
    }
}

impl<T: RowTarget> RowTarget for Shift<T> {
    type Error = T::Error;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), T::Error> {
        let row = (i32::from(row) + self.down).clamp(0, u16::MAX.into()) as u16;
        self.target.begin_row(row, self.moved(start), self.moved(end))
    }

    fn span(&mut self, span: Span) -> Result<(), T::Error> {
        let (start, end) = (self.moved(span.start), self.moved(span.end));
        if start < end { self.target.span(Span { start, end, ..span }) } else { Ok(()) }
    }

    fn end_row(&mut self) -> Result<(), T::Error> {
        self.target.end_row()
    }
}

/// Changes every colour by a plain function: the common part of [`dim`] and [`matte`].
#[derive(Debug)]
pub struct Recolor<T, F> {
    target: T,
    change: F,
}

/// A target that shows everything at `level` of 255 drive with unchanged cover.
pub const fn dim<T: RowTarget>(target: T, level: u8) -> Recolor<T, Dim> {
    Recolor { target, change: Dim(level) }
}

/// A target that shows cover instead of colour, as opaque grey: the key beside a colour picture.
pub const fn matte<T: RowTarget>(target: T) -> Recolor<T, Matte> {
    Recolor { target, change: Matte }
}

/// A change of colour.
pub trait ColorChange {
    /// The colour that takes the place of `color`.
    fn apply(&self, color: Rgba) -> Rgba;
}

/// Drive scaled to a level; see [`dim`].
#[derive(Clone, Copy, Debug)]
pub struct Dim(u8);

/// Cover as grey; see [`matte`].
#[derive(Clone, Copy, Debug)]
pub struct Matte;

impl ColorChange for Dim {
    fn apply(&self, color: Rgba) -> Rgba {
        color.dimmed(self.0)
    }
}

impl ColorChange for Matte {
    fn apply(&self, color: Rgba) -> Rgba {
        Rgba::opaque(color.a, color.a, color.a)
    }
}

impl<T: RowTarget, F: ColorChange> RowTarget for Recolor<T, F> {
    type Error = T::Error;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), T::Error> {
        self.target.begin_row(row, start, end)
    }

    fn span(&mut self, span: Span) -> Result<(), T::Error> {
        self.target.span(Span { color: self.change.apply(span.color), ..span })
    }

    fn end_row(&mut self) -> Result<(), T::Error> {
        self.target.end_row()
    }
}

impl<T: RowTarget> RowTarget for &mut T {
    type Error = T::Error;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), T::Error> {
        (**self).begin_row(row, start, end)
    }

    fn span(&mut self, span: Span) -> Result<(), T::Error> {
        (**self).span(span)
    }

    fn end_row(&mut self) -> Result<(), T::Error> {
        (**self).end_row()
    }
}

#[cfg(test)]
mod tests {
    use std::vec;
    use std::vec::Vec;

    use super::*;

    #[derive(Default)]
    struct Log(Vec<(u16, Span)>, u16);

    impl RowTarget for Log {
        type Error = core::convert::Infallible;
        fn begin_row(&mut self, row: u16, _: u16, _: u16) -> Result<(), Self::Error> {
            self.1 = row;
            Ok(())
        }
        fn span(&mut self, span: Span) -> Result<(), Self::Error> {
            self.0.push((self.1, span));
            Ok(())
        }
        fn end_row(&mut self) -> Result<(), Self::Error> {
            Ok(())
        }
    }

    const INK: Rgba = Rgba { r: 100, g: 50, b: 10, a: 200 };

    fn feed(mut target: impl RowTarget) {
        for row in 0..4 {
            let span = Span { start: 2, end: 9, color: INK };
            let done = target.begin_row(row, 0, 10).and_then(|()| target.span(span)).and_then(|()| target.end_row());
            assert!(done.is_ok());
        }
    }

    #[test]
    fn clip_cuts_rows_and_columns() {
        let mut log = Log::default();
        feed(Clip::new(&mut log, 4..6, 1..3));
        let span = Span { start: 4, end: 6, color: INK };
        assert_eq!(log.0, vec![(1, span), (2, span)]);
    }

    #[test]
    fn shift_moves_and_drops_what_leaves() {
        let mut log = Log::default();
        feed(Shift::new(Clip::new(&mut log, 0..100, 0..11), -5, 10));
        assert_eq!(log.0, vec![(10, Span { start: 0, end: 4, color: INK })]);
        let mut gone = Log::default();
        feed(Shift::new(&mut gone, -20, 0));
        assert!(gone.0.is_empty());
    }

    #[test]
    fn dim_keeps_cover_and_matte_shows_it() {
        let mut log = Log::default();
        feed(Clip::new(dim(&mut log, 128), 0..10, 0..1));
        assert_eq!(log.0[0].1.color, Rgba { r: 50, g: 25, b: 5, a: 200 });
        let mut log = Log::default();
        feed(Clip::new(matte(&mut log), 0..10, 0..1));
        assert_eq!(log.0[0].1.color, Rgba::opaque(200, 200, 200));
    }
}
