//! Upright solids: what props and physical things are made of.

use underfoot_core::cameras::{Solid, SolidShape};
use underfoot_core::geom::{StagePoint, StageVector};

use super::ray::{Ray, Span, V3, cylinder};

/// An upright solid between two heights.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Thing {
    /// Its outline on the floor.
    pub(super) plan: Plan,
    /// Lower end, metres.
    pub(super) bottom: f64,
    /// Upper end, metres.
    pub(super) top: f64,
    /// Its top is this plane instead: `normal · p <= offset`.
    pub(super) slope: Option<(V3, f64)>,
}

/// The outline of a solid on the floor.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Plan {
    /// A disc.
    Disc { centre: (f64, f64), radius: f64 },
    /// A ring; its gap reaches from one direction counter-clockwise to the other, less than half a turn.
    Ring { centre: (f64, f64), inner: f64, outer: f64, gap: Option<Gap> },
    /// A convex polygon, counter-clockwise, and for each of its sides the unit vector out of it and `normal · p` on it.
    Convex { corners: Vec<(f64, f64)>, sides: Vec<(V3, f64)> },
}

impl Plan {
    /// A convex polygon, counter-clockwise. Its sides are worked out once, for rays ask for them millions of times.
    pub(super) fn convex(corners: Vec<(f64, f64)>) -> Self {
        let next = corners.iter().cycle().skip(1);
        let side = |(&(x, y), &(nx, ny)): (&(f64, f64), &(f64, f64))| {
            let (out_x, out_y) = (ny - y, x - nx);
            let length = (out_x * out_x + out_y * out_y).sqrt();
            let normal = [out_x / length, out_y / length, 0.0];
            (normal, normal[0] * x + normal[1] * y)
        };
        let sides = corners.iter().zip(next).map(side).collect();
        Self::Convex { corners, sides }
    }
}

/// The directions of a gap's two sides, of unit length.
type Gap = ((f64, f64), (f64, f64));

/// The same place in the desk's numbers.
pub(super) fn wide(p: StagePoint) -> (f64, f64) {
    (p.x.into(), p.y.into())
}

impl From<&Solid> for Thing {
    fn from(solid: &Solid) -> Self {
        let way = |v: StageVector| (f64::from(v.x), f64::from(v.y));
        let plan = match &solid.shape {
            SolidShape::Disc { centre, radius_m } => Plan::Disc { centre: wide(*centre), radius: (*radius_m).into() },
            SolidShape::Ring { centre, inner_m, outer_m, gap } => Plan::Ring {
                centre: wide(*centre),
                inner: (*inner_m).into(),
                outer: (*outer_m).into(),
                gap: gap.map(|g| (way(g.first), way(g.last))),
            },
            SolidShape::Polygon(corners) => Plan::convex(corners.iter().map(|&p| wide(p)).collect()),
        };
        Self { plan, bottom: solid.bottom_m.into(), top: solid.top_m.into(), slope: None }
    }
}

impl Thing {
    /// Calls `found` with every stretch of the ray inside the solid, nearest first, as far as it lies ahead.
    pub(super) fn spans(&self, ray: &Ray, found: &mut impl FnMut(Span)) {
        let Some(slab) = self.slab(ray) else { return };
        let mut ahead = |span: Option<Span>| {
            if let Some(span) = span.filter(|s| s.leave > 0.0) {
                found(span);
            }
        };
        match &self.plan {
            Plan::Disc { centre, radius } => {
                let inside = cylinder(ray, *centre, *radius);
                ahead(inside.and_then(|depths| slab.between(depths, |d| radial(ray.at(d), *centre, 1.0))));
            }
            Plan::Convex { sides, .. } => ahead(convex(sides, ray, slab)),
            Plan::Ring { centre, inner, outer, gap } => {
                ring(ray, *centre, (*inner, *outer), *gap).into_iter().for_each(|piece| {
                    ahead(slab.between(piece, |d| ring_normal(ray.at(d), *centre, (*inner, *outer))));
                });
            }
        }
    }

    /// The first stretch inside the solid.
    pub(super) fn first(&self, ray: &Ray) -> Option<Span> {
        let mut first = None;
        self.spans(ray, &mut |span| first = first.or(Some(span)));
        first
    }

    fn slab(&self, ray: &Ray) -> Option<Span> {
        let (up, top) = self.slope.unwrap_or(([0.0, 0.0, 1.0], self.top));
        Span::WHOLE.clipped(ray, [0.0, 0.0, -1.0], -self.bottom)?.clipped(ray, up, top)
    }

