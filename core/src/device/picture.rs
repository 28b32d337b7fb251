//! One picture of the floor: view to scene to rows, in stretches.

use crc::Digest;

use super::memory::{BoxScene, BoxWork};
use super::witness::Witness;
use crate::checksum::CRC;
use crate::floor::{Block, Canvas};
use crate::look::{View, compose};
use crate::paint::{PaintError, RowTarget, Scene, SceneFull, Used, Walk, paint_block};
use crate::ports::RowPort;
use crate::sacn::Strip;
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

/// Which canvases a picture has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Canvases {
    /// All of the show, however they go out.
    All,
    /// Those of a controller that go out by rows: pixel tape has a way of its own.
    RowsOf(u8),
}

impl Canvases {
    /// True when a show has any of them.
    pub(super) fn are_any(self, show: &Show) -> bool {
        show.canvases.iter().any(|canvas| self.has(canvas))
    }

    fn has(self, canvas: &Canvas) -> bool {
        match self {
            Self::All => true,
            Self::RowsOf(controller) => is_of(controller, canvas) && Strip::of(canvas).is_none(),
        }
    }
}

/// True for the canvases of a controller; 0 has those of all.
pub(super) const fn is_of(controller: u8, canvas: &Canvas) -> bool {
    controller == 0 || canvas.controller == controller
}

/// A picture on its way to the floor: the blocks of each of its canvases, frame by frame.
///
/// Between two stretches its scene and its walk rest in the lent memory, which nobody else may touch until it is done.
/// It may be dropped at any time: the next picture begins its frames anew.
#[derive(Clone)]
pub struct Picture {
    view: View,
    canvases: Canvases,
    /// The canvas in work.
    canvas: u8,
    step: Step,
    /// Checksum of the canvases before.
    crc: u32,
    /// Rows were given.
    has_rows: bool,
}

/// Where a picture rests.
#[derive(Clone)]
enum Step {
    /// Before a canvas.
    Compose,
    /// In a canvas whose scene is composed.
    Paint(Frame),
}

/// A canvas in work.
#[derive(Clone)]
struct Frame {
    scene: Used,
    /// The block in work, among those of the canvas.
    block: u8,
    /// The walk down the block; `None` before it.
    walk: Option<Walk>,
    digest: Digest<'static, u32>,
}

impl Picture {
    /// The picture of `view` on `canvases`. [`View::canvas`] is set for each canvas in turn, whatever it was.
    pub const fn new(canvases: Canvases, view: View) -> Self {
        Self { view, canvases, canvas: 0, step: Step::Compose, crc: 0, has_rows: false }
    }

    /// The view that it shows.
    pub const fn view(&self) -> &View {
        &self.view
    }

    /// True before and between canvases, when nothing of it rests in the lent memory.
    pub const fn is_between(&self) -> bool {
        matches!(self.step, Step::Compose)
    }

    /// True when the first stretch that gives rows is done.
    pub const fn has_rows(&self) -> bool {
        self.has_rows
    }

    /// Does the next stretch: composes the scene of a canvas, or begins a block, or gives rows until they have taken
    /// `effort` (see [`Walk::go`]). Returns the picture's checksum once it is whole.
    ///
    /// Stretches of any effort give the same rows. The show and the memory must be the same each time.
    ///
    /// # Errors
    /// [`PictureError`]; the port may have taken some of the rows, and the picture cannot go on.
    pub fn stretch<R: RowPort>(
        &mut self,
        show: &Show,
        (scene, work): (&mut BoxScene, &mut BoxWork),
        effort: u32,
        rows: &mut R,
    ) -> Result<Option<u32>, PictureError<R::Error>> {
        match &mut self.step {
            Step::Compose => {
                let Some(canvas) = self.next_canvas(show) else { return Ok(Some(self.crc)) };
                self.step = Step::Paint(self.compose(show, canvas, scene, rows)?);
            }
            Step::Paint(frame) => {
                self.has_rows |= frame.walk.is_some();
                if let Some(crc) = frame.stretch(show, self.canvas, (scene, work), effort, rows)? {
                    self.crc = crc;
                    self.canvas += 1;
                    self.step = Step::Compose;
                    // The last canvas needs no stretch of its own to find that there is no other.
                    return Ok(self.next_canvas(show).is_none().then_some(crc));
                }
            }
        }
        Ok(None)
    }

    /// Goes to the first of its canvases from `canvas` on.
    fn next_canvas<'s>(&mut self, show: &'s Show) -> Option<&'s Canvas> {
        let found = (0..).zip(&show.canvases).skip(self.canvas.into()).find(|(_, canvas)| self.canvases.has(canvas));
        let (index, canvas) = found?;
        self.canvas = index;
        Some(canvas)
    }

    fn compose<R: RowPort>(
        &self,
        show: &Show,
        size: &Canvas,
        scene: &mut BoxScene,
        rows: &mut R,
    ) -> Result<Frame, PictureError<R::Error>> {
        // One canvas at a time: a large floor's whole scene needs several times the memory.
        let mut scene = scene.scene();
        compose(show, &self.view.on_canvas(self.canvas), &mut scene).map_err(PictureError::Scene)?;
        rows.begin_frame(self.canvas, size.width_px, size.height_px).map_err(PictureError::Port)?;
        let mut digest = CRC.digest();
        digest.update(&self.crc.to_le_bytes());
        Ok(Frame { scene: scene.used(), block: 0, walk: None, digest })
    }
}

impl Frame {
    /// Begins a block or goes on with it; returns the checksum when the canvas is whole.
    fn stretch<R: RowPort>(
        &mut self,
        show: &Show,
        canvas: u8,
        (scene, work): (&mut BoxScene, &mut BoxWork),
        effort: u32,
        rows: &mut R,
    ) -> Result<Option<u32>, PictureError<R::Error>> {
        let block: Option<&Block> = show.blocks_of(usize::from(canvas)).nth(self.block.into());
        let Some(block) = block else {
            rows.end_frame().map_err(PictureError::Port)?;
            return Ok(Some(self.digest.clone().finalize()));
        };
        let (scene, mut work) = (scene.scene_again(self.scene), work.work());
        let Some(walk) = &mut self.walk else {
            self.walk = Some(Walk::begin(&scene, block, 0..u16::MAX, &mut work).map_err(PictureError::Paint)?);
            return Ok(None);
        };
        let mut witness = Witness::again(rows, self.digest.clone());
        walk.go(&scene, block, &mut work, effort, &mut witness).map_err(PictureError::Paint)?;
        self.digest = witness.rest();
        if walk.is_done() {
            (self.block, self.walk) = (self.block + 1, None);
        }
        Ok(None)
    }
}

/// Paints the whole picture of `view` at once, and returns its checksum.
///
/// # Errors
/// [`PictureError`]; the port may have taken some of the rows.
pub fn paint<R: RowPort>(
    show: &Show,
    canvases: Canvases,
    view: &View,
    (scene, work): (&mut BoxScene, &mut BoxWork),
    rows: &mut R,
) -> Result<u32, PictureError<R::Error>> {
    let mut picture = Picture::new(canvases, *view);
    loop {
        if let Some(crc) = picture.stretch(show, (scene, work), u32::MAX, rows)? {
            return Ok(crc);
        }
    }
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
