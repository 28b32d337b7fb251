//! The plan of a walk, made of a show by the definitions: footprints of what is on the floor in a cue and reaches below
//! 2.3 m, grown by the room that a person of a class needs.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{
    Cue, CueProp, Edge, MotionKind, Part, PartShape, PersonClass, Physical, PhysicalKind, Show,
};

use super::floor::Band;
use super::plan::{Plan, Thing};
use super::shape::{Shape, sides};
use super::vector::{V, hull, to_segment, v};

/// Who walks, in which cue of which show, with how wide a corridor.
#[derive(Clone, Copy, Debug)]
pub struct Walk<'s> {
    /// The show.
    pub show: &'s Show,
    /// The cue.
    pub cue: &'s Cue,
    /// The walker.
    pub class: &'s PersonClass,
    /// Width of the corridor that is kept free, metres.
    pub corridor_m: f32,
}

/// What a walk goes round.
pub fn plan(walk: &Walk<'_>) -> Plan {
    let Walk { show, cue, class, corridor_m } = *walk;
    let outline: Vec<V> = show.floor.vertices.iter().map(|&p| p.into()).collect();
    let body = f64::from(class.radius_m).max(class.chair_m.map_or(0.0, |(width, _)| f64::from(width) / 2.0));
    let allowance = f64::from(show.survey_allowance_m);
    let still = (body + 0.15).max(f64::from(corridor_m) / 2.0) + allowance;
    let mut things = Vec::new();
    for state in show.props_in(cue) {
        let prop = &show.props[state.prop.index()];
        for part in show.parts_of(prop).iter().filter(|part| part.bottom_m < 2.3 && part.top_m > 0.0) {
            let local = shape(show, part);
            let turn = f64::from(prop.turn_deg).to_radians();
            let lead_s = f64::from(show.latency_ms) / 1000.0 + 0.7;
            match legs(show, state, lead_s) {
                None => things.push(grown(&placed(&local, prop.at.into(), turn), still)),
                Some(legs) => {
                    let swept = legs.iter().map(|&leg| passed_over(&local, leg, turn));
                    things.extend(swept.map(|shape| grown(&shape, still.max(body + 0.50 + allowance))));
                }
            }
        }
    }
    things.extend(show.physicals.iter().flat_map(|thing| physical(thing, still, body)));
    Plan { bands: bands(show, &outline), outline, things }
}

/// A footprint, and by how much it is a disc's radius larger.
type Footprint = (Shape, f64);

fn grown((shape, more): &Footprint, room: f64) -> Thing {
    Thing { shape: shape.clone(), solid: *more, room: room + more, yields: true }
}

/// A part's footprint about its prop's place: a disc is a point that is larger.
fn shape(show: &Show, part: &Part) -> Footprint {
    match part.shape {
        PartShape::Disc { at, radius_m } => (Shape::Hull(vec![at.into()]), radius_m.into()),
        PartShape::Ring { at, inner_m, outer_m, gap_deg, gap_m } => {
            let (inner, outer) = (f64::from(inner_m), f64::from(outer_m));
            let half = (f64::from(gap_m) / (2.0 * outer)).asin();
            let gap = (gap_m > 0.0).then_some((f64::from(gap_deg).to_radians(), half));
            (Shape::Ring { centre: at.into(), inner, outer, gap }, 0.0)
        }
        PartShape::Polygon(run) => (Shape::Hull(run.of(&show.part_vertices).iter().map(|&p| p.into()).collect()), 0.0),
    }
}

fn turned(p: V, turn: f64) -> V {
    let way = V::heading(turn);
    v(p.x * way.x - p.y * way.y, p.x * way.y + p.y * way.x)
}

fn placed((shape, more): &Footprint, at: V, turn: f64) -> Footprint {
    let shape = match shape {
        Shape::Hull(list) => Shape::Hull(list.iter().map(|&p| at + turned(p, turn)).collect()),
        &Shape::Ring { centre, inner, outer, gap } => {
            let gap = gap.map(|(middle, half)| (middle + turn, half));
            Shape::Ring { centre: at + turned(centre, turn), inner, outer, gap }
        }
    };
    (shape, *more)
}

/// Straight legs of a keyed move, each as far as it comes before a person reacts; `None` for what stands still.
fn legs(show: &Show, state: &CueProp, lead_s: f64) -> Option<Vec<(V, V)>> {
    let MotionKind::Keys { keys, ease: false } = show.motions[state.motion?.index()].kind else { return None };
    let keys = keys.of(&show.motion_keys);
    let leg = |pair: &[underfoot_core::show::MotionKey]| {
        let (from, to): (V, V) = (pair[0].place.into(), pair[1].place.into());
        (from, to + (to - from) * (lead_s / f64::from(pair[1].at_s - pair[0].at_s)))
    };
    Some(keys.windows(2).map(leg).collect())
}

/// Everything that a footprint passes over on a straight leg; a ring counts as a disc.
fn passed_over((shape, more): &Footprint, (from, to): (V, V), turn: f64) -> Footprint {
    let (list, more) = match shape {
        Shape::Hull(list) => (list.clone(), *more),
        Shape::Ring { centre, outer, .. } => (vec![*centre], *outer),
    };
    let both = [from, to].into_iter().flat_map(|at| list.iter().map(move |&p| at + turned(p, turn)));
    (Shape::Hull(hull(both.collect())), more)
}

/// What a physical thing keeps people from: furniture and columns themselves, a platform's raised sides as thin walls.
fn physical(thing: &Physical, still: f64, body: f64) -> Vec<Thing> {
    let (w, d) = (f64::from(thing.width_m) / 2.0, f64::from(thing.depth_m) / 2.0);
    let corners = vec![v(-w, -d), v(w, -d), v(w, d), v(-w, d)];
    let turn = f64::from(thing.turn_deg).to_radians();
    let (Shape::Hull(corners), _) = placed(&(Shape::Hull(corners), 0.0), thing.centre.into(), turn) else {
        return Vec::new();
    };
    match thing.kind {
        PhysicalKind::Furniture | PhysicalKind::Column => vec![grown(&(Shape::Hull(corners), 0.0), still)],
        PhysicalKind::Riser if thing.height_m > 0.02 => {
            let wall = |(a, b)| Thing { yields: false, ..grown(&(Shape::Hull(vec![a, b]), 0.0), body) };
            sides(&corners).map(wall).collect()
        }
        _ => Vec::new(),
    }
}

/// The sides' bands, each with the entries that are nearest to it.
fn bands(show: &Show, outline: &[V]) -> Vec<Band> {
    let width = |edge: &Edge| match edge {
        Edge::Open => f64::from(show.floor.edge_band_m),
        Edge::Wall => 0.15,
        Edge::Level => 0.0,
    };
    let mut bands: Vec<Band> = sides(outline)
        .zip(&show.floor.edges)
        .map(|(side, edge)| Band { side, width: width(edge), entries: Vec::new() })
        .collect();
    for entry in &show.entries {
        let far = |band: &Band, p: StagePoint| to_segment(p.into(), band.side.0, band.side.1);
        let nearest = bands.iter_mut().min_by(|a, b| far(a, entry.at).total_cmp(&far(b, entry.at)));
        nearest.expect("a floor with sides").entries.push((entry.at.into(), f64::from(entry.width_m) / 2.0));
    }
    bands
}
