//! Floor edges and steps: where people may fall or trip. Never used instead of a physical edge.
//!
//! A line runs inside every open side at the edge band's width, with ticks on the side of the drop as
//! on a map of a cliff. Declared entries are left open between two posts, their step marked at its nose.

use crate::geom::{StagePoint, StageVector};
use crate::paint::{Rgba, SceneFull};
use crate::props::ground::band_m;
use crate::show::{Edge, Entry, FloorOutline, PhysicalKind, Show};

use super::frame::Frame;
use super::ink;
use super::item::{Pass, item};
use super::numbers::Numbers;
use super::sheet::Sheet;
use super::sides::Sides;
use super::sizes::Sizes;

/// Distance between ticks, metres; more on floors with long edges.
pub const TICK_SPACING_M: f32 = 0.5;
/// Most ticks of one floor.
pub const MOST_TICKS: f32 = 32.0;
/// Length of a tick, metres.
pub const TICK_M: f32 = 0.08;
/// An entry belongs to a side that it is this close to, metres.
const ENTRY_REACH_M: f32 = 0.3;

/// Draws edges, entries and steps.
pub(super) fn draw(scene: &mut Sheet<'_, '_>, sizes: &Sizes, show: &Show, level: u8) -> Result<(), SceneFull> {
    let ink = ink::EDGE.dimmed(level);
    let floor = &show.floor;
    let open_m: f32 = open_sides(floor).map(|i| Side::of(floor, i).length_m).sum();
    let spacing = libm::fmaxf(TICK_SPACING_M, open_m / MOST_TICKS);
    if open_m > 0.0 {
        item(scene, ink, sizes.keyline_m, |scene, pass| {
            open_sides(floor).try_for_each(|i| side(scene, sizes, show, (i, spacing), pass))
        })?;
    }
    steps(scene, sizes, show, ink)
}

fn open_sides(floor: &FloorOutline) -> impl Iterator<Item = usize> {
    floor.edges.iter().enumerate().filter(|(_, e)| **e == Edge::Open).map(|(i, _)| i)
}

/// One side of the floor: `ahead` runs along it, `left` points into the floor.
#[derive(Clone, Copy, Debug)]
struct Side {
    frame: Frame,
    length_m: f32,
    edge: Edge,
}

impl Side {
    fn of(floor: &FloorOutline, i: usize) -> Self {
        let n = floor.vertices.len().max(1);
        let vertex = |i: usize| floor.vertices.get(i % n).copied().unwrap_or_default();
        let (p, q) = (vertex(i), vertex(i + 1));
        let way = (q - p).unit().unwrap_or(StageVector::new(1.0, 0.0));
        let edge = floor.edges.get(i % n).copied().unwrap_or(Edge::Level);
        Self { frame: Frame::along(p, way), length_m: p.distance(q), edge }
    }

    /// Where this side, moved in by `depth`, meets `other` moved in by its own depth: metres along this side.
    fn meets(&self, depth: f32, other: &Self, other_depth: f32) -> Option<f32> {
        let rate = self.frame.ahead.dot(other.frame.left);
        let here = (self.frame.at(0.0, depth) - other.frame.origin).dot(other.frame.left);
        (libm::fabsf(rate) > 0.05).then(|| (other_depth - here) / rate)
    }
}

/// A stretch of a side: metres along it of its outer and its inner border.
#[derive(Clone, Copy, Debug)]
struct Cut {
    outer: f32,
    inner: f32,
}

fn side(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    show: &Show,
    (i, spacing): (usize, f32),
    pass: Pass,
) -> Result<(), SceneFull> {
    let floor = &show.floor;
    let this = Side::of(floor, i);
    let before = Side::of(floor, i + floor.vertices.len().max(1) - 1);
    let after = Side::of(floor, i + 1);
    let half = sizes.half_m() + pass.grow_m;
    let (outer, inner) = (floor.edge_band_m - half, floor.edge_band_m + half);
    let end = |other: &Side, fallback: f32| {
        // A line meets the line of an open neighbour, and keeps off any other side by that side's band.
        let own = |depth| if other.edge == Edge::Open { depth } else { band_m(floor, other.edge) };
        let at = |depth: f32| this.meets(depth, other, own(depth)).unwrap_or(fallback);
        Cut { outer: at(outer), inner: at(inner) }
    };
    let (first, last) = (end(&before, 0.0), end(&after, this.length_m));
    let mut from = first;
    while let Some(gap) = next_entry(&this, &show.entries, from.outer) {
        let post = sizes.line_m + pass.grow_m;
        let gate = (gap.0 - post, gap.1 + post);
        stretch(scene, &this, (from, Cut { outer: gate.0, inner: gate.0 }), (outer, inner))?;
        doorway(scene, sizes, &this, (gap, inner), pass)?;
        from = Cut { outer: gate.1, inner: gate.1 };
    }
    stretch(scene, &this, (from, last), (outer, inner))?;
    ticks(scene, sizes, show, &this, (first.outer, last.outer, spacing), pass)
}

