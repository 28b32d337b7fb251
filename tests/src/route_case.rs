//! One walk on a random stage: from where to where, and what an independent search says of it.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{LinePoint, Part, PartShape, Prop, Show};
use underfoot_core::walk::{PlanWork, Route, Terrain, WalkError, shortest};

use crate::dice::Dice;
use crate::route_oracle::{Bounds, Plan, V, Walk, plan, search};
use crate::route_stage::random_stage;

/// A walk of the only class in the only cue.
#[derive(Clone, Debug)]
pub struct RouteCase {
    /// The stage.
    pub show: Box<Show>,
    /// Width of the corridor, metres.
    pub corridor_m: f32,
    /// Where the walk begins and ends.
    pub stops: [StagePoint; 2],
    /// What it goes round.
    pub plan: Plan,
}

impl RouteCase {
    /// A random walk between places where people may be: entries, free floor, the middle of a ring.
    pub fn random(dice: &mut Dice) -> Self {
        loop {
            let show = random_stage(dice);
            let corridor_m = [0.0, 0.9, 1.2][dice.below(3)];
            let whole = plan(&Self::walk_of(&show, corridor_m));
            let stops = (stop(dice, &show, &whole), stop(dice, &show, &whole));
            let (Some(from), Some(to)) = stops else { continue };
            let plan = whole.for_end(from.into()).for_end(to.into());
            // Straight ways are found by anybody: one in eight is enough.
            if dice.one_in(8) || plan.stops(from.into(), to.into(), 0.0) {
                return Self { show, corridor_m, stops: [from, to], plan };
            }
        }
    }

    /// A walk of the only class in the only cue of a show.
    pub fn of(show: Box<Show>, corridor_m: f32, stops: [StagePoint; 2]) -> Self {
        let whole = plan(&Self::walk_of(&show, corridor_m));
        let plan = whole.for_end(stops[0].into()).for_end(stops[1].into());
        Self { show, corridor_m, stops, plan }
    }

    /// The walk as the oracle's plan takes it.
    pub fn walk(&self) -> Walk<'_> {
        Self::walk_of(&self.show, self.corridor_m)
    }

    fn walk_of(show: &Show, corridor_m: f32) -> Walk<'_> {
        Walk { show, cue: &show.cues[0], class: &show.classes[0], corridor_m }
    }

    /// The core's way.
    ///
    /// # Errors
    /// As [`shortest`].
    pub fn planned(&self) -> Result<(Route, Vec<LinePoint>), WalkError> {
        let terrain = self.terrain()?;
        let (mut work, mut points) = (Box::new(PlanWork::new()), heapless::Vec::<LinePoint, POINTS>::new());
        shortest(&terrain, &self.stops, &mut work, &mut points).map(|route| (route, points.to_vec()))
    }

    /// What the core goes round.
    ///
    /// # Errors
    /// As [`Terrain::of`].
    pub fn terrain(&self) -> Result<Box<Terrain<THINGS>>, WalkError> {
        Terrain::of(&self.show, &self.show.cues[0], &self.show.classes[0], self.corridor_m).map(Box::new)
    }

    /// Between which lengths the shortest way is.
    pub fn bounds(&self) -> Bounds {
        let [from, to] = self.stops.map(V::from);
        search::shortest(&self.plan, from, to)
    }
}

/// Things that a walk goes round at most.
pub const THINGS: usize = 160;
/// Points of a planned line at most.
const POINTS: usize = 128;
/// Rounding of a place to `f32`, metres.
const ROUNDING: f64 = 1e-6;
/// Least distance of a place from every footprint, metres.
const CLEAR: f64 = 0.02;

/// Somewhere to begin or end; `None` when no place was found in some throws.
fn stop(dice: &mut Dice, show: &Show, plan: &Plan) -> Option<StagePoint> {
    let near = dice.one_in(8);
    for _ in 0..40 {
        let at = match dice.below(6) {
            0 => show.entries[dice.below(show.entries.len())].at,
            1 => in_a_ring(dice, show).unwrap_or_default(),
            _ => {
                let corner = show.floor.vertices[dice.below(show.floor.vertices.len())];
                StagePoint::new(corner.x * dice.unit() as f32, corner.y * dice.unit() as f32)
            }
        };
        let place = V::from(at);
        let spare = plan.spare(place, place);
        let bare = plan.things.iter().map(|t| t.shape.gap(place, place) - t.solid).fold(f64::INFINITY, f64::min);
        let on_floor = !Plan { things: Vec::new(), ..plan.clone() }.stops(place, place, ROUNDING);
        if on_floor && (spare > ROUNDING || near && bare > CLEAR) {
            return Some(at);
        }
    }
    None
}

/// The middle of a ring that somebody may walk into.
fn in_a_ring(dice: &mut Dice, show: &Show) -> Option<StagePoint> {
    let is_ring = |prop: &&Prop| matches!(show.parts_of(prop), [Part { shape: PartShape::Ring { .. }, .. }]);
    let rings: Vec<&Prop> = show.props.iter().filter(is_ring).collect();
    (!rings.is_empty()).then(|| rings[dice.below(rings.len())].at)
}
