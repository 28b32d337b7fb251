//! What parts do to a person in a picture, column by column.

use underfoot_core::show::Layer;
use underfoot_core::zones::Bound;

use super::P2;
use super::eye::Eye;
use super::thing::Thing;

/// A person.
#[derive(Clone, Copy, Debug)]
pub struct Person {
    /// Midpoint between the heels.
    pub at: P2,
    /// Height of what carries them.
    pub base: f64,
    /// Stature.
    pub height: f64,
    /// Radius.
    pub radius: f64,
}

/// Columns between two places where a part begins, ends or bends.
const COLUMNS: usize = 12;

impl Person {
    /// To the right in the picture, and the distance on the plan.
    pub fn across(&self, centre: [f64; 3]) -> (P2, f64) {
        let way = (self.at.0 - centre[0], self.at.1 - centre[1]);
        let d = way.0.hypot(way.1);
        ((way.1 / d, -way.0 / d), d)
    }
}

/// Total of overlapping stretches inside `[low, high]`, less what `without` covers.
fn union(stretches: &[(f64, f64)], without: &[(f64, f64)], (low, high): (f64, f64)) -> f64 {
    let mut cuts: Vec<f64> =
        stretches.iter().chain(without).flat_map(|s| [s.0, s.1]).map(|z| z.clamp(low, high)).collect();
    cuts.extend([low, high]);
    cuts.sort_by(f64::total_cmp);
    let inside = |list: &[(f64, f64)], z: f64| list.iter().any(|s| s.0 < z && z < s.1);
    let of = |pair: &[f64]| {
        let z = (pair[0] + pair[1]) / 2.0;
        if inside(stretches, z) && !inside(without, z) { pair[1] - pair[0] } else { 0.0 }
    };
    cuts.windows(2).map(of).sum()
}

/// Heights at which the ray through column `u` is inside the part before or beyond the person's plane.
fn heights(eye: &Eye, person: &Person, thing: &Thing, u: f64, beyond: bool) -> Vec<(f64, f64)> {
    let (right, _) = person.across(eye.centre);
    let from = (eye.centre[0], eye.centre[1]);
    let to = (person.at.0 + right.0 * u, person.at.1 + right.1 * u);
    let way = (to.0 - from.0, to.1 - from.1);
    let mut found = Vec::new();
    for (a, b) in thing.shape.stretches(from, way) {
        let (a, b) = if beyond { (a.max(1.0), b) } else { (a.max(1e-6), b.min(1.0)) };
        if a < b {
            // A height z on the person's plane is centre + (z - centre) λ at λ: inside for some λ of the stretch.
            let at = |lambda: f64, z: f64| eye.centre[2] + (z - eye.centre[2]) / lambda;
            let ends = [(a, thing.heights.0), (b, thing.heights.0), (a, thing.heights.1), (b, thing.heights.1)];
            let zs = ends.map(|(lambda, z)| at(lambda, z));
            found.push((
                zs.iter().copied().fold(f64::INFINITY, f64::min),
                zs.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            ));
        }
    }
    found
}

/// Everything that breaks a limit.
pub(super) fn faults(eye: &Eye, person: &Person, things: &[Thing]) -> Vec<Bound> {
    let near: Vec<&Thing> = things.iter().filter(|t| may_meet(eye, person, t)).collect();
    if near.is_empty() {
        return Vec::new();
    }
    let (mut sums, mut parts) = (Sums::default(), Vec::new());
    for (u, width) in columns(eye, person, &near) {
        let mut all: [Vec<(f64, f64)>; 3] = Default::default();
        for thing in &near {
            for (kind, bound, stretches) in roles(eye, person, thing, u) {
                note(&mut parts, &stretches, (person.base, person.base + person.height), bound);
                all[kind].extend(stretches);
            }
        }
        sums.add(person, width, &all);
    }
    parts.into_iter().filter(|bound| sums.break_limit(person, bound)).collect()
}

/// Stretches of height, metres.
type Stretches = Vec<(f64, f64)>;

