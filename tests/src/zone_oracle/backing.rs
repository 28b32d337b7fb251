//! Whether LED surfaces back a person's outline.

use underfoot_core::cameras::Side;

use super::P2;
use super::depth::Person;
use super::eye::Eye;
use super::plan::Plan;

/// Points on each side and on the top of the outline.
const POINTS: usize = 61;
/// Seams up to this are closed.
const SEAM: f64 = 0.03;

/// One entry for each point of the outline, 2 % larger than the person, that the picture has and nothing backs.
pub(super) fn sides(eye: &Eye, person: &Person, plan: &Plan) -> Vec<Side> {
    let (right, _) = person.across(eye.centre);
    let (half, high) = (1.02 * person.radius, 1.02 * person.height);
    let share = |i: usize| i as f64 / (POINTS - 1) as f64;
    let outline = (0..POINTS)
        .flat_map(|i| [((2.0 * share(i) - 1.0) * half, high), (-half, share(i) * high), (half, share(i) * high)]);
    let place = |(u, z): P2| [person.at.0 + right.0 * u, person.at.1 + right.1 * u, person.base + z];
    let lost = outline.map(place).find(|&q| eye.shows(q) && !is_backed(eye.centre, q, plan));
    lost.map(|_| Side::Top).into_iter().collect()
}

fn is_backed(c: [f64; 3], q: [f64; 3], plan: &Plan) -> bool {
    let way = (q[0] - c[0], q[1] - c[1]);
    let at = |lambda: f64| ((c[0] + way.0 * lambda, c[1] + way.1 * lambda), c[2] + (q[2] - c[2]) * lambda);
    let to_floor = c[2] / (c[2] - q[2]);
    if to_floor.is_finite() && to_floor >= 1.0 - 1e-4 {
        let (p, _) = at(to_floor);
        if plan.on_floor(p) || plan.to_edge(p) <= SEAM {
            return true;
        }
    }
    plan.walls.iter().any(|&(from, to, bottom, top)| {
        let (length, d) = ((to.0 - from.0).hypot(to.1 - from.1), (to.0 - from.0, to.1 - from.1));
        let along = (d.0 / length, d.1 / length);
        let lambda = ((from.0 - c[0]) * along.1 - (from.1 - c[1]) * along.0) / (way.0 * along.1 - way.1 * along.0);
        let (p, z) = at(lambda);
        let place = (p.0 - from.0) * along.0 + (p.1 - from.1) * along.1;
        lambda.is_finite()
            && lambda >= 1.0 - 1e-4
            && z <= top + REACH
            && z >= bottom - SEAM
            && place >= -REACH
            && place <= length + REACH
    })
}

/// Walls reach so far beyond their upper edge and their ends.
const REACH: f64 = SEAM;
