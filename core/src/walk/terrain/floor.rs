//! The floor's end, the bands along its sides, and the entries through them.

use heapless::Vec;

use crate::geom::{Convex, GeomError, Region, Rounded, StagePoint, Stretch, polygon, segment};
use crate::limits as cap;
use crate::props::{Limit, ground::band_m};
use crate::show::{Edge, Entry, FloorOutline, Passage};
use crate::walk::error::WalkError;
use crate::walk::obstacle::Obstacle;
use crate::walk::obstacle::band::Band;
use crate::walk::obstacle::leg::Leg;
use crate::walk::obstacle::reach::Circle;
use crate::walk::tangent::TOUCH_M;

/// A stop this near to a side is at the floor's edge, metres.
const AT_EDGE_M: f32 = 1e-3;

/// The floor's outline and where it may be crossed.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::walk) struct Floor {
    outline: Vec<StagePoint, { cap::FLOOR_VERTICES }>,
    levels: Vec<bool, { cap::FLOOR_VERTICES }>,
    gates: Vec<Gate, { cap::ENTRIES }>,
    is_convex: bool,
}

/// An entry on its side of the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Gate {
    side: u8,
    /// Where it begins and ends along the side, metres from the side's first vertex.
    span_m: (f32, f32),
    passage: Passage,
}

/// Which way a stop at the edge is crossed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::walk) enum End {
    Start,
    Between,
    Goal,
}

impl Floor {
    pub(in crate::walk) fn of(floor: &FloorOutline, entries: &[Entry]) -> Result<Self, WalkError> {
        let outline = floor.vertices.clone();
        polygon::check(&outline).map_err(WalkError::Floor)?;
        if polygon::signed_area(&outline) < 0.0 || floor.edges.len() != outline.len() {
            return Err(WalkError::Floor(GeomError::NotConvex));
        }
        let levels = floor.edges.iter().map(|&edge| edge == Edge::Level).collect();
        let is_convex = polygon::is_convex(&outline);
        let mut gates = Vec::new();
        for entry in entries {
            let gate = Gate::of(entry, &outline).ok_or(WalkError::Floor(GeomError::Collinear))?;
            gates.push(gate).map_err(|_| WalkError::Floor(GeomError::TooMany))?;
        }
        Ok(Self { outline, levels, gates, is_convex })
    }

    /// What keeps a stop from being an end of a way, and by how much: off the floor, or at an edge that nobody
    /// may cross there.
    pub(in crate::walk) fn refuses(&self, p: StagePoint, end: End) -> Option<(Limit, f32)> {
        if !polygon::contains(&self.outline, p) {
            return Some((Limit::OffFloor, polygon::boundary_distance(&self.outline, p)));
        }
        let sides = polygon::sides(&self.outline).zip(&self.levels).enumerate();
        let at_edge = sides.filter(|&(_, ((a, b), &is_level))| !is_level && segment::distance(p, a, b) < AT_EDGE_M);
        let mut closed = at_edge.filter(|&(i, ((a, b), _))| {
            let lets = |g: &Gate| usize::from(g.side) == i && g.has(p, (a, b)) && g.lets(end);
            !self.gates.iter().any(lets)
        });
        closed.next().map(|(i, _)| (Limit::Edge(i as u8), AT_EDGE_M))
    }

    /// True when the leg, which starts on the floor, leaves it.
    pub(in crate::walk) fn blocks(&self, leg: &Leg) -> bool {
        let beyond = |p: StagePoint| {
            polygon::sides(&self.outline)
                .any(|(a, b)| (b - a).cross(p - a) < 0.0 && (b - a).unit().is_some_and(|u| u.cross(p - a) < -TOUCH_M))
        };
        if self.is_convex { beyond(leg.to) } else { self.leaves_concave(leg) }
    }

    /// Looks in the middle of every run between two sides that the leg crosses.
    fn leaves_concave(&self, leg: &Leg) -> bool {
        let mut shares = Vec::<f32, { cap::FLOOR_VERTICES + 2 }>::from_slice(&[0.0, 1.0]).unwrap_or_default();
        for (a, b) in polygon::sides(&self.outline) {
            let side = b - a;
            let (first, last) = (side.cross(leg.from - a), side.cross(leg.to - a));
            if first * last < 0.0 {
                shares.push(first / (first - last)).unwrap_or(());
            }
        }
        shares.sort_unstable_by(f32::total_cmp);
        let off = |p: StagePoint| {
            polygon::locate(&self.outline, p) == polygon::Place::Outside
                && polygon::boundary_distance(&self.outline, p) > TOUCH_M
        };
        off(leg.to) || shares.windows(2).any(|w| matches!(*w, [a, b] if off(leg.point((a + b) / 2.0))))
    }

