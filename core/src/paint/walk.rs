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
    let mut walk = Walk::begin(scene, block, rows, work)?;
    walk.go(scene, block, work, u32::MAX, target)?;
    Ok(())
}

/// A walk down the rows of one block that may rest after any row.
///
/// What it is in the middle of stays in the workspace: until it is done, [`Walk::go`] must be given the same scene and
/// block, and a workspace that nobody else has worked in. With others it paints something else, but nothing worse.
#[derive(Clone, Copy, Debug)]
pub struct Walk {
    map: FineMap,
    /// The next row, and the one after the last.
    row: i32,
    last: i32,
    /// Chains in the workspace, sorted by their tops, and how many of them have begun.
    chains: usize,
    begun: usize,
    /// Chains across the present row.
    running: usize,
}

impl Walk {
    /// Makes ready to paint rows `rows` (canvas rows, cut to the block's own) of `scene` on `block`.
    ///
    /// # Errors
    /// [`PaintError::BadMap`], [`PaintError::Full`].
    pub fn begin<E>(
        scene: &Scene<'_>,
        block: &Block,
        rows: Range<u16>,
        work: &mut Workspace<'_>,
    ) -> Result<Self, PaintError<E>> {
        let map = FineMap::new(block).ok_or(PaintError::BadMap)?;
        let mirror = if block.map.per_px_x.cross(block.map.per_px_y) < 0.0 { 1 } else { -1 };
        let first = i32::from(rows.start.max(block.y_px));
        let last = i32::from(rows.end).min(block.bottom_px() as i32);
        let mut walk = Self { map, row: first, last, chains: 0, begun: 0, running: 0 };
        if first < last {
            let capacity = work.chains.len();
            let mut chains = ChainList { slots: work.chains, used: 0 };
            chains
                .fill(scene, &map, mirror, (first * ONE, last * ONE))
                .map_err(|_| PaintError::Full { list: "chains", capacity })?;
            walk.chains = chains.used;
        }
        Ok(walk)
    }

    /// True when every row has been given.
    pub const fn is_done(&self) -> bool {
        self.row >= self.last
    }

    /// Gives the next rows to `target`, at least one, until they have taken `effort` or the block ends. Returns what
    /// they took.
    ///
    /// Effort is worked out from the edges and the changes of cover in each row, so that walks rest at the same rows
    /// everywhere and in every run. A unit is 3.1 to 3.7 instructions of a Cortex-M4 (counted: `core/docs/budgets.md`).
    ///
    /// # Errors
    /// [`PaintError`]; nothing is drawn half inside a row, and the walk cannot go on.
    pub fn go<T: RowTarget>(
        &mut self,
        scene: &Scene<'_>,
        block: &Block,
        work: &mut Workspace<'_>,
        effort: u32,
        target: &mut T,
    ) -> Result<u32, PaintError<T::Error>> {
        let columns = work.heads.len();
        let heads = work.heads.get_mut(..usize::from(block.width_px));
        let heads = heads.ok_or(PaintError::Full { list: "columns", capacity: columns })?;
        let capacity = work.cover.len();
        let room = work.cover.get_mut(..scene.shapes().len());
        let mut cover = Cover::new(scene.shapes(), room.ok_or(PaintError::Full { list: "shapes", capacity })?);
        let mut rows = Rows {
            scene,
            map: self.map,
            waiting: work.chains.get(self.begun..self.chains).unwrap_or(&[]),
            active: work.active,
            running: self.running,
            origin: i32::from(block.x_px) << 16,
            events: Events { list: work.events, heads, marked: work.marked, used: 0, fits: true },
        };
        let done = rows.paint(&mut self.row, (self.last, effort), block, &mut cover, target);
        (self.begun, self.running) = (self.chains - rows.waiting.len(), rows.running);
        if done.is_err() {
            rows.events.forget();
        }
        done
    }
}

/// Effort of a row, of a chain that begins, of a chain across the row, and of a change of cover.
const ROW: u32 = 400;
const CHAIN: u32 = 700;
const ACTIVE: u32 = 60;
const EVENT: u32 = 90;

/// A walk with all that it works in.
struct Rows<'s, 'w> {
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

impl Rows<'_, '_> {
    /// Gives rows from `row` on, which counts up, until they are done or have taken the effort.
    fn paint<T: RowTarget>(
        &mut self,
        row: &mut i32,
        (last, effort): (i32, u32),
        block: &Block,
        cover: &mut Cover<'_>,
        target: &mut T,
    ) -> Result<u32, PaintError<T::Error>> {
        let mut spent = 0_u32;
        while *row < last && spent < effort {
            let waiting = self.waiting.len();
            self.collect(*row)?;
            target.begin_row(*row as u16, block.x_px, block.right_px() as u16).map_err(PaintError::Target)?;
            if self.events.used > 0 {
                let columns = (block.x_px.into(), block.width_px.into());
                sweep_row(&mut self.events, cover, columns, target).map_err(PaintError::Target)?;
                cover.reset();
            }
            target.end_row().map_err(PaintError::Target)?;
            *row += 1;
            spent = spent.saturating_add(self.effort_of_row(waiting - self.waiting.len()));
        }
        Ok(spent)
    }

    /// The effort of the row just painted, in which `begun` chains began.
    fn effort_of_row(&self, begun: usize) -> u32 {
        let parts = [(1, ROW), (begun, CHAIN), (self.running, ACTIVE), (self.events.used, EVENT)];
        parts.into_iter().map(|(count, each)| (count as u32).wrapping_mul(each)).fold(0, u32::wrapping_add)
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