    /// The corners of a box round it.
    pub(super) fn corners(&self) -> [V3; 8] {
        let (low, high) = match &self.plan {
            Plan::Disc { centre: (x, y), radius: r } | Plan::Ring { centre: (x, y), outer: r, .. } => {
                ((x - r, y - r), (x + r, y + r))
            }
            Plan::Convex { corners, .. } => {
                corners.iter().fold(((f64::MAX, f64::MAX), (f64::MIN, f64::MIN)), |(l, h), p| {
                    ((l.0.min(p.0), l.1.min(p.1)), (h.0.max(p.0), h.1.max(p.1)))
                })
            }
        };
        let pick = |high_one: bool, l: f64, h: f64| if high_one { h } else { l };
        [0, 1, 2, 3, 4, 5, 6, 7].map(|i: u8| {
            [pick(i & 1 > 0, low.0, high.0), pick(i & 2 > 0, low.1, high.1), pick(i & 4 > 0, self.bottom, self.top)]
        })
    }
}

fn convex(sides: &[(V3, f64)], ray: &Ray, slab: Span) -> Option<Span> {
    let mut span = slab;
    for &(normal, offset) in sides {
        span = span.clipped(ray, normal, offset)?;
    }
    Some(span)
}

fn radial(p: V3, (x, y): (f64, f64), sign: f64) -> V3 {
    let (dx, dy) = (p[0] - x, p[1] - y);
    let length = (dx * dx + dy * dy).sqrt().max(1e-9) * sign;
    [dx / length, dy / length, 0.0]
}

fn ring_normal(p: V3, centre: (f64, f64), (inner, outer): (f64, f64)) -> V3 {
    let away = ((p[0] - centre.0) * (p[0] - centre.0) + (p[1] - centre.1) * (p[1] - centre.1)).sqrt();
    radial(p, centre, if away * 2.0 < inner + outer { -1.0 } else { 1.0 })
}

/// Depths between which a ray is inside the ring: at most four stretches, nearest first.
fn ring(ray: &Ray, centre: (f64, f64), (inner, outer): (f64, f64), gap: Option<Gap>) -> Vec<(f64, f64)> {
    let mut pieces: Vec<(f64, f64)> = cylinder(ray, centre, outer).into_iter().collect();
    if let Some(hole) = cylinder(ray, centre, inner) {
        pieces = without(&pieces, hole);
    }
    if let Some((first, last)) = gap {
        // The gap is the wedge to the left of its first side and to the right of its last.
        let side = |x: f64, y: f64| ([x, y, 0.0], x * centre.0 + y * centre.1);
        let (left, right) = (side(first.1, -first.0), side(-last.1, last.0));
        let wedge = Span::WHOLE.clipped(ray, left.0, left.1).and_then(|s| s.clipped(ray, right.0, right.1));
        if let Some(wedge) = wedge {
            pieces = without(&pieces, (wedge.enter, wedge.leave));
        }
    }
    pieces
}

fn without(pieces: &[(f64, f64)], (from, to): (f64, f64)) -> Vec<(f64, f64)> {
    let parts = pieces.iter().flat_map(|&(a, b)| [(a, b.min(from)), (a.max(to), b)]);
    parts.filter(|(a, b)| a < b).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn across(y: f64, z: f64) -> Ray {
        Ray { from: [-10.0, y, z], way: [1.0, 0.0, 0.0] }
    }

    fn all(thing: &Thing, ray: &Ray) -> Vec<(f64, f64)> {
        let mut found = Vec::new();
        thing.spans(ray, &mut |s| found.push((s.enter, s.leave)));
        found
    }

    #[test]
    fn a_box_is_entered_by_its_near_side_or_its_top() {
        let corners = vec![(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
        let thing = Thing { plan: Plan::convex(corners), bottom: 0.0, top: 2.0, slope: None };
        let side = thing.first(&across(0.0, 1.0)).unwrap();
        assert_eq!((side.enter, side.leave, side.normal), (9.0, 11.0, [-1.0, 0.0, 0.0]));
        let down = Ray { from: [-2.0, 0.0, 4.0], way: [1.0, 0.0, -1.0] };
        assert_eq!(thing.first(&down).unwrap().normal, [0.0, 0.0, 1.0]);
        assert!(all(&thing, &across(0.0, 2.5)).is_empty());
    }

    #[test]
    fn a_ring_is_crossed_twice_and_once_where_its_gap_lies() {
        let plan = |gap| Plan::Ring { centre: (0.0, 0.0), inner: 1.0, outer: 2.0, gap };
        let thing = |gap| Thing { plan: plan(gap), bottom: 0.0, top: 2.0, slope: None };
        assert_eq!(all(&thing(None), &across(0.0, 1.0)), vec![(8.0, 9.0), (11.0, 12.0)]);
        // A gap of the quarter about stage right: the near wall is away.
        let gapped = all(&thing(Some(((-0.6, 0.8), (-0.6, -0.8)))), &across(0.0, 1.0));
        assert_eq!(gapped, vec![(11.0, 12.0)]);
    }
}
