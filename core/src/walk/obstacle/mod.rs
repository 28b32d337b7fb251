//! What a walker goes round: convex sets with a radius, rings, and the bands along the floor's sides.
//!
//! A shortest way bends only on round corners of these: [`Bend`] is one, a circle of which an arc belongs
//! to the outline. Nothing else about a shape matters to the search but whether a straight way passes
//! through it and how far an arc goes before it runs into it.

pub(in crate::walk) mod band;
pub(in crate::walk) mod convex;
pub(in crate::walk) mod leg;
pub(in crate::walk) mod reach;
pub(in crate::walk) mod ring;

use crate::geom::{Region, Rounded, StagePoint, StageVector};
use crate::props::Limit;
use crate::walk::obstacle::band::Band;
use crate::walk::obstacle::leg::Leg;
use crate::walk::obstacle::reach::Circle;
use crate::walk::obstacle::ring::RingWall;
use crate::walk::tangent::TOUCH_M;

/// Least radius of a bend, metres: a planned corner is told from a stop by having one.
pub(in crate::walk) const LEAST_BEND_M: f32 = 2e-5;
/// Points, segments and rings are grown by this at least, metres: more than the tolerance, so that they stop people.
pub(in crate::walk) const LEAST_THICK_M: f32 = 1e-4;
/// Length of a sharp bend's sides, metres: a way may run into it at up to 1e-3 rad, since its circle, which is
/// rounder than the corner, hides a stop that stands at the corner's side. Such ways are tested against the corner itself.
const SHARP_SIDE_M: f32 = 0.02;

/// The form of an obstacle.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::large_enum_variant, reason = "there is no heap to put the larger one on")]
pub(in crate::walk) enum Shape {
    Rounded(Rounded),
    Ring(RingWall),
    Band(Band),
}

/// One thing to keep out of.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::walk) struct Obstacle {
    pub(in crate::walk) limit: Limit,
    pub(in crate::walk) shape: Shape,
    /// How much of the radius (or of a band's depth) is room that a stop may be inside of, metres.
    pub(in crate::walk) growth_m: f32,
    /// True for props and furniture, whose room shrinks when it is asked how much is missing.
    pub(in crate::walk) yields: bool,
    /// For a side that one may step down over: which thing it is of. It is on the left of the core's segment.
    pub(in crate::walk) falls: Option<u8>,
    /// A disc that holds the shape without its radius.
    pub(in crate::walk) middle: StagePoint,
    pub(in crate::walk) about_m: f32,
}

/// A round corner: where a way may bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::walk) struct Bend {
    pub(in crate::walk) centre: StagePoint,
    pub(in crate::walk) radius_m: f32,
    /// From the centre towards what the corner joins: a tangent leaves both on the corner's own side.
    pub(in crate::walk) sides: [StageVector; 2],
    /// Unit direction and cosine of half the opening of a circle that is not closed.
    pub(in crate::walk) mouth: Option<(StageVector, f32)>,
}

impl Bend {
    /// A corner between the ways to its two neighbours.
    pub(in crate::walk) fn corner(centre: StagePoint, radius_m: f32, sides: [StageVector; 2]) -> Self {
        let short = |side: StageVector| side.unit().unwrap_or_default() * SHARP_SIDE_M;
        let is_sharp = radius_m <= LEAST_BEND_M;
        Self {
            centre,
            radius_m: radius_m.max(LEAST_BEND_M),
            sides: if is_sharp { sides.map(short) } else { sides },
            mouth: None,
        }
    }

    /// True when a way with unit direction `way` and the circle on its `sense` side touches the outline here.
    pub(in crate::walk) fn admits(&self, way: StageVector, sense: f32) -> bool {
        let [before, after] = self.sides;
        let within = |side: StageVector| sense * way.cross(side) >= -TOUCH_M;
        let open = |(middle, cosine): (StageVector, f32)| (way.perp() * -sense).dot(middle) > cosine;
        within(before) && within(after) && !self.mouth.is_some_and(open)
    }

    /// The most that a way turns on it, radians: half round for the end of a segment, less for a corner.
    pub(in crate::walk) fn most_turn(&self) -> f32 {
        let is_disc = self.sides == [StageVector::default(); 2];
        if is_disc { core::f32::consts::TAU } else { core::f32::consts::PI + 1e-3 }
    }
}

/// An obstacle in one plan: its radius is less by `cut_m`.
#[derive(Clone, Copy, Debug)]
pub(in crate::walk) struct Solid<'t> {
    pub(in crate::walk) of: &'t Obstacle,
    pub(in crate::walk) cut_m: f32,
}

impl Obstacle {
    /// `footprint` grown by `growth_m`.
    pub(in crate::walk) fn grown(
        limit: Limit,
        footprint: &Region,
        growth_m: f32,
    ) -> Result<Self, crate::geom::GeomError> {
        let (shape, middle, about_m) = match footprint.grown(growth_m)? {
            Region::Rounded(set) => {
                let least_m = if set.core().vertices().len() < 3 { LEAST_THICK_M } else { 0.0 };
                let set = Rounded::new(set.core().clone(), set.radius_m().max(least_m))?;
                let (middle, whole_m) = set.bounds();
                let about_m = whole_m - set.radius_m();
                (Shape::Rounded(set), middle, about_m)
            }
            Region::Ring(ring) => {
                let wall = RingWall::of(&ring);
                (Shape::Ring(wall), wall.centre, wall.outer_m)
            }
        };
        let obstacle = Self { limit, shape, growth_m, yields: true, falls: None, middle, about_m };
        // What is thinner than the least keeps that much.
        let bare_m = (obstacle.radius_m() - growth_m).max(obstacle.least_m());
        Ok(Self { growth_m: obstacle.radius_m() - bare_m, ..obstacle })
    }

