//! The bands along the floor's sides as obstacles, with the gaps that entries leave in them.

use heapless::Vec;

use super::gate::Gate;
use crate::geom::{Convex, Region, Rounded, StagePoint, polygon};
use crate::limits as cap;
use crate::props::{Limit, ground::band_m};
use crate::show::{Entry, FloorOutline};
use crate::walk::error::WalkError;
use crate::walk::obstacle::Obstacle;
use crate::walk::obstacle::band::Band;

/// Pieces of a band shorter than this are none, metres.
const NO_PIECE_M: f32 = 1e-3;

type Gates = Vec<Gate, { cap::ENTRIES }>;

/// Calls `add` with the bands along the sides, cut at the entries, and the discs that they end in at corners.
pub(in crate::walk) fn bands(
    floor: &FloorOutline,
    entries: &[Entry],
    add: &mut impl FnMut(Obstacle) -> Result<(), WalkError>,
) -> Result<(), WalkError> {
    let mut gates: Gates = entries.iter().filter_map(|entry| Gate::of(entry, &floor.vertices)).collect();
    gates.sort_unstable_by(|a, b| a.span_m.0.total_cmp(&b.span_m.0));
    for (i, (side, &edge)) in polygon::sides(&floor.vertices).zip(&floor.edges).enumerate() {
        let depth_m = band_m(floor, edge);
        if depth_m > 0.0 {
            let here = gates.iter().filter(|g| usize::from(g.side) == i).map(|g| g.span_m);
            pieces(side, depth_m, here, &mut |band| add(Obstacle::band(Limit::Edge(i as u8), band)))?;
        }
    }
    corners(floor, &gates, add)
}

/// Calls `add` with what entries, given in their order along it, leave of a side's band.
fn pieces(
    (a, b): (StagePoint, StagePoint),
    depth_m: f32,
    entries: impl Iterator<Item = (f32, f32)>,
    add: &mut impl FnMut(Band) -> Result<(), WalkError>,
) -> Result<(), WalkError> {
    let Some(along) = (b - a).unit() else { return Ok(()) };
    let mut piece = |from_m: f32, to_m: f32, opens: [bool; 2]| {
        let band = Band { from: a + along * from_m, along, length_m: to_m - from_m, depth_m, opens };
        if to_m > from_m + NO_PIECE_M { add(band) } else { Ok(()) }
    };
    let (mut from_m, mut opens) = (0.0_f32, false);
    for (start_m, end_m) in entries {
        piece(from_m, start_m, [opens, true])?;
        (from_m, opens) = (from_m.max(end_m), true);
    }
    piece(from_m, a.distance(b), [opens, false])
}

/// The round ends of the bands, at the corners where they lie on the floor and in no entry of their side.
fn corners(
    floor: &FloorOutline,
    gates: &Gates,
    add: &mut impl FnMut(Obstacle) -> Result<(), WalkError>,
) -> Result<(), WalkError> {
    let count = floor.vertices.len();
    let vertex = |i: usize| floor.vertices.get(i % count).copied().unwrap_or_default();
    for i in 0..count {
        let before = (i + count - 1) % count;
        let (here, into, out) = (vertex(i), vertex(i) - vertex(before), vertex(i + 1) - vertex(i));
        let sides = [(before, into.length()), (i, 0.0)];
        let depths = sides.map(|(side, along_m)| {
            let is_open = |g: &Gate| usize::from(g.side) == side && g.span_m.0 <= along_m && g.span_m.1 >= along_m;
            let depth_m = floor.edges.get(side).map_or(0.0, |&edge| band_m(floor, edge));
            if gates.iter().any(is_open) { 0.0 } else { depth_m }
        });
        let (side, depth_m) = if depths[0] > depths[1] { (before, depths[0]) } else { (i, depths[1]) };
        let is_reflex = into.cross(out) < 0.0;
        if is_reflex || (into.dot(out) > 0.0 && depths[0] != depths[1]) {
            add(disc(Limit::Edge(side as u8), here, depth_m)?)?;
        }
    }
    Ok(())
}

fn disc(limit: Limit, at: StagePoint, radius_m: f32) -> Result<Obstacle, WalkError> {
    let point = Convex::point(at).and_then(|core| Rounded::new(core, 0.0)).map_err(WalkError::Floor)?;
    let grown = Obstacle::grown(limit, &Region::Rounded(point), radius_m).map_err(WalkError::Floor)?;
    Ok(Obstacle { yields: false, ..grown })
}
