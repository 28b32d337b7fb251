//! Asking no more nodes than needed.
//!
//! Where anybody can stand, moved by the shrink any way, there is a strip of allowed places 0.3 m wide or wider: it
//! does not pass between nodes that are 0.3 m apart. Such nodes are asked first, and then, round each one that is
//! allowed, its neighbours, and theirs.

use super::grid::{Bits, Grid, Node};
use super::tally::Tally;
use super::trace_set::ZoneStore;
use super::{Bound, SHRINK_M};
use crate::geom::StagePoint;

/// Asks the nodes of all that is allowed and wide enough; counts what forbids the others of the first nodes.
pub(super) fn ask_all(test: &impl Fn(StagePoint) -> Result<(), Bound>, grid: &Grid, store: &mut ZoneStore) -> Tally {
    let (mut tally, stride) = (Tally::new(), (libm::floorf(2.0 * SHRINK_M / grid.cell_m) as i16).max(1));
    store.allowed.clear();
    store.marked.clear();
    for node in grid.inner().filter(|node| node.x % stride == 0 && node.y % stride == 0) {
        if let Err(bound) = ask(test, grid, store, node) {
            tally.add(bound);
        }
    }
    spread(test, grid, store);
    tally
}

/// Asks the nodes of what is allowed round `mark`.
pub(super) fn ask_round(
    test: &impl Fn(StagePoint) -> Result<(), Bound>,
    grid: &Grid,
    mark: StagePoint,
    store: &mut ZoneStore,
) {
    store.allowed.clear();
    store.marked.clear();
    for node in grid.round(mark, mark, grid.cell_m) {
        let _ = ask(test, grid, store, node);
    }
    spread(test, grid, store);
}

/// Asks the neighbours of allowed nodes until there are none that have not been asked.
fn spread(test: &impl Fn(StagePoint) -> Result<(), Bound>, grid: &Grid, store: &mut ZoneStore) {
    loop {
        let mut found = false;
        let mut visit = |node: Node| {
            if !store.marked.get(node) && touches(&store.allowed, node) {
                found |= ask(test, grid, store, node).is_ok();
            }
        };
        // Once up and once down: most shapes are filled by either.
        grid.inner().for_each(&mut visit);
        grid.inner_backwards().for_each(&mut visit);
        if !found {
            return;
        }
    }
}

fn touches(allowed: &Bits, node: Node) -> bool {
    let near = |x: i16, y: i16| allowed.get(Node::new(node.x + x, node.y + y));
    near(-1, 0) || near(1, 0) || near(0, -1) || near(0, 1)
}

fn ask(
    test: &impl Fn(StagePoint) -> Result<(), Bound>,
    grid: &Grid,
    store: &mut ZoneStore,
    node: Node,
) -> Result<(), Bound> {
    store.marked.set(node, true);
    let answer = if grid.is_inner(node) { test(grid.at(node)) } else { Ok(()) };
    if grid.is_inner(node) && answer.is_ok() {
        store.allowed.set(node, true);
    }
    answer
}
