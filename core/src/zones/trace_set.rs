//! The zone of one set of places: shrunk, the right piece of it, its outline.

use super::ask::{ask_all, ask_round};
use super::border::Border;
use super::fence::Fence;
use super::grid::{Bits, Grid, Node};
use super::march::Gate;
use super::outline::Outline;
use super::simplify::Simplifier;
use super::{Bound, Zone, ZoneError, piece};
use crate::geom::StagePoint;

/// Corners of a fence that stray less than this are left out, metres.
const SLACK_M: f32 = 1.5e-3;

/// Memory that a trace borrows, about 51 KB: the same store serves one zone after another.
#[derive(Clone, Debug)]
pub struct ZoneStore {
    pub(super) allowed: Bits,
    pub(super) marked: Bits,
    pub(super) fence: Fence,
}

impl ZoneStore {
    /// A store with nothing in it.
    pub const fn new() -> Self {
        Self { allowed: Bits::new(), marked: Bits::new(), fence: Fence::new() }
    }
}

impl Default for ZoneStore {
    fn default() -> Self {
        Self::new()
    }
}

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Task<'a> {
    /// The floor's outline, metres: nothing beyond the box round it is looked at.
    pub floor: &'a [StagePoint],
    /// By how much the set is shrunk, metres: a zone is where one may also be moved by so much any way.
    pub shrink_m: f32,
    /// The place whose piece is wanted.
    pub mark: StagePoint,
}

/// Traces the zone of the places that `test` allows.
///
/// `test` has to answer the same whenever it is asked the same. What it forbids should be at least as wide as the
/// grid's cell, the greater of 50 mm and 1/254 of the floor's longer side: narrower things may be overlooked.
/// Corners of the outline lie within a few millimetres of the truth.
///
/// # Errors
/// [`ZoneError`].
pub fn trace_set<const N: usize>(
    test: &impl Fn(StagePoint) -> Result<(), Bound>,
    task: &Task<'_>,
    store: &mut ZoneStore,
    outline: &mut Outline<N>,
) -> Result<Zone, ZoneError> {
    if !(task.mark.is_finite() && task.shrink_m.is_finite() && task.shrink_m > 0.0) {
        return Err(ZoneError::BadPlace);
    }
    outline.clear();
    let grid = Grid::over(task.floor)?;
    let mark_works = test(task.mark).is_ok();
    if mark_works {
        // What is round the mark is enough, if the zone holds the mark.
        ask_round(test, &grid, task.mark, store);
        fence_in(&Border::new(test), &grid, store)?;
        if let Some(piece) = piece::of_mark(task, &store.fence, outline)? {
            return Ok(Zone::Piece(piece));
        }
    }
    let tally = ask_all(test, &grid, store);
    fence_in(&Border::new(test), &grid, store)?;
    match piece::nearest(task, &grid, store, (mark_works, outline))? {
        Some(piece) => Ok(Zone::Piece(piece)),
        None => Ok(Zone::Empty { fighting: tally.fighting(), mark_works }),
    }
}

/// Puts a fence round the allowed nodes.
fn fence_in<F: Fn(StagePoint) -> Result<(), Bound>>(
    border: &Border<'_, F>,
    grid: &Grid,
    store: &mut ZoneStore,
) -> Result<(), ZoneError> {
    store.fence.clear();
    store.marked.clear();
    for y in 0..grid.rows {
        for x in 0..grid.columns - 1 {
            let node = Node::new(x, y);
            if !store.marked.get(node)
                && let Some(gate) = Gate::in_row(&store.allowed, node)
            {
                fence_ring(border, grid, store, gate);
            }
        }
    }
    store.fence.check()
}

fn fence_ring<F: Fn(StagePoint) -> Result<(), Bound>>(
    border: &Border<'_, F>,
    grid: &Grid,
    store: &mut ZoneStore,
    first: Gate,
) {
    let ZoneStore { allowed, marked, fence } = store;
    let spot_in = |gate: Gate| border.between(grid.at(gate.inside), grid.at(gate.outside), None);
    let start = spot_in(first);
    let mut line = Simplifier::new(start.at, SLACK_M, |p, bound| fence.push(p, bound));
    let (mut gate, mut here, mut bound) = (first, start, start.bound);
    loop {
        if let Some(key) = gate.key() {
            marked.set(key, true);
        }
        gate = gate.next(allowed);
        let there = if gate == first { start } else { spot_in(gate) };
        border.follow(here.at, there, &mut |spot| {
            line.line_to(spot.at, spot.bound);
            bound = spot.bound;
        });
        if gate == first {
            break;
        }
        here = there;
    }
    line.close(bound);
    fence.close();
}
