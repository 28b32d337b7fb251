//! Which pixels of a canvas go by which universe.

use core::convert::Infallible;
use core::ops::Range;

use crate::floor::Canvas;
use crate::floor::block::Output;
use crate::limits;
use crate::paint::{RowTarget, Span};

/// Pixels of one universe: three slots each, red first; the last two slots stay unused.
pub const UNIVERSE_PIXELS: u32 = 170;

/// A canvas as a strip of pixels, row after row, that fills universe after universe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Strip {
    first: u16,
    width_px: u16,
    height_px: u16,
}

impl Strip {
    /// The strip of a canvas; `None` when it is none, when it goes by rows, or when its universes would pass 63999.
    pub fn of(canvas: &Canvas) -> Option<Self> {
        let Output::Direct { first_universe: first @ 1.. } = canvas.output else { return None };
        let strip = Self { first, width_px: canvas.width_px, height_px: canvas.height_px };
        let last = u32::from(first) + strip.pixels().div_ceil(UNIVERSE_PIXELS);
        (strip.pixels() > 0 && last <= u32::from(limits::UNIVERSE_MAX) + 1).then_some(strip)
    }

    /// Its first universe.
    pub const fn first(self) -> u16 {
        self.first
    }

    const fn pixels(self) -> u32 {
        self.width_px as u32 * self.height_px as u32
    }

    /// Number of its universes, at least 1.
    pub const fn universes(self) -> u16 {
        // `of` has seen to it that this fits.
        self.pixels().div_ceil(UNIVERSE_PIXELS) as u16
    }

    /// Part `index` of the strip; `None` past its end.
    pub fn part(self, index: u16) -> Option<Part> {
        let first = u32::from(index) * UNIVERSE_PIXELS;
        let end = (first + UNIVERSE_PIXELS).min(self.pixels());
        (first < end).then_some(Part { strip: self, universe: self.first + index, first, end })
    }
}

/// The pixels of one universe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    strip: Strip,
    /// The universe.
    pub universe: u16,
    /// First pixel, and the one after the last, counted along the strip.
    first: u32,
    end: u32,
}

impl Part {
    /// Number of its slots.
    pub const fn slots(&self) -> usize {
        3 * (self.end - self.first) as usize
    }

    /// True when a rectangle of the canvas has pixels in it.
    pub fn meets(&self, columns: Range<u32>, rows: Range<u32>) -> bool {
        let (own, width) = (self.rows(), u32::from(self.strip.width_px).max(1));
        let shared = rows.start < own.end.into() && u32::from(own.start) < rows.end;
        // Of several rows some are whole, or the last of one meets the first of the next: not worth telling apart.
        let row = u32::from(own.start) * width;
        shared && (own.len() > 1 || (columns.start < self.end - row && self.first - row < columns.end))
    }

    /// Rows of the canvas that have pixels in it.
    pub fn rows(&self) -> Range<u16> {
        let width = u32::from(self.strip.width_px).max(1);
        let row = |pixel: u32| u16::try_from(pixel / width).unwrap_or(u16::MAX);
        row(self.first)..row(self.end - 1).saturating_add(1)
    }
}

/// Takes painted rows in any order and keeps the pixels of one universe: colours are premultiplied, so what lies under
/// them is black.
#[derive(Debug)]
pub struct Pixels<'b> {
    part: Part,
    slots: &'b mut [u8],
    /// First pixel of the row in work, along the strip.
    row: u32,
}

impl<'b> Pixels<'b> {
    /// Fills `slots` with the pixels of `part`; black until painted.
    pub fn new(part: Part, slots: &'b mut [u8]) -> Self {
        slots.fill(0);
        Self { part, slots, row: 0 }
    }
}

impl RowTarget for Pixels<'_> {
    type Error = Infallible;

    fn begin_row(&mut self, row: u16, _start: u16, _end: u16) -> Result<(), Infallible> {
        self.row = u32::from(row) * u32::from(self.part.strip.width_px);
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        // Places in the part, cut to it.
        let place = |x: u16| (self.row + u32::from(x)).clamp(self.part.first, self.part.end) - self.part.first;
        let (start, end) = (3 * place(span.start) as usize, 3 * place(span.end) as usize);
        let run = self.slots.get_mut(start..end).unwrap_or(&mut []);
        let (pixels, _) = run.as_chunks_mut::<3>();
        pixels.fill([span.color.r, span.color.g, span.color.b]);
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}
