//! The floor's end, and who may cross it where.

use heapless::Vec;

use super::gate::{End, Gate};
use crate::geom::{GeomError, StagePoint, Stretch, polygon, segment};
use crate::limits as cap;
use crate::props::Limit;
use crate::show::{Edge, Entry, FloorOutline};
use crate::walk::error::WalkError;
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

impl Floor {
    /// No floor.
    pub(in crate::walk) const fn vacant() -> Self {
        Self { outline: Vec::new(), levels: Vec::new(), gates: Vec::new(), is_convex: false }
    }

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

    /// Number of its sides.
    pub(in crate::walk) fn sides(&self) -> u8 {
        self.outline.len() as u8
    }

    /// The ends of a side that is level: it has no band, so that it is no obstacle.
    pub(in crate::walk) fn level(&self, side: u8) -> Option<(StagePoint, StagePoint)> {
        let is_level = *self.levels.get(usize::from(side))?;
        is_level.then(|| polygon::sides(&self.outline).nth(side.into())).flatten()
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
