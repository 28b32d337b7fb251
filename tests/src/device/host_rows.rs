//! The host's rows of a view, by the same memory sizes as the box's.

use std::convert::Infallible;

use underfoot_core::device::{Memory, Witness};
use underfoot_core::look::{View, compose};
use underfoot_core::paint::{RowTarget, Span, paint_block};
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

/// Rows of all blocks of all canvases, and their checksum as the rig works it out; `None` when the view needs more
/// memory than the box has.
pub fn rows(show: &Show, view: &View, memory: &mut Memory) -> Option<(Vec<Row>, u32)> {
    let Memory { scene, work, .. } = memory;
    let mut keep = Keep::default();
    let mut witness = Witness::new(&mut keep, 0);
    for canvas in 0..show.canvases.len() {
        let mut scene = scene.scene();
        compose(show, &View { canvas: Some(canvas as u8), ..*view }, &mut scene).ok()?;
        for block in show.blocks_of(canvas) {
            paint_block(&scene, block, 0..u16::MAX, &mut work.work(), &mut witness).ok()?;
        }
    }
    let crc = witness.finish();
    Some((keep.0, crc))
}
