//! The painter's memory. It is lent for each call; between calls it holds what a walk that rests is in the middle of.

use super::chain::Chain;
use super::edge::Active;
use super::events::{Event, Marked};
use crate::limits;

/// Memory for `CHAINS` chains of a whole scene, `ACTIVE` chains across one row, `EVENTS` changes of
/// cover in one row (at most 65,535), rows of `COLUMNS` pixels and scenes of `SHAPES` shapes.
#[derive(Clone, Debug)]
pub struct WorkStore<
    const CHAINS: usize,
    const ACTIVE: usize,
    const EVENTS: usize,
    const COLUMNS: usize,
    const SHAPES: usize,
> {
    chains: [Chain; CHAINS],
    active: [Active; ACTIVE],
    events: [Event; EVENTS],
    heads: [u16; COLUMNS],
    marked: Marked,
    cover: [i32; SHAPES],
}

/// Memory for the desk: the largest canvas, the fullest scene. About 1.5 MB: keep it in a box or a static.
pub type DeskWork = WorkStore<16_384, 4_096, 65_535, { limits::CANVAS_SIDE_PX as usize }, { limits::SCENE_SHAPES }>;

impl<const CHAINS: usize, const ACTIVE: usize, const EVENTS: usize, const COLUMNS: usize, const SHAPES: usize>
    WorkStore<CHAINS, ACTIVE, EVENTS, COLUMNS, SHAPES>
{
    /// Fresh memory.
    pub const fn new() -> Self {
        const { assert!(EVENTS <= u16::MAX as usize && COLUMNS <= limits::CANVAS_SIDE_PX as usize) }
        const { assert!(SHAPES <= limits::SCENE_SHAPES) }
        Self {
            chains: [Chain::NONE; CHAINS],
            active: [Active::NONE; ACTIVE],
            events: [Event::NONE; EVENTS],
            heads: [0; COLUMNS],
            marked: Marked::new(),
            cover: [0; SHAPES],
        }
    }

    /// The memory as a painter borrows it.
    pub fn work(&mut self) -> Workspace<'_> {
        Workspace {
            chains: &mut self.chains,
            active: &mut self.active,
            events: &mut self.events,
            heads: &mut self.heads,
            marked: &mut self.marked,
            cover: &mut self.cover,
        }
    }
}

impl<const CHAINS: usize, const ACTIVE: usize, const EVENTS: usize, const COLUMNS: usize, const SHAPES: usize> Default
    for WorkStore<CHAINS, ACTIVE, EVENTS, COLUMNS, SHAPES>
{
    fn default() -> Self {
        Self::new()
    }
}

/// Borrowed painter's memory; see [`WorkStore`].
#[derive(Debug)]
pub struct Workspace<'w> {
    pub(super) chains: &'w mut [Chain],
    pub(super) active: &'w mut [Active],
    pub(super) events: &'w mut [Event],
    pub(super) heads: &'w mut [u16],
    pub(super) marked: &'w mut Marked,
    pub(super) cover: &'w mut [i32],
}
