//! The least room along a way, whoever drew it.

use crate::geom::{StagePoint, StageVector, Stretch, meet, polygon};
use crate::props::{Limit, Standing};
use crate::walk::obstacle::leg::Leg;
use crate::walk::obstacle::{Shape, Solid};
use crate::walk::path::Path;
use crate::walk::terrain::{Ground, Terrain};

/// Where a way has least room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Narrowest {
    /// What limits it, and metres to spare; negative: so many are missing.
    pub standing: Standing,
    /// The place on the way.
    pub at: StagePoint,
}

/// Steps of a search for the deepest point of a line: each leaves two thirds, all of them a share of 1e-7.
const THIRDS: u8 = 40;

/// The least room to spare along `path` and what limits it; negative where the path is nearer to something than it
/// may be. `None` for a path without points.
///
/// Exact along lines, and along arcs as long as they stay out of bare footprints: nothing is stepped through. What
/// an end of the path is too near to is measured as in planning: its room ends at that end. Sides that one may step
/// down over do not count where the path goes down over them.
pub fn check<const N: usize>(terrain: &Terrain<N>, path: &Path<'_>) -> Option<Standing> {
    narrowest(terrain, path).map(|narrow| narrow.standing)
}

/// As [`check`], with the place.
pub fn narrowest<const N: usize>(terrain: &Terrain<N>, path: &Path<'_>) -> Option<Narrowest> {
    let [first, .., last] = path.points() else { return None };
    along(terrain, path.stretches(), (first.at, last.at))
}

/// As [`narrowest`] of the first `until_m` metres of the path; `None` when that is nothing.
///
/// The way that is left ends straight: where it would end on an arc, it ends before it.
pub fn narrowest_until<const N: usize>(terrain: &Terrain<N>, path: &Path<'_>, until_m: f32) -> Option<Narrowest> {
    let first = path.points().first()?.at;
    let cut = || {
        path.stretches().scan(until_m, |left_m, stretch| {
            let length_m = stretch.length();
            let here_m = core::mem::replace(left_m, *left_m - length_m);
            match stretch {
                _ if here_m >= length_m => Some(stretch),
                Stretch::Line { from, .. } if here_m > 0.0 => {
                    Some(Stretch::Line { from, to: stretch.point(here_m / length_m) })
                }
                _ => None,
            }
        })
    };
    let last = cut().last()?.point(1.0);
    along(terrain, cut(), (first, last))
}

fn along<const N: usize>(
    terrain: &Terrain<N>,
    stretches: impl Iterator<Item = Stretch>,
    (first, last): (StagePoint, StagePoint),
) -> Option<Narrowest> {
    let mut least = None;
    for stretch in stretches {
        let leg = Leg::new(stretch.point(0.0), stretch.point(1.0));
        terrain.floor.room_along(&stretch, &mut |limit, room_m, at| keep(&mut least, limit, (room_m, at)));
        for of in &terrain.obstacles {
            let inside = |p| -(Solid { of, cut_m: 0.0 }.signed_distance(p));
            let cut_m = inside(first).max(inside(last)).clamp(0.0, of.growth_m);
            let solid = Solid { of, cut_m };
            let known_m = least.map_or(f32::INFINITY, |narrow: Narrowest| narrow.standing.margin_m);
            if solid.is_farther_than(known_m, &stretch) || (of.falls.is_some() && terrain.steps_down(&leg, of.falls)) {
                continue;
            }
            keep(&mut least, of.limit, solid.room_along(&stretch));
        }
    }
    least
}

fn keep(least: &mut Option<Narrowest>, limit: Limit, (margin_m, at): (f32, StagePoint)) {
    if least.is_none_or(|known| margin_m < known.standing.margin_m) {
        *least = Some(Narrowest { standing: Standing { limit, margin_m }, at });
    }
}

impl<const N: usize> Terrain<N> {
    fn steps_down(&self, leg: &Leg, thing: Option<u8>) -> bool {
        let cuts = [0.0; crate::limits::WALK_OBSTACLES];
        Ground { floor: &self.floor, obstacles: &self.obstacles, cuts: &cuts }.steps_down(leg, thing)
    }
}

