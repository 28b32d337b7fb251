//! A walk line as lines and arcs, and places along it.

use crate::geom::{StagePoint, StageVector, Stretch, fillet, segment};
use crate::show::LinePoint;

/// Stretches shorter than this are rounding, not way, metres.
const NOTHING_M: f32 = 1e-5;

/// A polyline with rounded corners. Two points at least; with fewer it has no length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Path<'p> {
    points: &'p [LinePoint],
}

/// One place on a path and the way onward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The place.
    pub at: StagePoint,
    /// Unit direction of travel.
    pub way: StageVector,
}

/// One change of direction, sharp or round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Its middle, metres along the path.
    pub s_m: f32,
    /// Its middle on the stage.
    pub at: StagePoint,
    /// The turn, degrees, counter-clockwise when positive.
    pub turn_deg: f32,
}

impl<'p> Path<'p> {
    /// The path through `points`, as [`crate::show::Show::points_of`] gives them.
    pub const fn new(points: &'p [LinePoint]) -> Self {
        Self { points }
    }

    /// Its points.
    pub const fn points(&self) -> &'p [LinePoint] {
        self.points
    }

    /// The places that people gave, in walking order: its ends and what it leads by way of.
    pub fn stops(&self) -> impl Iterator<Item = StagePoint> + use<'p> {
        self.points.iter().filter(|p| p.is_stop()).map(|p| p.at)
    }

    /// Its lines and arcs in walking order, none without length.
    pub fn stretches(&self) -> impl Iterator<Item = Stretch> + use<'p> {
        let points = self.points;
        let corner = |i: usize| -> Option<crate::geom::Fillet> {
            let (before, here, after) = (points.get(i.checked_sub(1)?)?, points.get(i)?, points.get(i + 1)?);
            fillet(before.at, here.at, after.at, here.bend_m)
        };
        (1..points.len())
            .flat_map(move |i| {
                let at = |k: usize| points.get(k).map(|p| p.at).unwrap_or_default();
                let (start, end) = (corner(i - 1), corner(i));
                let from = start.map_or(at(i - 1), |f| f.to);
                let to = end.map_or(at(i), |f| f.from);
                // Rounding may let two arcs on one leg overlap by a hair: then there is no line between them.
                let ahead = (to - from).dot(at(i) - at(i - 1)) > 0.0;
                [ahead.then_some(Stretch::Line { from, to }), end.map(|f| f.arc)]
            })
            .flatten()
            .filter(|stretch| stretch.length() > NOTHING_M)
    }

    /// Its length, metres.
    pub fn length_m(&self) -> f32 {
        self.stretches().map(|s| s.length()).sum()
    }

    /// The place `s_m` metres along it; before its start and beyond its end that end.
    pub fn at(&self, s_m: f32) -> Spot {
        let mut left_m = s_m.max(0.0);
        let mut last = None;
        for stretch in self.stretches() {
            let length_m = stretch.length();
            if left_m <= length_m {
                let share = left_m / length_m;
                return Spot { at: stretch.point(share), way: stretch.heading(share) };
            }
            left_m -= length_m;
            last = Some(stretch);
        }
        match last {
            Some(stretch) => Spot { at: stretch.point(1.0), way: stretch.heading(1.0) },
            None => Spot { at: self.points.first().map(|p| p.at).unwrap_or_default(), way: StageVector::default() },
        }
    }

    /// The place on it nearest to `p`: metres along it, and the distance to it, metres. `None` without length.
    pub fn nearest(&self, p: StagePoint) -> Option<(f32, f32)> {
        let mut best: Option<(f32, f32)> = None;
        let mut before_m = 0.0;
        for stretch in self.stretches() {
            let share = nearest_share(&stretch, p);
            let distance_m = stretch.point(share).distance(p);
            if best.is_none_or(|(_, d)| distance_m < d) {
                best = Some((before_m + share * stretch.length(), distance_m));
            }
            before_m += stretch.length();
        }
        best
    }

    /// Where it changes its direction. Arcs that follow one another without a line between them and turn the same
    /// way are one bend.
    pub fn bends(&self) -> impl Iterator<Item = Bend> + use<'p> {
        Bends { stretches: self.stretches(), s_m: 0.0, heading: None, open: None }
    }
}

