//! What all checks share: the show, its clearances, and the regions of its props.

use std::sync::atomic::{AtomicBool, Ordering};

use underfoot_core::geom::{Region, StagePoint, StageVector, polygon, segment};
use underfoot_core::props::ground::band_m;
use underfoot_core::props::{Level, Placement, Reach, footprint, reach};
use underfoot_core::show::{Edge, Mark, MarkKind, PersonClass, PersonId, PropId, Show};
use underfoot_core::units::Angle;

use super::Effort;
use super::cast::{Cast, cast};
use super::change::Change;
use crate::findings::Finding;
use crate::project::Project;

/// Nobody is asked for more than this times their own pace: from the presenter's usual 0.9 to the 1.2 m/s that
/// may be asked of anybody (common practice), and as much more for those who are slower.
const HURRY: f32 = 4.0 / 3.0;

/// A project made ready for checks.
pub(super) struct Board<'p> {
    /// The project.
    pub(super) project: &'p Project,
    /// Who and what is where in each cue.
    pub(super) cast: Vec<Cast>,
    /// Whether fixes are tried.
    pub(super) effort: Effort,
    stop: Option<&'p AtomicBool>,
}

impl<'p> Board<'p> {
    pub(super) fn new(project: &'p Project) -> Self {
        let show = &project.show;
        Self { project, cast: cast(show), effort: Effort::Fixes, stop: None }
    }

    /// The same for a check that may be stopped: what it finds is worth nothing then.
    pub(super) fn until(project: &'p Project, effort: Effort, stop: &'p AtomicBool) -> Self {
        Self { effort, stop: Some(stop), ..Self::new(project) }
    }

    /// True when nobody waits for the findings any more.
    pub(super) fn is_stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    /// A fix that has to be tried out, if that is done.
    pub(super) fn tried(&self, fix: impl FnOnce() -> String) -> Option<String> {
        (self.effort == Effort::Fixes && !self.is_stopped()).then(fix)
    }