/// The opening of the first entry on a side that ends beyond `from`, in metres along the side.
fn next_entry(side: &Side, entries: &[Entry], from: f32) -> Option<(f32, f32)> {
    let opening = |e: &Entry| {
        let v = e.at - side.frame.origin;
        let (along, off) = (v.dot(side.frame.ahead), v.dot(side.frame.left));
        let near = libm::fabsf(off) <= ENTRY_REACH_M && along > 0.0 && along < side.length_m;
        near.then_some((along - e.width_m * 0.5, along + e.width_m * 0.5))
    };
    let ahead = entries.iter().filter_map(opening).filter(|o| o.1 > from);
    ahead.min_by(|a, b| a.0.total_cmp(&b.0))
}

fn stretch(
    scene: &mut Sheet<'_, '_>,
    side: &Side,
    (from, to): (Cut, Cut),
    (outer, inner): (f32, f32),
) -> Result<(), SceneFull> {
    if from.outer >= to.outer || from.inner >= to.inner {
        return Ok(());
    }
    let f = &side.frame;
    scene.polygon(&[f.at(from.outer, outer), f.at(to.outer, outer), f.at(to.inner, inner), f.at(from.inner, inner)])
}

/// Two posts from the edge to the line, and the nose of the step between them.
fn doorway(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    side: &Side,
    ((from, to), inner): ((f32, f32), f32),
    pass: Pass,
) -> Result<(), SceneFull> {
    let (post, grow) = (sizes.line_m + pass.grow_m, pass.grow_m);
    rectangle(scene, side, (from - post, from + grow), (0.0, inner))?;
    rectangle(scene, side, (to - grow, to + post), (0.0, inner))?;
    rectangle(scene, side, (from + grow, to - grow), (0.0, post))
}

fn rectangle(
    scene: &mut Sheet<'_, '_>,
    side: &Side,
    (from, to): (f32, f32),
    (low, high): (f32, f32),
) -> Result<(), SceneFull> {
    let f = &side.frame;
    scene.polygon(&[f.at(from, low), f.at(to, low), f.at(to, high), f.at(from, high)])
}

fn ticks(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    show: &Show,
    side: &Side,
    (from, to, spacing): (f32, f32, f32),
    pass: Pass,
) -> Result<(), SceneFull> {
    let root = show.floor.edge_band_m - sizes.half_m();
    let tip = root - libm::fminf(TICK_M, root * 0.5) - pass.grow_m;
    let half = sizes.half_m() * 0.6 + pass.grow_m;
    let count = libm::floorf((to - from) / spacing);
    let inset = (to - from - count * spacing) * 0.5;
    let mut at = from + inset + spacing * 0.5;
    // Ticks give way to numbers in every mode, so that the edge stays the same from mode to mode.
    let numbers = Numbers::of(show, sizes);
    while at < to && root > 0.0 {
        let in_entry = next_entry(side, &show.entries, at - 2.0 * sizes.line_m - half)
            .is_some_and(|gap| gap.0 < at + 2.0 * sizes.line_m + half);
        let on_number = numbers.is_some_and(|n| n.meets(side.frame.at(at, root), half));
        if !in_entry && !on_number {
            rectangle(scene, side, (at - half, at + half), (tip, root - pass.grow_m))?;
        }
        at += spacing;
    }
    Ok(())
}

/// Lines round the foot of whatever people step up to.
fn steps(scene: &mut Sheet<'_, '_>, sizes: &Sizes, show: &Show, ink: Rgba) -> Result<(), SceneFull> {
    let stepped = |k: PhysicalKind| matches!(k, PhysicalKind::Riser | PhysicalKind::Step | PhysicalKind::Ramp { .. });
    for thing in show.physicals.iter().filter(|p| stepped(p.kind)) {
        let frame = Frame::facing(thing.centre, thing.turn_deg);
        let off = sizes.half_m() + sizes.keyline_m;
        let (w, d) = (thing.width_m * 0.5 + off, thing.depth_m * 0.5 + off);
        let corners: [StagePoint; 4] = [frame.at(-w, -d), frame.at(w, -d), frame.at(w, d), frame.at(-w, d)];
        item(scene, ink, sizes.keyline_m, |scene, pass| Sides(&corners).band(scene, sizes.half_m() + pass.grow_m))?;
    }
    Ok(())
}