fn nearest_share(stretch: &Stretch, p: StagePoint) -> f32 {
    match *stretch {
        Stretch::Line { from, to } => segment::nearest_share(p, from, to),
        Stretch::Arc { centre, start, sweep, .. } => {
            let v = p - centre;
            let (sin, cos) = start.sin_cos();
            let out = StageVector::new(cos, sin);
            let side = if sweep.to_radians() < 0.0 { -1.0 } else { 1.0 };
            let turn = libm::atan2f(out.cross(v) * side, out.dot(v));
            let turn = if turn < 0.0 { turn + core::f32::consts::TAU } else { turn };
            let whole = libm::fabsf(sweep.to_radians());
            // Behind the arc the nearer end is the one that the turn is nearer to.
            let behind = turn > whole && turn - whole > core::f32::consts::TAU - turn;
            if behind { 0.0 } else { (turn / whole).min(1.0) }
        }
    }
}

/// Puts the turns of a path together.
struct Bends<I> {
    stretches: I,
    s_m: f32,
    heading: Option<StageVector>,
    open: Option<Open>,
}

/// A bend that may go on.
#[derive(Clone, Copy)]
struct Open {
    from_m: f32,
    to_m: f32,
    middle: StagePoint,
    turn_rad: f32,
}

/// A change of direction below this is rounding, radians.
const NO_TURN_RAD: f32 = 1e-3;

impl<I: Iterator<Item = Stretch>> Iterator for Bends<I> {
    type Item = Bend;

    fn next(&mut self) -> Option<Bend> {
        loop {
            let Some(stretch) = self.stretches.next() else { return self.open.take().map(Open::close) };
            let (from_m, length_m) = (self.s_m, stretch.length());
            self.s_m += length_m;
            let corner = self.heading.replace(stretch.heading(1.0)).and_then(|old| sharp(old, &stretch, from_m));
            let arc = match stretch {
                Stretch::Arc { sweep, .. } => {
                    let (to_m, turn_rad) = (self.s_m, sweep.to_radians());
                    Some(Open { from_m, to_m, middle: stretch.point(0.5), turn_rad })
                }
                Stretch::Line { .. } => None,
            };
            // Two at once only where a sharp corner opens straight into an arc: they are one bend.
            let turn = match (corner, arc) {
                (Some(corner), Some(arc)) => Some(Open { turn_rad: corner.turn_rad + arc.turn_rad, ..arc }),
                (corner, arc) => arc.or(corner),
            };
            let done = self.open;
            match (done, turn) {
                (Some(open), Some(turn)) if open.joins(&turn) => self.open = Some(open.with(&turn)),
                _ => {
                    self.open = turn;
                    if let Some(open) = done {
                        return Some(open.close());
                    }
                }
            }
        }
    }
}

fn sharp(old: StageVector, stretch: &Stretch, s_m: f32) -> Option<Open> {
    let new = stretch.heading(0.0);
    let turn_rad = libm::atan2f(old.cross(new), old.dot(new));
    let middle = stretch.point(0.0);
    (libm::fabsf(turn_rad) > NO_TURN_RAD).then_some(Open { from_m: s_m, to_m: s_m, middle, turn_rad })
}

impl Open {
    fn joins(&self, next: &Self) -> bool {
        next.from_m - self.to_m < NOTHING_M && self.turn_rad * next.turn_rad > 0.0
    }

    /// The longer arc's middle stands for both: it is on the path, and people turn there.
    fn with(&self, next: &Self) -> Self {
        let longer = if next.to_m - next.from_m > self.to_m - self.from_m { next } else { self };
        Self { from_m: self.from_m, to_m: next.to_m, middle: longer.middle, turn_rad: self.turn_rad + next.turn_rad }
    }

    fn close(self) -> Bend {
        let turn_deg = crate::units::Angle::from_radians(self.turn_rad).to_degrees();
        Bend { s_m: (self.from_m + self.to_m) / 2.0, at: self.middle, turn_deg }
    }
}