impl Solid<'_> {
    /// True when its bounds say that the stretch has more room than `room_m`.
    fn is_farther_than(&self, room_m: f32, stretch: &Stretch) -> bool {
        let reach_m = self.of.about_m + self.radius_m() + room_m;
        match *stretch {
            Stretch::Line { from, to } => Leg::new(from, to).square_to(self.of.middle) > reach_m.max(0.0) * reach_m,
            Stretch::Arc { centre, radius_m, .. } => centre.distance(self.of.middle) - radius_m > reach_m,
        }
    }

    /// The least room along a stretch, metres, and where.
    fn room_along(&self, stretch: &Stretch) -> (f32, StagePoint) {
        let room = |p: StagePoint| self.signed_distance(p);
        let mut best = Best::of(stretch, &room);
        match &self.of.shape {
            Shape::Rounded(set) => best.beside_polygon(set.core().vertices()),
            Shape::Band(band) => best.beside_polygon(&band.corners(self.cut_m)),
            Shape::Ring(ring) => {
                best.towards(ring.centre);
                best.on_circle(ring.centre, (ring.inner_m + ring.outer_m) / 2.0);
                (1..ring.bends()).filter_map(|i| ring.bend(i, 0.0)).for_each(|corner| best.towards(corner.centre));
            }
        }
        (best.room_m, best.at)
    }
}

/// The place with least room among those at which it can be.
struct Best<'a, F> {
    stretch: &'a Stretch,
    room: &'a F,
    room_m: f32,
    at: StagePoint,
}

impl<'a, F: Fn(StagePoint) -> f32> Best<'a, F> {
    /// Begins with the ends.
    fn of(stretch: &'a Stretch, room: &'a F) -> Self {
        let at = stretch.point(0.0);
        let mut best = Self { stretch, room, room_m: room(at), at };
        best.ask(stretch.point(1.0));
        best
    }

    fn ask(&mut self, at: StagePoint) {
        let room_m = (self.room)(at);
        if room_m < self.room_m {
            (self.room_m, self.at) = (room_m, at);
        }
    }

    /// Beside a convex set: nearest to a corner, square to a side, or, on a line, as deep inside as it gets.
    fn beside_polygon(&mut self, vertices: &[StagePoint]) {
        vertices.iter().for_each(|&v| self.towards(v));
        match *self.stretch {
            Stretch::Line { from, to } => self.deepest(&Leg::new(from, to)),
            Stretch::Arc { .. } => {
                for (p, q) in polygon::sides(vertices) {
                    let Some(side) = (q - p).unit() else { continue };
                    self.on_arc(side.perp());
                    self.on_arc(-side.perp());
                }
            }
        }
    }

    /// The room beside a convex set is a convex function of the place on a line: thirds find its least.
    fn deepest(&mut self, leg: &Leg) {
        let (mut low, mut high) = (0.0_f32, 1.0_f32);
        for _ in 0..THIRDS {
            let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if (self.room)(leg.point(a)) <= (self.room)(leg.point(b)) {
                high = b;
            } else {
                low = a;
            }
        }
        self.ask(leg.point((low + high) / 2.0));
    }

    /// The places of the stretch nearest to `p`.
    fn towards(&mut self, p: StagePoint) {
        match *self.stretch {
            Stretch::Line { from, to } => {
                let leg = Leg::new(from, to);
                self.ask(leg.point(leg.share(p)));
            }
            Stretch::Arc { centre, .. } => {
                self.on_arc(p - centre);
                self.on_arc(centre - p);
            }
        }
    }

    /// The place of an arc in a direction from its centre, if it has one.
    fn on_arc(&mut self, direction: StageVector) {
        let Stretch::Arc { start, sweep, .. } = *self.stretch else { return };
        let side = if sweep.to_radians() < 0.0 { -1.0 } else { 1.0 };
        let (sin, cos) = start.sin_cos();
        let from = StageVector::new(cos, sin);
        let angle = libm::atan2f(side * from.cross(direction), from.dot(direction));
        let ahead = if angle < 0.0 { angle + core::f32::consts::TAU } else { angle };
        let share = ahead / libm::fabsf(sweep.to_radians());
        if share <= 1.0 {
            self.ask(self.stretch.point(share));
        }
    }

    /// Where the stretch meets a circle.
    fn on_circle(&mut self, middle: StagePoint, circle_m: f32) {
        match *self.stretch {
            Stretch::Line { from, to } => {
                let leg = Leg::new(from, to);
                let shares = meet::line_and_circle((from, to), (middle, circle_m));
                shares.into_iter().flatten().filter(|s| (0.0..=1.0).contains(s)).for_each(|s| self.ask(leg.point(s)));
            }
            Stretch::Arc { centre, radius_m, .. } => {
                let points = meet::circle_and_circle((centre, radius_m), (middle, circle_m));
                points.into_iter().flatten().for_each(|p| self.on_arc(p - centre));
            }
        }
    }
}
