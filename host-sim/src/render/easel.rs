//! The core's look and painter with a desk's memory.

use std::fmt;

use underfoot_core::look::{self, View};
use underfoot_core::paint::walk::{PaintError, paint_block};
use underfoot_core::paint::{DeskWork, SceneFull, SceneStore};
use underfoot_core::show::{ClassId, Mode, Show};

use super::over::{self, Over};
use super::{CanvasPixels, walk};

type Store = SceneStore<16_384, 4_096, 1_024>;

/// Memory for scenes and painting, to be used again and again.
#[derive(Debug)]
pub struct Easel {
    store: Box<Store>,
    work: Box<DeskWork>,
    walk: Option<ClassId>,
    over: Vec<Over>,
}

/// What a picture puts into a scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Need {
    /// Points of polygons.
    pub points: usize,
    /// Contours.
    pub contours: usize,
    /// Shapes.
    pub shapes: usize,
}

/// A picture holds more than the memory for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooMuch {
    /// Which list is full.
    pub list: &'static str,
    /// Its capacity.
    pub capacity: usize,
}

impl fmt::Display for TooMuch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the picture needs more than {} {}: draw fewer things in one cue", self.capacity, self.list)
    }
}

impl std::error::Error for TooMuch {}

impl From<SceneFull> for TooMuch {
    fn from(full: SceneFull) -> Self {
        Self { list: full.list, capacity: full.capacity }
    }
}

impl Default for Easel {
    fn default() -> Self {
        Self::new()
    }
}

impl Easel {
    /// Fresh memory.
    pub fn new() -> Self {
        Self { store: Box::new(Store::new()), work: Box::new(DeskWork::new()), walk: None, over: Vec::new() }
    }

    /// From now on BRIEF pictures also show where a person of `class` must not walk.
    pub fn outline_walk(&mut self, class: Option<ClassId>) {
        self.walk = class;
    }

    /// From now on BRIEF pictures also show these things, on top.
    pub fn lay_over(&mut self, over: Vec<Over>) {
        self.over = over;
    }

    /// What one canvas of a view puts into a scene, without painting it.
    ///
    /// # Errors
    /// [`TooMuch`] when the view draws more than the memory holds.
    pub fn need(&mut self, show: &Show, view: &View, canvas: usize) -> Result<Need, TooMuch> {
        let mut scene = self.store.scene();
        let view = View { canvas: u8::try_from(canvas).ok(), ..*view };
        look::compose(show, &view, &mut scene)?;
        let contours = || scene.shapes().iter().flat_map(|shape| scene.contours_of(shape));
        Ok(Need {
            points: contours().map(|contour| scene.points_of(contour).len()).sum(),
            contours: contours().count(),
            shapes: scene.shapes().len(),
        })
    }

    /// Paints one canvas of a view.
    ///
    /// # Errors
    /// [`TooMuch`] when the view draws more than the memory holds.
    pub fn paint(&mut self, show: &Show, view: &View, canvas: usize) -> Result<CanvasPixels, TooMuch> {
        let mut scene = self.store.scene();
        // As the box does it: one canvas at a time.
        let view = View { canvas: u8::try_from(canvas).ok(), ..*view };
        look::compose(show, &view, &mut scene)?;
        let cue = view.cue.and_then(|id| show.cues.get(id.index())).filter(|_| view.mode == Mode::Brief);
        if let (Some(cue), Some(class)) = (cue, self.walk) {
            walk::add(&mut scene, show, (cue, class), view.level)?;
        }
        if view.mode == Mode::Brief {
            over::add(&mut scene, show, &self.over, view.level)?;
        }
        let Some(of) = show.canvases.get(canvas) else {
            return Err(TooMuch { list: "canvases", capacity: show.canvases.len() });
        };
        let mut pixels = CanvasPixels::new(of);
        for block in show.blocks_of(canvas) {
            paint_block(&scene, block, 0..of.height_px, &mut self.work.work(), &mut pixels).map_err(|e| match e {
                PaintError::Full { list, capacity } => TooMuch { list, capacity },
                PaintError::BadMap => TooMuch { list: "blocks with a map", capacity: 0 },
                PaintError::Target(never) => match never {},
            })?;
        }
        Ok(pixels)
    }
}