    /// Calls `found` with the room to the level sides along a stretch, or with how far it is off the floor.
    ///
    /// Off a floor with inner corners the distance is that of the farthest end or middle of a run off it.
    pub(in crate::walk) fn room_along(&self, stretch: &Stretch, found: &mut impl FnMut(Limit, f32, StagePoint)) {
        let mut shares = Vec::<f32, { 2 * cap::FLOOR_VERTICES + 2 }>::from_slice(&[0.0, 1.0]).unwrap_or_default();
        for (from, to) in polygon::sides(&self.outline) {
            stretch.cuts(&Stretch::Line { from, to }, &mut |t| {
                if t > 0.0 && t < 1.0 {
                    shares.push(t).unwrap_or(());
                }
            });
        }
        shares.sort_unstable_by(f32::total_cmp);
        let middles = shares.iter().zip(shares.iter().skip(1)).map(|(a, b)| (a + b) / 2.0);
        let mut is_off = false;
        for at in middles.chain([0.0, 1.0]).map(|t| stretch.point(t)) {
            if polygon::locate(&self.outline, at) == polygon::Place::Outside {
                is_off = true;
                found(Limit::OffFloor, -polygon::boundary_distance(&self.outline, at), at);
            }
        }
        if !is_off {
            self.room_to_levels(stretch, found);
        }
    }

    /// The stretch stays on the floor: along a line the room to a side is least at an end of either.
    fn room_to_levels(&self, stretch: &Stretch, found: &mut impl FnMut(Limit, f32, StagePoint)) {
        let sides = polygon::sides(&self.outline).zip(&self.levels).enumerate().filter(|(_, (_, is_level))| **is_level);
        for (i, ((a, b), _)) in sides {
            let mut ask = |at: StagePoint| found(Limit::Edge(i as u8), segment::distance(at, a, b), at);
            ask(stretch.point(0.0));
            ask(stretch.point(1.0));
            match *stretch {
                Stretch::Line { from, to } => {
                    let leg = Leg::new(from, to);
                    [a, b].into_iter().for_each(|v| ask(leg.point(leg.share(v))));
                }
                Stretch::Arc { centre, radius_m, .. } => {
                    let nearest = segment::nearest(centre, a, b);
                    if let Some(out) = (nearest - centre).unit() {
                        stretch.cuts(&Stretch::Line { from: centre, to: centre + out * (2.0 * radius_m) }, &mut |t| {
                            if (0.0..=1.0).contains(&t) {
                                ask(stretch.point(t));
                            }
                        });
                    }
                }
            }
        }
    }

    /// Shortens the circle's free turn to where it leaves the floor.
    pub(in crate::walk) fn shorten(&self, circle: &mut Circle) {
        for (a, b) in polygon::sides(&self.outline) {
            let Some(side) = (b - a).unit() else { continue };
            let off = side.perp() * -TOUCH_M;
            circle.enter_side(a + off, b + off, |_| true);
        }
    }
}

impl Gate {
    fn of(entry: &Entry, outline: &[StagePoint]) -> Option<Self> {
        let far = |&(_, (a, b)): &(usize, (StagePoint, StagePoint))| segment::distance(entry.at, a, b);
        let (i, (a, b)) = polygon::sides(outline).enumerate().min_by(|x, y| far(x).total_cmp(&far(y)))?;
        let middle_m = a.distance(segment::nearest(entry.at, a, b));
        let half_m = entry.width_m / 2.0;
        Some(Self { side: i as u8, span_m: (middle_m - half_m, middle_m + half_m), passage: entry.passage })
    }

    fn has(&self, p: StagePoint, (a, b): (StagePoint, StagePoint)) -> bool {
        let along_m = (b - a).unit().map_or(0.0, |u| u.dot(p - a));
        along_m >= self.span_m.0 - TOUCH_M && along_m <= self.span_m.1 + TOUCH_M
    }

    fn lets(&self, end: End) -> bool {
        match end {
            End::Start => self.passage != Passage::Out,
            End::Goal => self.passage != Passage::In,
            End::Between => true,
        }
    }
}

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
        if to_m > from_m + AT_EDGE_M { add(band) } else { Ok(()) }
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
