//! Paints one block of a canvas: scene in, rows of spans out.

use core::ops::Range;

use super::chain::{Chain, ChainList};
use super::cover::Cover;
use super::edge::{Active, Piece};
use super::fine_map::{FineMap, ONE};
use super::sweep::{Live, SweepError, sweep_row};
use super::{RowTarget, Scene};
use crate::floor::Block;
use crate::limits;

/// The painter's memory: `CHAINS` for a whole scene, `ACTIVE` chains across one row, `PIECES` of edges in one row.
#[derive(Clone, Debug)]
pub struct WorkStore<const CHAINS: usize, const ACTIVE: usize, const PIECES: usize> {
    chains: [Chain; CHAINS],
    active: [Active; ACTIVE],
    pieces: [Piece; PIECES],
    live: [Live; ACTIVE],
    cover: [i32; limits::SCENE_SHAPES],
}

impl<const CHAINS: usize, const ACTIVE: usize, const PIECES: usize> WorkStore<CHAINS, ACTIVE, PIECES> {
    /// Fresh memory.
    pub const fn new() -> Self {
        Self {
            chains: [Chain::NONE; CHAINS],
            active: [Active::NONE; ACTIVE],
            pieces: [Piece::NONE; PIECES],
            live: [Live::NONE; ACTIVE],
            cover: [0; limits::SCENE_SHAPES],
        }
    }

    /// The memory as a painter borrows it.
    pub fn work(&mut self) -> Workspace<'_> {
        Workspace {
            chains: &mut self.chains,
            active: &mut self.active,
            pieces: &mut self.pieces,
            live: &mut self.live,
            cover: &mut self.cover,
        }
    }
}

impl<const CHAINS: usize, const ACTIVE: usize, const PIECES: usize> Default for WorkStore<CHAINS, ACTIVE, PIECES> {
    fn default() -> Self {
        Self::new()
    }
}

/// Borrowed painter's memory; see [`WorkStore`].
#[derive(Debug)]
pub struct Workspace<'w> {
    chains: &'w mut [Chain],
    active: &'w mut [Active],
    pieces: &'w mut [Piece],
    live: &'w mut [Live],
    cover: &'w mut [i32],
}

/// Why painting stopped. Rows before the fault were given whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PaintError<E> {
    /// The target refused a row.
    Target(E),
    /// The scene needs more of "chains", "active chains" or "pieces" than the workspace has.
    Full {
        /// Which list.
        list: &'static str,
        /// Its capacity.
        capacity: usize,
    },
    /// The block's map folds the floor flat; [`Block::validate`] refuses such a block.
    BadMap,
}

/// Paints rows `rows` (canvas rows, cut to the block's own) of `scene` on `block`.
///
/// Cost grows with the edges that cross a row, not with its pixels. The same rows come out whichever
/// range they are painted in. Coordinates beyond 32,000 pixels from the canvas origin are pulled in.
///
/// # Errors
/// [`PaintError`]; nothing is drawn half inside a row.
pub fn paint_block<T: RowTarget>(
    scene: &Scene<'_>,
    block: &Block,
    rows: Range<u16>,
    work: &mut Workspace<'_>,
    target: &mut T,
) -> Result<(), PaintError<T::Error>> {
    let map = FineMap::new(block).ok_or(PaintError::BadMap)?;
    let mirror = if block.map.per_px_x.cross(block.map.per_px_y) < 0.0 { 1 } else { -1 };
    let first = i32::from(rows.start.max(block.y_px));
    let last = i32::from(rows.end).min(block.bottom_px() as i32);
    if first >= last {
        return Ok(());
    }
    let capacity = work.chains.len();
    let mut chains = ChainList { slots: work.chains, used: 0 };
    chains
        .fill(scene, &map, mirror, (first * ONE, last * ONE))
        .map_err(|_| PaintError::Full { list: "chains", capacity })?;
    let used = chains.used;
    let mut walk = Walk {
        scene,
        map,
        waiting: work.chains.get(..used).unwrap_or(&[]),
        active: work.active,
        running: 0,
        pieces: work.pieces,
        found: 0,
        columns: (i32::from(block.x_px), block.right_px() as i32),
    };
    let mut cover = Cover::new(scene.shapes(), work.cover);
    for row in first..last {
        walk.collect(row)?;
        let (start, end) = walk.columns;
        target.begin_row(row as u16, start as u16, end as u16).map_err(PaintError::Target)?;
        if walk.found > 0 {
            let pieces = walk.pieces.get(..walk.found).unwrap_or(&[]);
            sweep_row(pieces, &mut cover, work.live, walk.columns, target).map_err(|fault| match fault {
                SweepError::Target(error) => PaintError::Target(error),
                SweepError::Crowded => PaintError::Full { list: "active chains", capacity: walk.active.len() },
            })?;
            cover.reset();
        }
        target.end_row().map_err(PaintError::Target)?;
    }
    Ok(())
}

