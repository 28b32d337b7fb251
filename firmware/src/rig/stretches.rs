//! A picture in stretches, timed stretch by stretch: what the keys may have to wait for.

use core::convert::Infallible;

use underfoot_core::device::Memory;
use underfoot_core::device::picture::{Canvases, Picture};
use underfoot_core::look::View;
use underfoot_core::paint::{Rgba, RowTarget, Span};
use underfoot_core::ports::RowPort;

use super::command::Stretches;
use crate::drivers::{clock::Clock, stack};
use crate::rows::{LINE_PX, LineBuffer, Shift};

/// Has the row in memory, as a transfer would need it, and notes when the first one with light in it was there.
struct Timed<'c> {
    clock: &'c Clock,
    /// Ticks then.
    lit: Option<u32>,
    /// Rows so far.
    rows: u32,
}

impl Shift for Timed<'_> {
    fn shift(&mut self, _: u16, _: u16, pixels: &[Rgba]) {
        let pixels = core::hint::black_box(pixels);
        self.rows += 1;
        if self.lit.is_none() && pixels.iter().any(|pixel| pixel.a > 0) {
            self.lit = Some(self.clock.raw());
        }
    }
    fn dark(&mut self) {}
}

/// Passes rows on and notes that a frame was begun.
struct Port<'b, 'c> {
    line: LineBuffer<'b, Timed<'c>>,
    began: bool,
}

impl RowTarget for Port<'_, '_> {
    type Error = Infallible;
    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Infallible> {
        self.line.begin_row(row, start, end)
    }
    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        self.line.span(span)
    }
    fn end_row(&mut self) -> Result<(), Infallible> {
        self.line.end_row()
    }
}

impl RowPort for Port<'_, '_> {
    fn begin_frame(&mut self, canvas: u8, width_px: u16, height_px: u16) -> Result<(), Infallible> {
        self.began = true;
        self.line.begin_frame(canvas, width_px, height_px)
    }
    fn end_frame(&mut self) -> Result<(), Infallible> {
        self.line.end_frame()
    }
    fn blank(&mut self) -> Result<(), Infallible> {
        self.line.blank()
    }
}

/// Paints all canvases of `view` in stretches of `effort`.
#[inline(never)]
pub(super) fn paint(
    memory: &mut Memory,
    (view, effort): (&View, u32),
    line: &mut [Rgba; LINE_PX],
    clock: &Clock,
) -> Stretches {
    let mut port = Port { line: LineBuffer::new(line, Timed { clock, lit: None, rows: 0 }), began: false };
    let (start, mut answer) = (clock.raw(), Stretches::default());
    let Memory { show, scene, work, .. } = memory;
    let mut picture = Picture::new(Canvases::All, *view);
    let mut whole = None;
    while whole.is_none() && answer.stretches < u32::MAX {
        port.began = false;
        let rows = port.line.shift().rows;
        let from = clock.raw();
        let Ok(done) = picture.stretch(show, (scene, work.painter()), effort, &mut port) else { break };
        let ticks = from.wrapping_sub(clock.raw());
        whole = done;
        answer.stretches += 1;
        answer.total_ticks = answer.total_ticks.wrapping_add(ticks);
        let slot = match (port.began, port.line.shift().rows > rows) {
            (true, _) => &mut answer.compose_ticks,
            (false, false) => &mut answer.edges_ticks,
            (false, true) => &mut answer.rows_ticks,
        };
        *slot = (*slot).max(ticks);
    }
    answer.crc = whole.unwrap_or(0);
    answer.lit_ticks = port.line.shift().lit.map_or(0, |lit| start.wrapping_sub(lit));
    answer.stack = stack::deepest();
    answer
}
