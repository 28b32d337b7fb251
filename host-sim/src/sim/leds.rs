//! The LEDs of a simulated box: what the rows and the tapes that it sent show.

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
    /// Tapes by their first universe, each one row of pixels.
    tapes: BTreeMap<u16, Vec<[u8; 3]>>,
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
        let rows = floor.shown.values().flat_map(CanvasPixels::pixels).map(|p| [p.r, p.g, p.b]);
        rows.chain(floor.tapes.values().flatten().copied()).filter(|pixel| *pixel != [0; 3]).count()
    }

    /// What one canvas shows now; `None` for one that was never lit by rows.
    pub fn canvas(&self, canvas: u8) -> Option<CanvasPixels> {
        self.0.borrow().shown.get(&canvas).cloned()
    }

    /// A tape shows these pixels; none takes it away.
    pub(super) fn tape(&self, universe: u16, pixels: &[[u8; 3]]) {
        let mut floor = self.0.borrow_mut();
        let old = floor.tapes.insert(universe, pixels.to_vec());
        floor.changes += u64::from(old.as_deref() != Some(pixels));
        floor.tapes.retain(|_, tape| !tape.is_empty());
    }

    /// The power of the tapes is cut.
    pub fn cut_tapes(&self) {
        let mut floor = self.0.borrow_mut();
        floor.tapes.clear();
        floor.changes += 1;
    }

    /// What is lit, canvas below canvas and then tape below tape, over black; one black pixel for a floor that was never lit.
    pub fn picture(&self) -> Picture {
        let floor = self.0.borrow();
        let widths = floor.shown.values().map(CanvasPixels::width).chain(floor.tapes.values().map(Vec::len));
        let wide = widths.max().unwrap_or(1);
        let rows: usize = floor.shown.values().map(|canvas| canvas.height() + GAP).sum();
        let tall = rows + floor.tapes.len() * (1 + GAP);
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
        for tape in floor.tapes.values() {
            for (x, pixel) in tape.iter().enumerate() {
                if let Some(to) = picture.at_mut(x, top) {
                    *to = *pixel;
                }
            }
            top += 1 + GAP;
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
