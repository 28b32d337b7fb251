//! The walk lines of one view together: dots keep off marks, and where two lines meet one goes beneath the other.
//!
//! Where lines cross, the one that matters less leaves a gap, as a wire drawn beneath another does. Where they run
//! side by side or on the same way, each has its own places, so that the dots of both are seen in turn.

use heapless::Vec;

use crate::geom::{StagePoint, polygon};
use crate::limits as cap;
use crate::paint::SceneFull;
use crate::show::{CuePlace, Line, LinePoint, Mark, Show};
use crate::walk::{Path, Spot};

use super::drive::Drive;
use super::ink;
use super::lines::{self, Form, Way};
use super::marks;
use super::placed;
use super::sheet::{Bounds, Sheet};
use super::sizes::Sizes;
use super::states::MarkState;

/// A line that begins this close to a mark begins on it, metres.
const SAME_PLACE_M: f32 = 0.05;
/// Sine of the angle below which two lines run side by side rather than cross.
const SIDE_BY_SIDE: f32 = 0.35;
/// Shares of a step that a line's dots may be moved by, and how many times as many dots must be seen then: quarters are
/// for the third line on one way.
const SHIFTS: [(f32, usize); 3] = [(0.5, 1), (0.25, 2), (0.75, 2)];

/// A place that a view shows, and in what state.
pub(super) type Called<'s> = (&'s CuePlace, MarkState);

/// A mark's place and how far it reaches, metres.
type Reached = (StagePoint, f32);

/// Everything that lines need to know of a view.
pub(super) struct Ways<'s> {
    show: &'s Show,
    sizes: Sizes,
    /// The lines, those that matter most first.
    ways: Vec<Way<'s>, { cap::LINES }>,
    /// Called marks, each with its reach.
    marks: Vec<Reached, { cap::MARKS }>,
}

impl<'s> Ways<'s> {
    /// None yet.
    pub(super) const fn new(show: &'s Show, sizes: &Sizes) -> Self {
        Self { show, sizes: *sizes, ways: Vec::new(), marks: Vec::new() }
    }

    /// Adds the lines of `called`, of which those that matter most come first.
    pub(super) fn fill(&mut self, called: impl Iterator<Item = Called<'s>> + Clone, (flow_ms, drive): (u32, &Drive)) {
        if called.clone().all(|(place, _)| place.line.is_none()) {
            return;
        }
        let (show, sizes) = (self.show, self.sizes);
        // More than a show may have: dots of the last lines do not give way to the marks beyond.
        self.marks.extend(called.clone().filter_map(|(p, _)| placed::reach(show, &sizes, p)).take(cap::MARKS));
        for (place, state) in called {
            let Some((id, line)) = place.line.and_then(|l| show.lines.get(l.index()).map(|line| (l, line))) else {
                continue;
            };
            let way = self.way(line, (place, state), (flow_ms, drive.line(id)));
            if self.ways.push(way).is_err() {
                break;
            }
        }
    }

    fn way(&self, line: &'s Line, (place, state): Called<'s>, (flow_ms, level): (u32, u8)) -> Way<'s> {
        let who = placed::who(self.show, place).unwrap_or(line.who);
        let form = match state {
            MarkState::Later => Form::Later,
            MarkState::Go => Form::Flowing,
            _ => Form::Steady,
        };
        let path = Path::new(self.show.points_of(line));
        let still = Way { line, path, ink: ink::of(who).dimmed(level), form, first_m: 0.0 };
        let first_m = self.shift(&still) * line.spacing_m;
        let flow_m = match form {
            Form::Flowing => lines::flow_m(placed::pace_mps(self.show, place), line.spacing_m, flow_ms),
            _ => 0.0,
        };
        Way { first_m: libm::fmodf(first_m + flow_m, line.spacing_m), ..still }
    }

    /// The share of a step by which the dots of `way` are moved so that most of them are seen whole: on the floor, off
    /// marks and off the dots of lines before it.
    fn shift(&self, way: &Way<'s>) -> f32 {
        let begins_on = self.begins_on(way.path.points());
        let whole = |spot: &Spot| {
            let on_floor_m = -polygon::signed_distance(&self.show.floor.vertices, spot.at) - way.line.dot_m * 0.5;
            on_floor_m >= 0.0 && self.room_m(&self.ways, &begins_on, way, spot) >= 0.0
        };
        let seen = |share: f32| {
            let dots = lines::steps(way.path, way.line.spacing_m, share * way.line.spacing_m);
            dots.filter(|(_, spot)| whole(spot)).count()
        };
        let mut best = (0.0, seen(0.0));
        for (share, times) in SHIFTS {
            let count = seen(share);
            if count > best.1 * times {
                best = (share, count);
            }
        }
        best.0
    }

    /// Draws all of them, those that matter most on top.
    pub(super) fn draw(&self, scene: &mut Sheet<'_, '_>) -> Result<(), SceneFull> {
        self.ways.iter().enumerate().rev().try_for_each(|(i, way)| {
            let before = self.ways.get(..i).unwrap_or(&[]);
            let begins_on = self.begins_on(way.path.points());
            lines::draw(scene, &self.sizes, way, |spot| self.room_m(before, &begins_on, way, spot))
        })
    }

    /// The mark that a line begins on, called or not: somebody stands there.
    fn begins_on(&self, points: &[LinePoint]) -> Option<Reached> {
        let first = |m: &&Mark| points.first().is_some_and(|p| p.at.distance(m.at) < SAME_PLACE_M);
        let mark = self.show.marks.iter().find(first)?;
        Some((mark.at, marks::reach_m(mark.kind, mark.who, self.sizes.line_m)))
    }

    /// Clear floor between a dot of `way` at `spot` and what it must give way to, metres: marks, and the lines
    /// `before` it.
    fn room_m(&self, before: &[Way<'s>], begins_on: &Option<Reached>, way: &Way<'s>, spot: &Spot) -> f32 {
        let off = |&(at, reach_m): &Reached| spot.at.distance(at) - reach_m - way.line.dot_m;
        let marks_m = self.marks.iter().chain(begins_on).map(off).fold(f32::INFINITY, libm::fminf);
        before.iter().map(|other| self.room_to(other, way, spot)).fold(marks_m, libm::fminf)
    }

    fn room_to(&self, other: &Way<'s>, way: &Way<'s>, spot: &Spot) -> f32 {
        let need_m = (way.line.dot_m + other.line.dot_m) * 0.5 + 2.0 * self.sizes.keyline_m;
        let near = bounds(other.path.points()).grown(need_m + way.line.dot_m).meets(&Bounds::of(&[spot.at]));
        let Some((s_m, off_m)) = other.path.nearest(spot.at).filter(|_| near) else { return f32::INFINITY };
        if off_m >= need_m + way.line.dot_m {
            return f32::INFINITY;
        }
        if libm::fabsf(other.path.at(s_m).way.cross(spot.way)) >= SIDE_BY_SIDE {
            return off_m - need_m;
        }
        // Side by side only the other's dots count: the nearest one, before or behind. Their keylines may share ground.
        let behind_m = libm::fmodf(s_m - other.first_m + other.line.spacing_m, other.line.spacing_m);
        let along_m = libm::fminf(behind_m, other.line.spacing_m - behind_m);
        libm::sqrtf(along_m * along_m + off_m * off_m) - need_m + self.sizes.keyline_m
    }
}

/// The bounds of the corners of a line, and with them of all of it.
fn bounds(points: &[LinePoint]) -> Bounds {
    points.iter().fold(Bounds::of(&[]), |b, p| b.with(p.at))
}