    pub(super) fn show(&self) -> &'p Show {
        &self.project.show
    }

    /// What every clearance grows by, metres: the show's value, as the drawn keep-outs use it.
    pub(super) fn allowance_m(&self) -> f32 {
        self.show().survey_allowance_m
    }

    pub(super) fn hard_m(&self) -> f32 {
        reach::HARD_M + self.allowance_m()
    }

    pub(super) fn wished_m(&self) -> f32 {
        reach::ADVISORY_M + self.allowance_m()
    }

    pub(super) fn class_of(&self, person: PersonId) -> Option<&'p PersonClass> {
        let person = self.show().people.get(person.index())?;
        self.show().classes.get(person.class.index())
    }

    /// From a person's place to the body's edge, metres: the body's radius, or half the chair's width where that is
    /// more; 0.25 for one without a class.
    pub(super) fn radius_m(&self, person: PersonId) -> f32 {
        self.class_of(person).map_or(0.25, |class| Reach::of(self.show(), class, Level::Hard).body_m)
    }

    /// A person's own pace, metres per second; the slowest there is for one without a class.
    pub(super) fn pace_mps(&self, person: PersonId) -> f32 {
        self.class_of(person).map_or(0.6, |c| c.pace_mps)
    }

    /// The pace that may be asked of a person at most, metres per second.
    pub(super) fn fastest_mps(&self, person: PersonId) -> f32 {
        self.project.limits.pace_mps.min(HURRY * self.pace_mps(person))
    }

    /// Both radii of two people: nearer than that they touch, metres.
    pub(super) fn bodies_m(&self, one: PersonId, two: PersonId) -> f32 {
        self.radius_m(one) + self.radius_m(two)
    }

    /// The number of a cue in hundredths.
    pub(super) fn number(&self, cue: usize) -> u32 {
        self.show().cues.get(cue).map_or(0, |c| c.number)
    }

    /// A copy of the project with a change, to try it; `None` when it cannot be made.
    pub(super) fn with(&self, change: &Change) -> Option<Project> {
        Some(Project { show: change.applied(self.show())?, ..self.project.clone() })
    }

    pub(super) fn person_name(&self, person: PersonId) -> String {
        self.show().people.get(person.index()).map(|p| p.name.to_string()).unwrap_or_default()
    }

    pub(super) fn prop_name(&self, prop: PropId) -> String {
        self.show().props.get(prop.index()).map(|p| p.name.to_string()).unwrap_or_default()
    }

    /// Signed distance to the floor's boundary, metres: negative on the floor.
    pub(super) fn off_floor_m(&self, p: StagePoint) -> f32 {
        polygon::signed_distance(&self.show().floor.vertices, p)
    }

    /// The sides of the floor with what lies beyond them.
    pub(super) fn sides(&self) -> impl Iterator<Item = (StagePoint, StagePoint, Edge)> + '_ {
        let floor = &self.show().floor;
        let sides = polygon::sides(&floor.vertices);
        sides.zip(floor.edges.iter()).map(|((a, b), &edge)| (a, b, edge))
    }

    /// Distance to the nearest side that one can step off, metres.
    pub(super) fn to_drop_m(&self, p: StagePoint) -> f32 {
        let drops = self.sides().filter(|(_, _, edge)| *edge == Edge::Open);
        drops.map(|(a, b, _)| segment::distance(p, a, b)).fold(f32::INFINITY, f32::min)
    }

    /// True on the floor and outside the bands along its sides; entries do not count.
    pub(super) fn is_inner(&self, p: StagePoint) -> bool {
        let floor = &self.show().floor;
        self.off_floor_m(p) <= 0.0 && self.sides().all(|(a, b, edge)| segment::distance(p, a, b) >= band_m(floor, edge))
    }

    /// The finding with the line of the show file on which the item stands.
    pub(super) fn at_line(&self, mut finding: Finding, list: &str, index: usize) -> Finding {
        finding.line = self.project.places.of(list, index).map(|place| place.line);
        finding
    }
}

/// Least signed distance from a point to any of the regions, metres; infinite for none.
pub(super) fn distance(regions: &[Region], p: StagePoint) -> f32 {
    regions.iter().map(|r| r.signed_distance(p)).fold(f32::INFINITY, f32::min)
}

/// A mark's drawn rectangle as a grid of points, 5 × 5, the corners among them.
pub(super) fn drawn_points(mark: &Mark) -> Vec<StagePoint> {
    // Half the width, then how far it reaches behind and ahead of the mark's point; brief feature 11.
    let (half_m, behind_m, ahead_m) = match mark.kind {
        MarkKind::Tee => (0.15, 0.10, 0.20),
        MarkKind::Bracket => (0.40, 0.65, 0.65),
        MarkKind::Ring | MarkKind::Cross => (0.15, 0.15, 0.15),
    };
    let (sin, cos) = Angle::from_degrees(mark.facing_deg).sin_cos();
    let ahead = StageVector::new(cos, sin);
    let share = |i: u8| f32::from(i) / 4.0;
    (0..5)
        .flat_map(|i| (0..5).map(move |j| (share(i), share(j))))
        .map(|(s, t)| {
            let along = -behind_m + (behind_m + ahead_m) * s;
            mark.at + ahead * along + ahead.perp() * (half_m * (2.0 * t - 1.0))
        })
        .collect()
}

impl Board<'_> {
    /// The regions that a prop standing at `place` keeps bodies out of: its parts in the contact and body bands.
    pub(super) fn regions(&self, prop: PropId, place: StagePoint) -> Vec<Region> {
        let show = self.show();
        let Some(prop) = show.props.get(prop.index()) else { return Vec::new() };
        let placement = Placement { at: place, ..Placement::resting(prop) };
        let parts = show.parts_of(prop).iter();
        let met = parts.filter(|part| part.meets_bodies());
        met.filter_map(|part| footprint::of_part(show, part, &placement).ok()).collect()
    }
}
