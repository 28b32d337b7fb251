//! What desks look at: the picture on the floor, its spans, the display.

use core::convert::Infallible;

use embedded_graphics::Pixel;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{OriginDimensions, Point, Size};
use embedded_graphics::pixelcolor::BinaryColor;

use super::hardware::Hardware;
use super::memory::Memory;
use super::works::Works;
use crate::link::bytes::Bytes;
use crate::link::message::{ROWS, SPAN_BYTES, STRIPE};
use crate::link::{Answer, Refusal};
use crate::look::compose;
use crate::look::view_bytes::{view_from_bytes, view_to_bytes};
use crate::paint::{PaintError, RowTarget, Span, paint_block};
use crate::panel::display;
use crate::show::Show;
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// The last whole picture.
    pub(super) fn told_picture(&self, now: Instant) -> Answer {
        // While a picture is in work, the last whole one is what the checksum is of; its view is kept with it.
        let view = self.painting.whole().unwrap_or_else(|| self.floor_view(now));
        let view = Bytes::of(&view_to_bytes(&view)).unwrap_or(Bytes::EMPTY);
        Answer::Picture { crc: self.counts.picture_crc, view }
    }

    /// Spans of a view's rows.
    ///
    /// # Errors
    /// [`Refusal::Busy`] while a picture rests in the painter's memory, and what is wrong with the question.
    pub(super) fn spans(&mut self, view: &[u8], (canvas, row, skip): (u8, u16, u16)) -> Result<Answer, Refusal> {
        let view = view.try_into().ok().and_then(view_from_bytes).ok_or(Refusal::BadValue)?;
        if !self.painting.is_between() {
            return Err(Refusal::Busy);
        }
        self.tapes.displaced();
        let Memory { show, scene, work, .. } = &mut *self.memory;
        let show: &Show = show;
        if usize::from(canvas) >= show.canvases.len() {
            return Err(Refusal::NoSuch);
        }
        let mut scene = scene.scene();
        compose(show, &view.on_canvas(canvas), &mut scene).map_err(|_| Refusal::Unchecked)?;
        let mut some = Chosen { skip, row: 0, bytes: Bytes::EMPTY };
        let rows = row..row.saturating_add(ROWS);
        let mut blocks = show.blocks_of(usize::from(canvas));
        let painted =
            blocks.try_for_each(|b| paint_block(&scene, b, rows.clone(), &mut work.painter().work(), &mut some));
        match painted {
            Ok(()) | Err(PaintError::Target(Enough)) => Ok(Answer::Spans(some.bytes)),
            Err(_) => Err(Refusal::Unchecked),
        }
    }

    /// Rows of the small display.
    pub(super) fn told_display(&self, now: Instant, stripe: u8) -> Result<Answer, Refusal> {
        let top = u32::from(stripe) * u32::from(STRIPE);
        if top >= display::MONO.height {
            return Err(Refusal::BadValue);
        }
        let mut part = Part { top: top as i32, bits: [0; PART_BYTES] };
        let Ok(()) = display::mono(&self.face(now), &mut part);
        Ok(Answer::Display(Bytes::of(&part.bits).unwrap_or(Bytes::EMPTY)))
    }
}

/// The answer is full.
struct Enough;

/// Takes the spans that are asked for.
struct Chosen {
    /// Spans that are still to be left out.
    skip: u16,
    row: u16,
    bytes: Bytes,
}

impl RowTarget for Chosen {
    type Error = Enough;

    fn begin_row(&mut self, row: u16, _start: u16, _end: u16) -> Result<(), Enough> {
        self.row = row;
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Enough> {
        if self.skip > 0 {
            self.skip -= 1;
            return Ok(());
        }
        let ([r0, r1], [s0, s1], [e0, e1]) = (self.row.to_le_bytes(), span.start.to_le_bytes(), span.end.to_le_bytes());
        let c = span.color;
        let bytes: [u8; SPAN_BYTES] = [r0, r1, s0, s1, e0, e1, c.r, c.g, c.b, c.a];
        if self.bytes.push(&bytes) { Ok(()) } else { Err(Enough) }
    }

    fn end_row(&mut self) -> Result<(), Enough> {
        Ok(())
    }
}

/// Bytes of a stripe of the small display.
const PART_BYTES: usize = display::MONO.width as usize / 8 * STRIPE as usize;

/// A stripe of the small display.
struct Part {
    top: i32,
    bits: [u8; PART_BYTES],
}

impl OriginDimensions for Part {
    fn size(&self) -> Size {
        display::MONO
    }
}

impl DrawTarget for Part {
    type Color = BinaryColor;
    type Error = Infallible;

    fn draw_iter<I: IntoIterator<Item = Pixel<BinaryColor>>>(&mut self, pixels: I) -> Result<(), Infallible> {
        let width = display::MONO.width as i32;
        for Pixel(Point { x, y }, color) in pixels {
            let y = y - self.top;
            if !(0..width).contains(&x) || !(0..i32::from(STRIPE)).contains(&y) {
                continue;
            }
            let (byte, bit) = ((y * width + x) as usize / 8, 0x80 >> (x % 8));
            if let Some(byte) = self.bits.get_mut(byte) {
                *byte = if color.is_on() { *byte | bit } else { *byte & !bit };
            }
        }
        Ok(())
    }
}
