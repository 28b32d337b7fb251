//! One picture of the floor: view to scene to rows.

use super::memory::{BoxScene, BoxWork};
use super::witness::Witness;
use crate::engine::State;
use crate::look::{View, compose};
use crate::paint::{PaintError, SceneFull, paint_block};
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

/// What the engine's state shows.
pub fn view_of(state: &State) -> View {
    View::new(state.mode, state.shown())
}

/// Composes and paints the blocks of each canvas, frame by frame, and returns the picture's checksum.
///
/// [`View::canvas`] is set for each canvas in turn, whatever it was.
///
/// # Errors
/// [`PictureError`]; the port may have taken some of the rows.
pub fn paint<R: RowPort>(
    show: &Show,
    view: &View,
    (scene, work): (&mut BoxScene, &mut BoxWork),
    rows: &mut R,
) -> Result<u32, PictureError<R::Error>> {
    let mut crc = 0;
    for (index, canvas) in show.canvases.iter().enumerate() {
        // One canvas at a time: a large floor's whole scene needs several times the memory.
        let mut scene = scene.scene();
        let view = View { canvas: Some(index as u8), ..*view };
        compose(show, &view, &mut scene).map_err(PictureError::Scene)?;
        rows.begin_frame(index as u8, canvas.width_px, canvas.height_px).map_err(PictureError::Port)?;
        let mut witness = Witness::new(rows, crc);
        for block in show.blocks_of(index) {
            paint_block(&scene, block, 0..u16::MAX, &mut work.work(), &mut witness).map_err(PictureError::Paint)?;
        }
        crc = witness.finish();
        rows.end_frame().map_err(PictureError::Port)?;
    }
    Ok(crc)
}
