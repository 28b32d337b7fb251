//! The LEDs of a simulated box: what the rows that it sent show.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::convert::Infallible;
use std::rc::Rc;

use underfoot_core::paint::{RowTarget, Span};
use underfoot_core::ports::RowPort;

use crate::render::{CanvasPixels, Picture};

/// Dark pixels between two canvases.
const GAP: usize = 8;

/// The LEDs of all canvases that a box paints. Clones are the same LEDs.
#[derive(Clone, Debug, Default)]
pub struct Leds(Rc<RefCell<Floor>>);

#[derive(Debug, Default)]
struct Floor {
    shown: BTreeMap<u8, CanvasPixels>,
    /// The frame on its way, and its canvas.
    coming: Option<(u8, CanvasPixels)>,
    changes: u64,
}

impl Leds {
    /// Goes up with every frame, and with every blank.
    pub fn changes(&self) -> u64 {
        self.0.borrow().changes
    }

    /// Pixels that are lit.
    pub fn lit(&self) -> usize {
        let floor = self.0.borrow();
        floor.shown.values().map(|canvas| canvas.pixels().iter().filter(|p| p.r | p.g | p.b > 0).count()).sum()
    }

    /// What is lit, canvas below canvas, over black; one black pixel for a floor that was never lit.
    pub fn picture(&self) -> Picture {
        let floor = self.0.borrow();
        let wide = floor.shown.values().map(CanvasPixels::width).max().unwrap_or(1);
        let tall: usize = floor.shown.values().map(|canvas| canvas.height() + GAP).sum();
        let mut picture = Picture::new(wide, tall.saturating_sub(GAP).max(1), [0; 3]);
        let mut top = 0;
        for canvas in floor.shown.values() {
            for (i, color) in canvas.pixels().iter().enumerate() {
                if let Some(pixel) = picture.at_mut(i % canvas.width(), top + i / canvas.width()) {
                    *pixel = [color.r, color.g, color.b];
                }
            }
            top += canvas.height() + GAP;
        }
        picture
    }
}

impl RowTarget for Leds {
    type Error = Infallible;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Infallible> {
        self.0.borrow_mut().coming.as_mut().map_or(Ok(()), |(_, canvas)| canvas.begin_row(row, start, end))
    }

    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        self.0.borrow_mut().coming.as_mut().map_or(Ok(()), |(_, canvas)| canvas.span(span))
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

impl RowPort for Leds {
    fn begin_frame(&mut self, canvas: u8, width_px: u16, height_px: u16) -> Result<(), Infallible> {
        let pixels = CanvasPixels::sized(width_px.into(), height_px.into());
        self.0.borrow_mut().coming = Some((canvas, pixels));
        Ok(())
    }

    fn end_frame(&mut self) -> Result<(), Infallible> {
        let mut floor = self.0.borrow_mut();
        if let Some((canvas, pixels)) = floor.coming.take() {
            floor.shown.insert(canvas, pixels);
            floor.changes += 1;
        }
        Ok(())
    }

    fn blank(&mut self) -> Result<(), Infallible> {
        let mut floor = self.0.borrow_mut();
        floor.coming = None;
        for canvas in floor.shown.values_mut() {
            *canvas = CanvasPixels::sized(canvas.width(), canvas.height());
        }
        floor.changes += 1;
        Ok(())
    }
}