    /// A band along a side of the floor.
    pub(in crate::walk) fn band(limit: Limit, band: Band) -> Self {
        let (middle, about_m) = band.bounds();
        Self { limit, shape: Shape::Band(band), growth_m: band.depth_m, yields: false, falls: None, middle, about_m }
    }

    /// By how much the core is grown, metres.
    fn radius_m(&self) -> f32 {
        match &self.shape {
            Shape::Rounded(set) => set.radius_m(),
            Shape::Ring(ring) => ring.grown_m,
            Shape::Band(_) => 0.0,
        }
    }

    fn least_m(&self) -> f32 {
        match &self.shape {
            Shape::Rounded(set) if set.core().vertices().len() >= 3 => 0.0,
            Shape::Rounded(_) | Shape::Ring(_) => LEAST_THICK_M,
            Shape::Band(_) => 0.0,
        }
    }
}

impl Solid<'_> {
    /// By how much the core is grown in this plan, metres.
    pub(in crate::walk) fn radius_m(&self) -> f32 {
        (self.of.radius_m() - self.cut_m).max(0.0)
    }

    /// Distance from `p`, metres; negative inside.
    pub(in crate::walk) fn signed_distance(&self, p: StagePoint) -> f32 {
        match &self.of.shape {
            Shape::Rounded(set) => set.core().signed_distance(p) - self.radius_m(),
            Shape::Ring(ring) => ring.core_distance(p) - self.radius_m(),
            Shape::Band(band) => band.signed_distance(p, self.cut_m),
        }
    }

    /// Whether the leg crosses this side downwards (true) or upwards (false); `None` when it does not cross it.
    pub(in crate::walk) fn crossed_down(&self, leg: &Leg) -> Option<bool> {
        let Shape::Rounded(set) = &self.of.shape else { return None };
        let &[a, b] = set.core().vertices() else { return None };
        let (before, after) = ((b - a).cross(leg.from - a), (b - a).cross(leg.to - a));
        let crosses = before * after < 0.0 && leg.along.cross(a - leg.from) * leg.along.cross(b - leg.from) < 0.0;
        crosses.then_some(before > 0.0)
    }

    /// True when `p` is in the gap of a ring.
    pub(in crate::walk) fn has_in_mouth(&self, p: StagePoint) -> bool {
        matches!(&self.of.shape, Shape::Ring(ring) if ring.has_in_mouth(p))
    }

    /// True when a way that touches it from outside cannot pass through it elsewhere.
    pub(in crate::walk) fn is_convex(&self) -> bool {
        matches!(self.of.shape, Shape::Rounded(_)) && self.radius_m() > LEAST_BEND_M
    }

    /// Number of its bends.
    pub(in crate::walk) fn bends(&self) -> u8 {
        match &self.of.shape {
            Shape::Rounded(set) => set.core().vertices().len() as u8,
            Shape::Ring(ring) => ring.bends(),
            Shape::Band(_) => 2,
        }
    }

    /// Bend `i`.
    pub(in crate::walk) fn bend(&self, i: u8) -> Option<Bend> {
        match &self.of.shape {
            Shape::Rounded(set) => convex::bend(set.core().vertices(), usize::from(i), self.radius_m()),
            Shape::Ring(ring) => ring.bend(i, self.radius_m()),
            Shape::Band(band) => band.bend(i, self.cut_m),
        }
    }

    /// True when the leg passes through the inside.
    pub(in crate::walk) fn blocks(&self, leg: &Leg) -> bool {
        let room_m = self.of.about_m + self.radius_m();
        if leg.square_to(self.of.middle) >= room_m * room_m {
            return false;
        }
        let keep_m = self.radius_m() - TOUCH_M;
        match &self.of.shape {
            Shape::Rounded(set) if keep_m > 0.0 => convex::square_to(set.core().vertices(), leg) < keep_m * keep_m,
            Shape::Rounded(set) => convex::is_pierced(set.core().vertices(), leg, -keep_m),
            Shape::Ring(ring) => ring.distance_to(leg) < keep_m,
            Shape::Band(band) => band.is_crossed(leg, self.cut_m),
        }
    }

    /// Lowers the circle's free turn to where it enters this obstacle.
    pub(in crate::walk) fn shorten(&self, circle: &mut Circle) {
        let room_m = self.of.about_m + self.radius_m() + circle.radius_m;
        let apart = self.of.middle - circle.centre;
        if apart.dot(apart) >= room_m * room_m {
            return;
        }
        let keep_m = self.radius_m() - TOUCH_M;
        match &self.of.shape {
            Shape::Rounded(set) => convex::shorten(set.core().vertices(), keep_m, circle),
            Shape::Ring(ring) => ring.shorten(keep_m, circle),
            Shape::Band(band) => band.shorten(self.cut_m, circle),
        }
    }
}
