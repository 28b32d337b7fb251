//! The large things that a device works in, made to stand in static memory.

use super::ring::Ring;
use crate::limits;
use crate::paint::{SceneStore, WorkStore};
use crate::show::Show;

/// Memory of the box's scenes.
pub type BoxScene = SceneStore<{ limits::BOX_POINTS }, { limits::BOX_CONTOURS }, { limits::BOX_SHAPES }>;
/// Memory of the box's painter.
pub type BoxWork = WorkStore<
    { limits::BOX_CHAINS },
    { limits::BOX_ACTIVE },
    { limits::BOX_EVENTS },
    { limits::BOX_COLUMNS },
    { limits::BOX_SHAPES },
>;

/// Show, staging buffer and painter's memory.
#[derive(Debug)]
pub struct Memory {
    /// The show in use.
    pub show: Show,
    /// A pack on its way in, or on its way from the store.
    pub staging: [u8; limits::PACK_BYTES],
    /// Shapes of the picture.
    pub scene: BoxScene,
    /// The painter's lists.
    pub work: BoxWork,
    /// What happened lately.
    pub ring: Ring,
}

impl Memory {
    /// Empty memory; nothing but zeros, so that a static one costs no flash.
    pub const fn new() -> Self {
        Self {
            show: Show::vacant(),
            staging: [0; limits::PACK_BYTES],
            scene: BoxScene::new(),
            work: BoxWork::new(),
            ring: Ring::new(),
        }
    }
}

impl Default for Memory {
    fn default() -> Self {
        Self::new()
    }
}