/// What a part does in a column: hides (0), paints over (1) or has the person in front of it (2), and at which heights.
fn roles(eye: &Eye, person: &Person, thing: &Thing, u: f64) -> Vec<(usize, Bound, Stretches)> {
    let (shot, (prop, part)) = (eye.shot, thing.id);
    let at = |beyond: bool| heights(eye, person, thing, u, beyond);
    match thing.layer {
        Layer::Overlay => {
            let hides = (!thing.transparent).then(|| (0, Bound::Hidden { shot, prop, part }, at(false)));
            let paints = (!eye.person_matte).then(|| (1, Bound::Painted { shot, prop, part }, at(true)));
            hides.into_iter().chain(paints).collect()
        }
        Layer::Screen => vec![(2, Bound::InFront { shot, prop, part }, at(false))],
        Layer::Extension => Vec::new(),
    }
}

impl Sums {
    fn add(&mut self, person: &Person, width: f64, [hidden, painted, in_front]: &[Vec<(f64, f64)>; 3]) {
        let (low, top) = (person.base, person.base + person.height);
        let (hip, neck) = (low + 0.52 * person.height, top - 0.23);
        self.hidden_head += width * union(hidden, &[], (neck, top));
        self.hidden_torso += width * union(hidden, &[], (hip, neck));
        self.painted_head += width * union(painted, hidden, (neck, top));
        self.painted += width * union(painted, hidden, (low, top));
        self.in_front_head += width * union(in_front, hidden, (neck, top));
        self.in_front += width * union(in_front, hidden, (low, top));
    }

    fn break_limit(&self, person: &Person, bound: &Bound) -> bool {
        let area = 2.0 * person.radius * person.height;
        let torso = 2.0 * person.radius * (0.48 * person.height - 0.23);
        // A share of the head below 1e-5 is rounding.
        let (none, some) = (1e-5 * 2.0 * person.radius * 0.23, 0.005 * area);
        match bound {
            Bound::Painted { .. } => self.painted_head > none || self.painted > some,
            Bound::Hidden { .. } => self.hidden_head > none || self.hidden_torso > 0.10 * torso,
            _ => self.in_front_head > none || self.in_front > some,
        }
    }
}

#[derive(Default)]
struct Sums {
    hidden_head: f64,
    hidden_torso: f64,
    painted_head: f64,
    painted: f64,
    in_front_head: f64,
    in_front: f64,
}

fn note(parts: &mut Vec<Bound>, stretches: &[(f64, f64)], (low, top): (f64, f64), bound: Bound) {
    if stretches.iter().any(|s| s.0 < top && s.1 > low) && !parts.contains(&bound) {
        parts.push(bound);
    }
}

/// Middles and widths of columns: fine between all places where a part begins, ends or has a corner.
fn columns(eye: &Eye, person: &Person, things: &[&Thing]) -> Vec<(f64, f64)> {
    let (right, distance) = person.across(eye.centre);
    let ahead = (-right.1, right.0);
    let from = (eye.centre[0], eye.centre[1]);
    let mut cuts = vec![-person.radius, person.radius];
    for q in things.iter().flat_map(|t| t.shape.turning_points(from)) {
        let v = (q.0 - from.0, q.1 - from.1);
        let (depth, off) = (v.0 * ahead.0 + v.1 * ahead.1, v.0 * right.0 + v.1 * right.1);
        if depth > 0.0 {
            cuts.push((off * distance / depth).clamp(-person.radius, person.radius));
        }
    }
    cuts.sort_by(f64::total_cmp);
    let mut found = Vec::new();
    for pair in cuts.windows(2).filter(|pair| pair[1] > pair[0]) {
        let width = (pair[1] - pair[0]) / COLUMNS as f64;
        found.extend((0..COLUMNS).map(|i| (pair[0] + width * (i as f64 + 0.5), width)));
    }
    found
}

/// False when the part's turning points all lie to one side of the person, seen from the camera.
fn may_meet(eye: &Eye, person: &Person, thing: &Thing) -> bool {
    let (right, distance) = person.across(eye.centre);
    let ahead = (-right.1, right.0);
    let from = (eye.centre[0], eye.centre[1]);
    let points = thing.shape.turning_points(from);
    let place = |q: &P2| {
        let v = (q.0 - from.0, q.1 - from.1);
        let (depth, off) = (v.0 * ahead.0 + v.1 * ahead.1, v.0 * right.0 + v.1 * right.1);
        (depth > 0.0).then(|| off * distance / depth)
    };
    let places: Option<Vec<f64>> = points.iter().map(place).collect();
    let Some(places) = places.filter(|p| !p.is_empty()) else { return true };
    places.iter().any(|u| *u > -person.radius) && places.iter().any(|u| *u < person.radius)
}