/// The state of a walk down the rows.
struct Walk<'s, 'w> {
    scene: &'s Scene<'s>,
    map: FineMap,
    /// Chains not begun, sorted by their tops.
    waiting: &'w [Chain],
    active: &'w mut [Active],
    running: usize,
    pieces: &'w mut [Piece],
    found: usize,
    columns: (i32, i32),
}

impl Walk<'_, '_> {
    /// Finds the pieces of `row`, sorted by their first pixel.
    fn collect<E>(&mut self, row: i32) -> Result<(), PaintError<E>> {
        self.begin_chains(row)?;
        self.found = 0;
        let Self { scene, map, active, running, pieces, found, columns, .. } = self;
        let capacity = pieces.len();
        let mut overflow = false;
        let mut kept = 0;
        for i in 0..*running {
            let Some(chain) = active.get_mut(i) else { break };
            let going = chain.walk_row(scene, map, row, &mut |from, to, height, shape| {
                overflow |= !add_piece(pieces, found, *columns, (from, to), height, shape);
            });
            let moved = *chain;
            if going {
                sink(active, kept, moved);
                kept += 1;
            }
        }
        *running = kept;
        if overflow { Err(PaintError::Full { list: "pieces", capacity }) } else { Ok(()) }
    }

    fn begin_chains<E>(&mut self, row: i32) -> Result<(), PaintError<E>> {
        let bottom = (row + 1) * ONE;
        while let Some((chain, after)) = self.waiting.split_first().filter(|(c, _)| c.top < bottom) {
            self.waiting = after;
            let Some(active) = Active::start(*chain, self.scene, &self.map, row) else { continue };
            let capacity = self.active.len();
            if self.running >= capacity {
                return Err(PaintError::Full { list: "active chains", capacity });
            }
            sink(self.active, self.running, active);
            self.running += 1;
        }
        Ok(())
    }
}

/// Puts `one` at slot `end` and lets it sink to its place by x among the slots before it.
///
/// Chains cross rarely, so it hardly ever moves: this is all the sorting there is.
fn sink(active: &mut [Active], end: usize, one: Active) {
    let mut slot = end;
    while let Some(before) = slot.checked_sub(1).and_then(|i| active.get(i)).copied() {
        if before.order() <= one.order() {
            break;
        }
        if let Some(free) = active.get_mut(slot) {
            *free = before;
        }
        slot -= 1;
    }
    if let Some(free) = active.get_mut(slot) {
        *free = one;
    }
}

/// Adds the piece from x `from` to x `to` (16.16), cut at the block's left border; false when there is no room.
fn add_piece(
    pieces: &mut [Piece],
    found: &mut usize,
    (first, last): (i32, i32),
    (from, to): (i32, i32),
    height: i32,
    shape: u16,
) -> bool {
    let (left, right) = if from < to { (from, to) } else { (to, from) };
    let (border, edge) = (first * ONE, last * ONE);
    if left >= edge || height == 0 {
        return true;
    }
    if left >= border {
        return insert(pieces, found, piece(left, right, height, shape));
    }
    if right <= border {
        return insert(pieces, found, piece(border, border, height, shape));
    }
    let outside = i64::from(border) - i64::from(left);
    let beyond = (i64::from(height) * outside / (i64::from(right) - i64::from(left))) as i32;
    insert(pieces, found, piece(border, border, beyond, shape))
        && insert(pieces, found, piece(border, right, height - beyond, shape))
}

fn piece(left: i32, right: i32, height: i32, shape: u16) -> Piece {
    let first_px = left >> 16;
    let last_px = if right > left { (right - 1) >> 16 } else { first_px };
    Piece { first_px, last_px, left, right, height, shape }
}

/// Inserts by first pixel; pieces come nearly sorted because active chains are.
fn insert(pieces: &mut [Piece], found: &mut usize, one: Piece) -> bool {
    if *found >= pieces.len() {
        return false;
    }
    let mut slot = *found;
    while let Some(before) = slot.checked_sub(1).and_then(|i| pieces.get(i)).copied() {
        if before.first_px <= one.first_px {
            break;
        }
        if let Some(free) = pieces.get_mut(slot) {
            *free = before;
        }
        slot -= 1;
    }
    if let Some(free) = pieces.get_mut(slot) {
        *free = one;
    }
    *found += 1;
    true
}
