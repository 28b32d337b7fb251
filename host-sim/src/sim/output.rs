//! The LEDs of a simulated box: what they showed, and from when on.

use std::cell::RefCell;
use std::convert::Infallible;
use std::rc::Rc;

use underfoot_core::checksum::CRC;
use underfoot_core::paint::{RowTarget, Span};
use underfoot_core::ports::RowPort;
use underfoot_core::units::Instant;

/// What one canvas shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Since when.
    pub from: Instant,
    /// Number of the canvas.
    pub canvas: u8,
    /// Checksum of its rows; `None` for dark.
    pub picture: Option<u32>,
}

/// The LEDs of one box. Clones look at the same LEDs.
#[derive(Clone, Debug, Default)]
pub struct Output(Rc<RefCell<Leds>>);

#[derive(Debug, Default)]
struct Leds {
    now: Instant,
    history: Vec<Shown>,
    canvas: u8,
    rows: Vec<u8>,
}

impl Output {
    /// Lets it be `now`.
    pub fn set_time(&self, now: Instant) {
        self.0.borrow_mut().now = now;
    }

    /// All changes so far, oldest first.
    pub fn history(&self) -> Vec<Shown> {
        self.0.borrow().history.clone()
    }

    /// The picture on a canvas now; `None` for dark.
    pub fn picture(&self, canvas: u8) -> Option<u32> {
        self.0.borrow().picture(canvas)
    }

    /// The power of the LEDs goes away: they are dark.
    pub fn cut(&self) {
        self.0.borrow_mut().darken();
    }
}

impl Leds {
    fn picture(&self, canvas: u8) -> Option<u32> {
        self.history.iter().rev().find(|shown| shown.canvas == canvas).and_then(|shown| shown.picture)
    }

    fn show(&mut self, canvas: u8, picture: Option<u32>) {
        if self.picture(canvas) != picture {
            self.history.push(Shown { from: self.now, canvas, picture });
        }
    }

    fn darken(&mut self) {
        let canvases: Vec<u8> = self.history.iter().map(|shown| shown.canvas).collect();
        canvases.into_iter().for_each(|canvas| self.show(canvas, None));
    }
}

impl RowTarget for Output {
    type Error = Infallible;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Infallible> {
        self.0.borrow_mut().rows.extend([row, start, end].iter().flat_map(|number| number.to_le_bytes()));
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        let rows = &mut self.0.borrow_mut().rows;
        rows.extend([span.start, span.end].iter().flat_map(|number| number.to_le_bytes()));
        rows.extend([span.color.r, span.color.g, span.color.b, span.color.a]);
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

impl RowPort for Output {
    fn begin_frame(&mut self, canvas: u8, _width_px: u16, _height_px: u16) -> Result<(), Infallible> {
        let mut leds = self.0.borrow_mut();
        leds.canvas = canvas;
        leds.rows.clear();
        Ok(())
    }

    fn end_frame(&mut self) -> Result<(), Infallible> {
        let mut leds = self.0.borrow_mut();
        let (canvas, picture) = (leds.canvas, CRC.checksum(&leds.rows));
        leds.show(canvas, Some(picture));
        Ok(())
    }

    fn blank(&mut self) -> Result<(), Infallible> {
        self.0.borrow_mut().darken();
        Ok(())
    }
}
