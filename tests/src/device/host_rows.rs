//! The host's rows of a view, by the same memory sizes as the box's.

use std::convert::Infallible;

use underfoot_core::device::Memory;
use underfoot_core::device::picture::{self, Canvases, Picture};
use underfoot_core::look::View;
use underfoot_core::paint::{RowTarget, Span};
use underfoot_core::ports::RowPort;
use underfoot_core::show::Show;

use super::rig::Row;

/// Keeps rows span by span.
#[derive(Debug, Default)]
struct Keep(Vec<Row>);

impl RowTarget for Keep {
    type Error = Infallible;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Infallible> {
        self.0.push((row, start, end, Vec::new()));
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        if let Some(row) = self.0.last_mut() {
            row.3.push(span);
        }
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

impl RowPort for Keep {
    fn begin_frame(&mut self, _canvas: u8, _width_px: u16, _height_px: u16) -> Result<(), Infallible> {
        Ok(())
    }

    fn end_frame(&mut self) -> Result<(), Infallible> {
        Ok(())
    }

    fn blank(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

/// Rows of all blocks of all canvases, and their checksum as the rig works it out; `None` when the view needs more
/// memory than the box has.
pub fn rows(show: &Show, view: &View, memory: &mut Memory) -> Option<(Vec<Row>, u32)> {
    let Memory { scene, work, .. } = memory;
    let mut keep = Keep::default();
    let crc = picture::paint(show, Canvases::All, view, (scene, work.painter()), &mut keep).ok()?;
    Some((keep.0, crc))
}

/// The same rows given in stretches of `effort`, their checksum, and the number of stretches.
pub fn rows_in_stretches(show: &Show, view: &View, memory: &mut Memory, effort: u32) -> Option<(Vec<Row>, u32, usize)> {
    let Memory { scene, work, .. } = memory;
    let (mut keep, mut picture) = (Keep::default(), Picture::new(Canvases::All, *view));
    for stretches in 1.. {
        if let Some(crc) = picture.stretch(show, (scene, work.painter()), effort, &mut keep).ok()? {
            return Some((keep.0, crc, stretches));
        }
    }
    None
}
