//! The floor on the plan: edges, bands, entries, keep-outs, what carries people, walls.

use underfoot_core::props::Limit;
use underfoot_core::show::{Edge, PhysicalKind, Show};
use underfoot_core::zones::Bound;

use super::P2;
use super::thing::{Shape, to_side};

/// The floor and what stands on it.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// Corners, counter-clockwise.
    pub(super) floor: Vec<P2>,
    bands: Vec<f64>,
    /// Edge, middle and half width of each entry.
    entries: Vec<(usize, P2, f64)>,
    /// Footprints and the room beside each.
    pub keepouts: Vec<(Limit, Shape, f64)>,
    /// Corners and height of what carries people.
    carriers: Vec<Carrier>,
    /// Foot from and to, lower and upper edge.
    pub(super) walls: Vec<(P2, P2, f64, f64)>,
}

/// Something that carries people: corners, height, and for a ramp its middle, the way it rises, and half its run.
#[derive(Clone, Debug)]
struct Carrier {
    corners: Vec<P2>,
    top: f64,
    ramp: Option<(P2, P2, f64)>,
}

impl Carrier {
    fn top_at(&self, p: P2) -> Option<f64> {
        let on = Shape::Polygon(self.corners.clone()).distance(p) == 0.0;
        let share = self.ramp.map_or(1.0, |(middle, way, half)| {
            let along = (p.0 - middle.0) * way.0 + (p.1 - middle.1) * way.1;
            ((along / half + 1.0) / 2.0).clamp(0.0, 1.0)
        });
        on.then_some(self.top * share)
    }
}

pub(super) fn rectangle(centre: P2, size: P2, turn: f64) -> Vec<P2> {
    let (sin, cos) = turn.sin_cos();
    let corner = |u: f64, v: f64| (centre.0 + u * cos - v * sin, centre.1 + u * sin + v * cos);
    let (w, d) = (size.0 / 2.0, size.1 / 2.0);
    vec![corner(-w, -d), corner(w, -d), corner(w, d), corner(-w, d)]
}

impl Plan {
    /// The floor, entries, walls and physical things of a show; `room` is the room beside furniture.
    pub fn of(show: &Show, room: f64) -> Self {
        let p2 = |p: underfoot_core::geom::StagePoint| (f64::from(p.x), f64::from(p.y));
        let floor: Vec<P2> = show.floor.vertices.iter().map(|&v| p2(v)).collect();
        let band = |edge: &Edge| match edge {
            Edge::Open => f64::from(show.floor.edge_band_m),
            Edge::Wall => 0.15,
            Edge::Level => 0.0,
        };
        let side = |i: usize| (floor[i], floor[(i + 1) % floor.len()]);
        let entry = |e: &underfoot_core::show::Entry| {
            let at = p2(e.at);
            let far = |i: &usize| to_side(at, side(*i).0, side(*i).1);
            let edge = (0..floor.len()).min_by(|a, b| far(a).total_cmp(&far(b))).expect("a side");
            (edge, at, f64::from(e.width_m) / 2.0)
        };
        let mut plan = Self {
            bands: show.floor.edges.iter().map(band).collect(),
            entries: show.entries.iter().map(entry).collect(),
            walls: show.walls.iter().map(|w| (p2(w.from), p2(w.to), w.bottom_m.into(), w.top_m.into())).collect(),
            floor: floor.clone(),
            ..Self::default()
        };
        for (i, thing) in show.physicals.iter().enumerate() {
            let size = (thing.width_m.into(), thing.depth_m.into());
            let corners = rectangle(p2(thing.centre), size, f64::from(thing.turn_deg).to_radians());
            match thing.kind {
                PhysicalKind::Furniture | PhysicalKind::Column => {
                    plan.keepouts.push((Limit::Physical(i as u8), Shape::Polygon(corners), room));
                }
                PhysicalKind::Ramp { rises_deg } => {
                    let (sin, cos) = f64::from(rises_deg).to_radians().sin_cos();
                    let middle = p2(thing.centre);
                    let along = |c: &P2| (c.0 - middle.0) * cos + (c.1 - middle.1) * sin;
                    let half = corners.iter().map(along).fold(0.0, f64::max);
                    plan.carriers.push(Carrier {
                        corners,
                        top: thing.height_m.into(),
                        ramp: Some((middle, (cos, sin), half)),
                    });
                }
                _ => plan.carriers.push(Carrier { corners, top: thing.height_m.into(), ramp: None }),
            }
        }
        plan
    }

    /// Height of what carries people at `p`.
    pub fn base(&self, p: P2) -> f64 {
        self.carriers.iter().filter_map(|carrier| carrier.top_at(p)).fold(0.0, f64::max)
    }

    /// True when LED walls back people.
    pub fn has_walls(&self) -> bool {
        !self.walls.is_empty()
    }

    fn sides(&self) -> impl Iterator<Item = (P2, P2)> + '_ {
        self.floor.iter().copied().zip(self.floor.iter().copied().cycle().skip(1))
    }

    /// True on the floor, by the sides that a ray crosses.
    pub(super) fn on_floor(&self, p: P2) -> bool {
        let crossed =
            |(a, b): &(P2, P2)| (a.1 > p.1) != (b.1 > p.1) && p.0 < a.0 + (p.1 - a.1) / (b.1 - a.1) * (b.0 - a.0);
        self.sides().filter(crossed).count() % 2 == 1
    }

    /// Distance to the floor's edge.
    pub(super) fn to_edge(&self, p: P2) -> f64 {
        self.sides().map(|(a, b)| to_side(p, a, b)).fold(f64::INFINITY, f64::min)
    }

    /// What of the floor is wrong at `p`.
    pub fn faults(&self, p: P2) -> Vec<Bound> {
        let mut found = Vec::new();
        if !self.on_floor(p) {
            found.push(Limit::OffFloor);
        }
        for (i, ((a, b), band)) in self.sides().zip(&self.bands).enumerate() {
            let waived = |(edge, at, half): &(usize, P2, f64)| {
                let along = ((b.0 - a.0, b.1 - a.1), (b.0 - a.0).hypot(b.1 - a.1));
                let off = ((p.0 - at.0) * along.0.0 + (p.1 - at.1) * along.0.1) / along.1;
                *edge == i && off.abs() <= *half
            };
            if to_side(p, a, b) < *band && !self.entries.iter().any(waived) {
                found.push(Limit::Edge(i as u8));
            }
        }
        found.extend(self.keepouts.iter().filter(|(_, shape, room)| shape.distance(p) < *room).map(|k| k.0));
        found.into_iter().map(Bound::Limit).collect()
    }
}
