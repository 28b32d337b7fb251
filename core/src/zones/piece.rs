//! Which piece of the shrunken set, and its rings.

use super::fence::Fence;
use super::grid::{Bits, Grid, Node};
use super::outline::Outline;
use super::simplify::Simplifier;
use super::trace_set::{Task, ZoneStore};
use super::walk::{BITE_M, Walker};
use super::{LEAST_PIECE_M2, Piece, ZoneError};
use crate::geom::{StagePoint, StageVector, polygon};

/// Two places on the border nearer than this are one, metres.
const SAME_M: f32 = 4e-3;
/// Corners of an outline that stray less than this are left out, metres.
const SLACK_M: f32 = 3e-3;
/// A step at least this long is one to start from: it is off the corners, metres.
const STRIDE_M: f32 = 8e-3;
/// Steps on the way to such a start.
const LEAD_IN: usize = 256;
/// Steps once round: far more than the longest fence gives.
const LAP: usize = 65_536;
/// Borders that a way from a place to the outer ring crosses, at most.
const CROSSINGS: usize = 64;

/// Traces the piece that holds the mark, a good place; `None` when shrinking takes the mark.
pub(super) fn of_mark<const N: usize>(
    task: &Task<'_>,
    fence: &Fence,
    outline: &mut Outline<N>,
) -> Result<Option<Piece>, ZoneError> {
    outline.clear();
    let holds_mark = fence.encloses(task.mark) && fence.distance(task.mark) >= task.shrink_m;
    if !(holds_mark && outer_ring(fence, task.shrink_m, task.mark, outline)?) {
        return Ok(None);
    }
    add_holes(fence, task.shrink_m, outline)?;
    Ok(Some(Piece { area_m2: outline.area_m2(), holds_mark, mark_works: true }))
}

/// Traces the piece that is nearest to the mark and large enough. Where the mark itself works, a piece that the shrink
/// has moved off it is the mark's own, and large enough whatever its size.
pub(super) fn nearest<const N: usize>(
    task: &Task<'_>,
    grid: &Grid,
    store: &mut ZoneStore,
    (mark_works, outline): (bool, &mut Outline<N>),
) -> Result<Option<Piece>, ZoneError> {
    let ZoneStore { allowed, marked, fence } = store;
    shrink_nodes(fence, task.shrink_m, grid, allowed, marked);
    while let Some(node) = nearest_node(grid, marked, task.mark) {
        outline.clear();
        if outer_ring(fence, task.shrink_m, grid.at(node), outline)? {
            add_holes(fence, task.shrink_m, outline)?;
            let area_m2 = outline.area_m2();
            let is_own = mark_works && outline.nearest(task.mark).is_some_and(|(metres, _)| metres <= task.shrink_m);
            if is_own || area_m2 >= LEAST_PIECE_M2 {
                return Ok(Some(Piece { area_m2, holds_mark: false, mark_works }));
            }
            forget(grid, marked, outline);
        }
        marked.set(node, false);
    }
    outline.clear();
    Ok(None)
}

/// Adds the outer ring of the piece round `inside`, which lies farther than the shrink from the fence: goes to
/// stage left until the border, and on from the farthest point of what is only a hole.
fn outer_ring<const N: usize>(
    fence: &Fence,
    shrink_m: f32,
    inside: StagePoint,
    outline: &mut Outline<N>,
) -> Result<bool, ZoneError> {
    let mut from = inside;
    for _ in 0..CROSSINGS {
        let Some(at) = border_from(fence, shrink_m, from) else { return Ok(false) };
        if !add_ring(fence, shrink_m, at, outline)? {
            return Ok(false);
        }
        let Some(ring) = outline.ring(outline.count() - 1) else { return Ok(false) };
        if polygon::signed_area(ring.points) > 0.0 {
            return Ok(true);
        }
        let end = ring.points.iter().fold(at, |best, p| if p.x > best.x { *p } else { best });
        outline.drop_last();
        from = StagePoint::new(end.x.max(from.x) + 2.0 * BITE_M, end.y);
    }
    Err(ZoneError::Astray)
}

