//! Paints one block of a canvas: scene in, rows of spans out.

use core::ops::Range;

use super::chain::{Chain, ChainList};
use super::cover::Cover;
use super::edge::Active;
use super::events::Events;
use super::fine_map::{FineMap, ONE};
use super::sweep::sweep_row;
use super::work::Workspace;
use super::{RowTarget, Scene};
use crate::floor::Block;
/// Why painting stopped. Rows before the fault were given whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PaintError<E> {
    /// The target refused a row.
    Target(E),
    /// The scene needs more of a list than the workspace has.
    Full {
        /// Which: "chains", "active chains", "events", "shapes" or "columns".
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
    let columns = work.heads.len();
    let heads = work.heads.get_mut(..usize::from(block.width_px));
    let heads = heads.ok_or(PaintError::Full { list: "columns", capacity: columns })?;
    let events = Events { list: work.events, heads, marked: work.marked, used: 0, fits: true };
    let mut walk = Walk {
        scene,
        map,
        waiting: work.chains.get(..used).unwrap_or(&[]),
        active: work.active,
        running: 0,
        origin: i32::from(block.x_px) << 16,
        events,
    };
    let capacity = work.cover.len();
    let room = work.cover.get_mut(..scene.shapes().len());
    let mut cover = Cover::new(scene.shapes(), room.ok_or(PaintError::Full { list: "shapes", capacity })?);
    let done = walk.rows((first, last), block, &mut cover, target);
    if done.is_err() {
        walk.events.forget();
    }
    done
}

/// The state of a walk down the rows.
struct Walk<'s, 'w> {
    scene: &'s Scene<'s>,
    map: FineMap,
    /// Chains not begun, sorted by their tops.
    waiting: &'w [Chain],
    active: &'w mut [Active],
    running: usize,
    /// x of the block's left border, 16.16.
    origin: i32,
    events: Events<'w>,
}

impl Walk<'_, '_> {
    fn rows<T: RowTarget>(
        &mut self,
        (first, last): (i32, i32),
        block: &Block,
        cover: &mut Cover<'_>,
        target: &mut T,
    ) -> Result<(), PaintError<T::Error>> {
        for row in first..last {
            self.collect(row)?;
            target.begin_row(row as u16, block.x_px, block.right_px() as u16).map_err(PaintError::Target)?;
            if self.events.used > 0 {
                let columns = (block.x_px.into(), block.width_px.into());
                sweep_row(&mut self.events, cover, columns, target).map_err(PaintError::Target)?;
                cover.reset();
            }
            target.end_row().map_err(PaintError::Target)?;
        }
        Ok(())
    }

    /// Finds the events of `row`. The order of chains does not matter.
    fn collect<E>(&mut self, row: i32) -> Result<(), PaintError<E>> {
        self.begin_chains(row)?;
        self.events.used = 0;
        let Self { scene, map, active, running, origin, events, .. } = self;
        let mut i = 0;
        while let Some(chain) = active.get_mut(i).filter(|_| i < *running) {
            let going = if let Some((from, to)) = chain.cross_row(row) {
                events.add_piece(
                    from.wrapping_sub(*origin),
                    to.wrapping_sub(*origin),
                    chain.signed(ONE),
                    chain.shape(),
                );
                true
            } else {
                chain.walk_row(scene, map, row, &mut |from, to, height, shape| {
                    events.add_piece(from.wrapping_sub(*origin), to.wrapping_sub(*origin), height, shape);
                })
            };
            if going {
                i += 1;
            } else {
                *running -= 1;
                active.swap(i, *running);
            }
        }
        if events.fits { Ok(()) } else { Err(PaintError::Full { list: "events", capacity: events.list.len() }) }
    }

    fn begin_chains<E>(&mut self, row: i32) -> Result<(), PaintError<E>> {
        let bottom = (row + 1) * ONE;
        while let Some((chain, after)) = self.waiting.split_first().filter(|(c, _)| c.top < bottom) {
            self.waiting = after;
            let Some(active) = Active::start(chain, self.scene, &self.map, row) else { continue };
            let capacity = self.active.len();
            let slot = self.active.get_mut(self.running);
            *slot.ok_or(PaintError::Full { list: "active chains", capacity })? = active;
            self.running += 1;
        }
        Ok(())
    }
}
