//! The large things that a device works in, made to stand in static memory.

use super::handwork::Handwork;
use super::recheck::Room;
use super::ring::Ring;
use crate::limits;
use crate::paint::{SceneStore, WorkStore};
use crate::sacn;
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

/// The painter's lists, or what somebody else works in while nothing is painted: none of them holds anything from one
/// piece of work to the next, so they share one room.
#[derive(Debug)]
#[allow(clippy::large_enum_variant, reason = "there is no heap to put the larger one on")]
pub enum Bench {
    /// A picture is painted.
    Painter(BoxWork),
    /// Ways are planned, and places looked at again.
    Walks(Room),
}

impl Bench {
    /// Empty; nothing but zeros.
    pub const fn new() -> Self {
        Self::Painter(BoxWork::new())
    }

    /// The painter's lists. Empty when somebody else worked here.
    pub fn painter(&mut self) -> &mut BoxWork {
        match self {
            Self::Painter(work) => work,
            other => {
                other.clear(true);
                other.painter()
            }
        }
    }

    /// Room to plan ways in. What a picture had here is lost.
    pub fn walks(&mut self) -> &mut Room {
        match self {
            Self::Walks(room) => room,
            other => {
                other.clear(false);
                other.walks()
            }
        }
    }

    /// Clears the room for the painter or for ways. Whole constants are copied to where they belong: a value made here
    /// would pass over the stack first, which has no room for it.
    #[inline(never)]
    fn clear(&mut self, painter: bool) {
        const PAINTER: Bench = Bench::Painter(BoxWork::new());
        const WALKS: Bench = Bench::Walks(Room::new());
        if painter {
            *self = PAINTER;
        } else {
            *self = WALKS;
        }
    }
}

impl Default for Bench {
    fn default() -> Self {
        Self::new()
    }
}

// Whoever borrows the painter's lists makes the box no larger.
const _: () = assert!(size_of::<Room>() <= size_of::<BoxWork>());

/// Show, staging buffer and painter's memory.
#[derive(Debug)]
pub struct Memory {
    /// The show in use.
    pub show: Show,
    /// A pack on its way in, or on its way from the store.
    pub staging: [u8; limits::PACK_BYTES],
    /// Shapes of the picture.
    pub scene: BoxScene,
    /// The painter's lists, which it lends.
    pub work: Bench,
    /// A packet of pixel tape on its way out.
    pub tape: sacn::Letter,
    /// What happened lately.
    pub ring: Ring,
    /// What people changed on the set since the show was loaded.
    pub handwork: Handwork,
}

impl Memory {
    /// Empty memory; nothing but zeros, so that a static one costs no flash.
    pub const fn new() -> Self {
        Self {
            show: Show::vacant(),
            staging: [0; limits::PACK_BYTES],
            scene: BoxScene::new(),
            work: Bench::new(),
            tape: [0; sacn::packet::PACKET_BYTES],
            ring: Ring::new(),
            handwork: Handwork::new(),
        }
    }
}

impl Default for Memory {
    fn default() -> Self {
        Self::new()
    }
}
