//! One picture of the floor: view to scene to rows.

use super::memory::{BoxScene, BoxWork};
use super::witness::Witness;
use crate::floor::Canvas;
use crate::look::{View, compose};
use crate::paint::{PaintError, RowTarget, Scene, SceneFull, paint_block};
use crate::ports::RowPort;
use crate::show::Show;

/// Why there is no picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureError<E> {
    /// The scene is full.
    Scene(SceneFull),
    /// The painter stopped.
    Paint(PaintError<E>),
    /// The row port failed.
    Port(E),
}

/// Composes and paints the blocks of each canvas of a controller, frame by frame, and returns the picture's checksum.
/// Controller 0 has all canvases.
///
/// [`View::canvas`] is set for each canvas in turn, whatever it was.
///
/// # Errors
/// [`PictureError`]; the port may have taken some of the rows.
pub fn paint<R: RowPort>(
    show: &Show,
    controller: u8,
    view: &View,
    (scene, work): (&mut BoxScene, &mut BoxWork),
    rows: &mut R,
) -> Result<u32, PictureError<R::Error>> {
    let mut crc = 0;
    let ours = |c: &&Canvas| controller == 0 || c.controller == controller;
    for (canvas, size) in (0..).zip(&show.canvases).filter(|(_, canvas)| ours(canvas)) {
        // One canvas at a time: a large floor's whole scene needs several times the memory.
        let mut scene = scene.scene();
        compose(show, &view.on_canvas(canvas), &mut scene).map_err(PictureError::Scene)?;
        rows.begin_frame(canvas, size.width_px, size.height_px).map_err(PictureError::Port)?;
        let mut witness = Witness::new(rows, crc);
        paint_canvas(show, canvas, (&scene, work), &mut witness).map_err(PictureError::Paint)?;
        crc = witness.finish();
        rows.end_frame().map_err(PictureError::Port)?;
    }
    Ok(crc)
}

/// Paints the scene of one canvas on all its blocks.
///
/// # Errors
/// [`PaintError`]; the target may have taken some of the rows.
pub fn paint_canvas<T: RowTarget>(
    show: &Show,
    canvas: u8,
    (scene, work): (&Scene<'_>, &mut BoxWork),
    target: &mut T,
) -> Result<(), PaintError<T::Error>> {
    let mut blocks = show.blocks_of(usize::from(canvas));
    blocks.try_for_each(|block| paint_block(scene, block, 0..u16::MAX, &mut work.work(), target))
}
