//! One row from left to right: changes of cover become spans of resolved colour.

use super::cover::Cover;
use super::events::{Cursor, Events};
use super::{Rgba, RowTarget, Span};

/// Joins neighbouring pixels of one colour and drops clear ones.
struct Joiner<'t, T: RowTarget> {
    target: &'t mut T,
    span: Span,
    origin: i32,
}

impl<T: RowTarget> Joiner<'_, T> {
    #[inline]
    fn push(&mut self, start: i32, end: i32, color: Rgba) -> Result<(), T::Error> {
        let (start, end) = (self.origin.wrapping_add(start) as u16, self.origin.wrapping_add(end) as u16);
        if self.span.color == color && self.span.end == start {
            self.span.end = end;
            return Ok(());
        }
        self.flush()?;
        self.span = Span { start, end, color };
        Ok(())
    }

    #[inline]
    fn flush(&mut self) -> Result<(), T::Error> {
        if self.span.color.a > 0 && self.span.end > self.span.start { self.target.span(self.span) } else { Ok(()) }
    }
}

/// Sweeps the events of one row of `width` pixels whose first is canvas column `origin`; leaves none behind.
pub(super) fn sweep_row<T: RowTarget>(
    events: &mut Events<'_>,
    cover: &mut Cover<'_>,
    (origin, width): (i32, i32),
    target: &mut T,
) -> Result<(), T::Error> {
    let mut out = Joiner { target, span: Span { start: 0, end: 0, color: Rgba::CLEAR }, origin };
    let mut cursor = Cursor::default();
    let (mut px, mut color) = (0, Rgba::CLEAR);
    while let Some((at, first)) = events.take_next(&mut cursor) {
        if at > px {
            out.push(px, at, color)?;
            px = at;
        }
        let mut next = first;
        while let Some((event, after)) = events.event(next) {
            cover.add(event.shape, event.change);
            next = after;
        }
        color = cover.color();
    }
    if px < width {
        out.push(px, width, color)?;
    }
    out.flush()
}