/// The first place to stage left of `from` at the distance of the shrink from the fence. No step can pass it: it
/// is as long as there is room.
fn border_from(fence: &Fence, shrink_m: f32, from: StagePoint) -> Option<StagePoint> {
    let mut at = from;
    loop {
        let room = fence.distance(at) - shrink_m;
        if !room.is_finite() {
            return None;
        }
        if room <= BITE_M / 10.0 {
            return Some(at);
        }
        at = at + StageVector::new(room, 0.0);
    }
}

/// Adds the holes: round each group of forbidden places there is one border that passes its farthest point.
fn add_holes<const N: usize>(fence: &Fence, shrink_m: f32, outline: &mut Outline<N>) -> Result<(), ZoneError> {
    for post in fence.extremes() {
        let Some(side) = fence.side(post) else { continue };
        let at = side.from + StageVector::new(shrink_m, 0.0);
        let inside = outline.ring(0).is_some_and(|ring| polygon::locate(ring.points, at) == polygon::Place::Inside);
        let known = outline.nearest(at).is_some_and(|(metres, _)| metres < SAME_M);
        if !inside || known || fence.distance(at) < shrink_m - BITE_M / 10.0 {
            continue;
        }
        if add_ring(fence, shrink_m, at, outline)? {
            let ring = outline.ring(outline.count() - 1);
            if ring.is_none_or(|ring| polygon::signed_area(ring.points) > 0.0) {
                outline.drop_last();
            }
        }
    }
    drop_nested(outline);
    Ok(())
}

/// Holes in another piece that stands in a hole are not this piece's.
fn drop_nested<const N: usize>(outline: &mut Outline<N>) {
    let mut i = 1;
    while let Some(ring) = outline.ring(i) {
        let first = ring.points.first().copied().unwrap_or_default();
        let nested = outline
            .rings()
            .enumerate()
            .skip(1)
            .any(|(j, other)| j != i && polygon::locate(other.points, first) == polygon::Place::Inside);
        if nested {
            outline.remove(i);
        } else {
            i += 1;
        }
    }
}

/// Adds the ring through a place on the border; false when it is too small to be one.
fn add_ring<const N: usize>(
    fence: &Fence,
    shrink_m: f32,
    at: StagePoint,
    outline: &mut Outline<N>,
) -> Result<bool, ZoneError> {
    let before = outline.count();
    let Some(mut walker) = Walker::start(fence, shrink_m, at) else { return Ok(false) };
    let Some(first) = (0..LEAD_IN).find_map(|_| walker.step().filter(|step| step.way().length() > STRIDE_M)) else {
        return Ok(false);
    };
    let start = first.from + first.way() * 0.5;
    let mut line = Simplifier::new(start, SLACK_M, |p, bound| outline.push(p, bound));
    line.line_to(first.to, first.bound);
    let mut walked_m = first.way().length() / 2.0;
    for _ in 0..LAP {
        let step = walker.step().ok_or(ZoneError::Astray)?;
        let passes = crate::geom::segment::distance(start, step.from, step.to) < SAME_M / 2.0;
        if passes && walked_m > SAME_M && step.way().dot(first.way()) > 0.0 {
            line.close(step.bound);
            outline.close()?;
            return Ok(outline.count() > before);
        }
        walked_m += step.way().length();
        if step.from != step.to {
            line.line_to(step.to, step.bound);
        }
    }
    Err(ZoneError::Astray)
}

/// Sets the bits of the nodes that are left after shrinking.
fn shrink_nodes(fence: &Fence, shrink_m: f32, grid: &Grid, allowed: &Bits, left: &mut Bits) {
    left.clone_from(allowed);
    for (_, side) in fence.sides() {
        for node in grid.round(side.from, side.to, shrink_m) {
            if crate::geom::segment::distance(grid.at(node), side.from, side.to) < shrink_m {
                left.set(node, false);
            }
        }
    }
}

fn nearest_node(grid: &Grid, bits: &Bits, to: StagePoint) -> Option<Node> {
    let far = |node: Node| {
        let v = grid.at(node) - to;
        v.dot(v)
    };
    let set = grid.inner().filter(|node| bits.get(*node)).map(|node| (far(node), node));
    set.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, node)| node)
}

/// Takes the nodes of a piece off the list.
fn forget<const N: usize>(grid: &Grid, bits: &mut Bits, outline: &Outline<N>) {
    for node in grid.inner() {
        if bits.get(node) && outline.contains(grid.at(node)) {
            bits.set(node, false);
        }
    }
}
