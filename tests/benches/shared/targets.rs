//! Row targets that cost as little as they can.

use std::convert::Infallible;
use std::hint::black_box;

use underfoot_core::floor::Block;
use underfoot_core::paint::{DeskWork, Frame, Rgba, RowTarget, Scene, Span, paint_block};

/// Painter's memory, large enough for every floor here.
pub(crate) type Work = DeskWork;

/// Takes the runs and writes no pixel: what finding the runs costs.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct RunCounter {
    /// Runs taken.
    pub(crate) runs: u64,
    /// Pixels they cover.
    pub(crate) pixels: u64,
}

impl RowTarget for RunCounter {
    type Error = Infallible;

    fn begin_row(&mut self, _row: u16, _start: u16, _end: u16) -> Result<(), Infallible> {
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        self.runs += 1;
        self.pixels += u64::from(span.end - span.start);
        black_box(span.color);
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

/// Finds the runs of all rows.
pub(crate) fn runs_alone(scene: &Scene<'_>, block: &Block, work: &mut Work) -> RunCounter {
    let mut counter = RunCounter::default();
    paint_block(scene, block, 0..block.height_px, &mut work.work(), &mut counter).expect("room to paint");
    counter
}

/// Paints `rows` into a whole premultiplied picture.
pub(crate) fn frame(
    scene: &Scene<'_>,
    block: &Block,
    rows: core::ops::Range<u16>,
    work: &mut Work,
    pixels: &mut [Rgba],
) {
    let mut frame = Frame::new(pixels, block.width_px).expect("whole rows");
    paint_block(scene, block, rows, &mut work.work(), &mut frame).expect("room to paint");
}
