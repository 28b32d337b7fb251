//! A way with rounded corners, as straight pieces: its length, and what it comes near to.

use super::plan::Plan;
use super::vector::V;

/// How far a chord may be inside its arc, metres.
const SAGITTA: f64 = 1e-6;

/// A way as somebody walks it.
#[derive(Clone, Debug, Default)]
pub struct Walked {
    /// Its length, arcs as arcs, metres.
    pub length: f64,
    /// Its straight pieces and the chords of its arcs, in walking order.
    pub pieces: Vec<(V, V)>,
    /// Most that the roundings of two neighbours overlap, metres.
    pub overlap: f64,
}

impl Walked {
    /// The way along points, each with the radius that rounds the corner there: the arc touches both legs.
    pub fn along(points: &[(V, f64)]) -> Self {
        let mut walked = Self::default();
        let Some(&(mut here, _)) = points.first() else { return walked };
        for window in points.windows(3) {
            let [(before, _), (at, radius), (after, _)] = *window else { continue };
            let (Some(coming), Some(going)) = ((at - before).unit(), (after - at).unit()) else { continue };
            let turn = coming.cross(going).atan2(coming.dot(going));
            let cut = if radius > 0.0 { radius * (turn.abs() / 2.0).tan() } else { 0.0 };
            let start = at - coming * cut;
            walked.overlap = walked.overlap.max((here - start).dot(coming)).max(cut - at.distance(after));
            walked.straight(here, start);
            walked.arc((start, coming), radius, turn);
            here = at + going * cut;
        }
        let last = points.last().map_or(here, |p| p.0);
        walked.straight(here, last);
        walked
    }

    fn straight(&mut self, a: V, b: V) {
        self.length += a.distance(b);
        self.pieces.push((a, b));
    }

    fn arc(&mut self, (start, coming): (V, V), radius: f64, turn: f64) {
        if radius <= 0.0 || turn == 0.0 {
            return;
        }
        self.length += radius * turn.abs();
        let count = (turn.abs() / (8.0 * SAGITTA / radius).sqrt()).ceil().max(1.0);
        let side = coming.perp() * turn.signum();
        let centre = start + side * radius;
        let first = (start - centre).angle();
        let at = |i: f64| centre + V::heading(first + turn * i / count) * radius;
        self.pieces.extend((0..count as u32).map(|i| (at(f64::from(i)), at(f64::from(i) + 1.0))));
    }

    /// The first piece that comes nearer to something than it may by more than `slack`, metres.
    pub fn fault(&self, plan: &Plan, slack: f64) -> Option<(V, V)> {
        self.pieces.iter().copied().find(|&(a, b)| plan.stops(a, b, slack))
    }

    /// Least room to spare beside things, metres, negative where it is missing.
    pub fn spare(&self, plan: &Plan) -> f64 {
        self.pieces.iter().map(|&(a, b)| plan.spare(a, b)).fold(f64::INFINITY, f64::min)
    }
}
