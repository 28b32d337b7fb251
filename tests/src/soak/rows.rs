//! The LEDs of the soaked box: no picture is kept, only when it came.

use std::cell::RefCell;
use std::convert::Infallible;
use std::rc::Rc;

use underfoot_core::paint::{RowTarget, Span};
use underfoot_core::ports::RowPort;
use underfoot_core::units::Instant;

/// The way to the LEDs, with a look at the clock. Clones are the same way.
#[derive(Clone, Debug, Default)]
pub struct Floor(Rc<RefCell<Rows>>);

/// When what came.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Rows {
    now: Instant,
    /// The frame in work, or the last one, was begun.
    pub begun: Instant,
    /// Its first row.
    pub row: Option<Instant>,
    /// It was whole.
    pub whole: Option<Instant>,
    /// Everything was made dark last.
    pub blank: Option<Instant>,
}

impl Floor {
    /// Lets it be `now`.
    pub fn set_time(&self, now: Instant) {
        self.0.borrow_mut().now = now;
    }

    /// True while rows were put out after everything was made dark last.
    pub fn is_lit(&self) -> bool {
        let rows = self.rows();
        rows.whole.is_some_and(|whole| rows.blank.is_none_or(|blank| whole >= blank))
    }

    /// When what came.
    pub fn rows(&self) -> Rows {
        *self.0.borrow()
    }
}

impl RowTarget for Floor {
    type Error = Infallible;

    fn begin_row(&mut self, _row: u16, _start: u16, _end: u16) -> Result<(), Infallible> {
        let mut rows = self.0.borrow_mut();
        rows.row = rows.row.or(Some(rows.now));
        Ok(())
    }

    fn span(&mut self, _span: Span) -> Result<(), Infallible> {
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

impl RowPort for Floor {
    fn begin_frame(&mut self, _canvas: u8, _width_px: u16, _height_px: u16) -> Result<(), Infallible> {
        let mut rows = self.0.borrow_mut();
        (rows.begun, rows.row, rows.whole) = (rows.now, None, None);
        Ok(())
    }

    fn end_frame(&mut self) -> Result<(), Infallible> {
        let mut rows = self.0.borrow_mut();
        rows.whole = Some(rows.now);
        Ok(())
    }

    fn blank(&mut self) -> Result<(), Infallible> {
        let mut rows = self.0.borrow_mut();
        rows.blank = Some(rows.now);
        Ok(())
    }
}
