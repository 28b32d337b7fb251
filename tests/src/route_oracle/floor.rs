//! The floor as a limit of straight ways: its outline, the bands along its sides, and the entries through these.

use super::shape::sides;
use super::vector::{V, to_segment};

/// The band along one side of the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// The side.
    pub side: (V, V),
    /// Its width, metres.
    pub width: f64,
    /// Where it is waived: an entry's middle and half its width.
    pub entries: Vec<(V, f64)>,
}

/// True when the way from `a` to `b` leaves the closed polygon by more than `slack`, judged in the middle of every piece
/// between two sides.
pub(super) fn leaves(outline: &[V], (a, b): (V, V), slack: f64) -> bool {
    let mut cuts = vec![0.0, 1.0];
    for (p, q) in sides(outline) {
        let (from, to) = ((q - p).cross(a - p), (q - p).cross(b - p));
        if from != to {
            cuts.push((from / (from - to)).clamp(0.0, 1.0));
        }
    }
    cuts.sort_by(f64::total_cmp);
    let at = |t: f64| a + (b - a) * t;
    cuts.windows(2).map(|cut| at((cut[0] + cut[1]) / 2.0)).chain([a, b]).any(|p| is_outside(outline, p, slack))
}

fn is_outside(outline: &[V], p: V, slack: f64) -> bool {
    let crossings = sides(outline).filter(|&(a, b)| (a.y > p.y) != (b.y > p.y)).filter(|&(a, b)| {
        let x = a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x);
        x > p.x
    });
    crossings.count() % 2 == 0 && sides(outline).map(|(a, b)| to_segment(p, a, b)).fold(f64::INFINITY, f64::min) > slack
}

/// Shares of a way, from and to.
type Share = (f64, f64);

impl Band {
    /// True when a piece of the way from `a` to `b` is in the band, by more than `slack`, and in none of its entries.
    pub fn stops(&self, (a, b): (V, V), slack: f64) -> bool {
        let Some((from, to)) = self.inside((a, b), self.width - slack) else { return false };
        let mut open: Vec<Share> = self.entries.iter().filter_map(|&e| self.opened(e, (a, b), slack)).collect();
        open.sort_by(|x, y| x.0.total_cmp(&y.0));
        let done = open.iter().fold(from, |done, &(start, end)| if start <= done { done.max(end) } else { done });
        // Of a way, a piece shorter than the slack is not looked at; a point has only itself.
        let left = (to - done) * a.distance(b);
        if a == b { open.is_empty() } else { left > slack }
    }

    /// Shares of the way between which it is nearer to the side than `width`: it is in one of the two end discs or in
    /// the rectangle between them, and all of that is convex.
    fn inside(&self, way: (V, V), width: f64) -> Option<Share> {
        let (from, to) = self.side;
        let along = (to - from).unit().filter(|_| width > 0.0)?;
        let middle = [(along, 0.0, from.distance(to)), (along.perp(), -width, width)];
        let parts = [within(way, from, &middle), in_disc(way, from, width), in_disc(way, to, width)];
        parts.into_iter().flatten().reduce(|x, y| (x.0.min(y.0), x.1.max(y.1)))
    }

    /// Shares of the way between which it is in an entry, whose rectangle reaches from the side through the band.
    fn opened(&self, (middle, half): (V, f64), way: (V, V), slack: f64) -> Option<Share> {
        let along = (self.side.1 - self.side.0).unit()?;
        let limits = [(along, -half - slack, half + slack), (along.perp(), -slack, self.width + slack)];
        within(way, middle, &limits)
    }
}

/// Shares of a way between which its place from `origin` is within limits along some axes.
fn within((a, b): (V, V), origin: V, limits: &[(V, f64, f64)]) -> Option<Share> {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for &(axis, low, high) in limits {
        let (start, step) = ((a - origin).dot(axis), (b - a).dot(axis));
        if step == 0.0 {
            if start < low || start > high {
                return None;
            }
            continue;
        }
        let (t, u) = ((low - start) / step, (high - start) / step);
        from = from.max(t.min(u));
        to = to.min(t.max(u));
    }
    (from <= to).then_some((from, to))
}

/// Shares of a way between which it is in a disc.
fn in_disc((a, b): (V, V), centre: V, radius: f64) -> Option<Share> {
    let (off, step) = (a - centre, b - a);
    let (square, half, rest) = (step.dot(step), off.dot(step), off.dot(off) - radius * radius);
    if square == 0.0 {
        return (rest < 0.0).then_some((0.0, 1.0));
    }
    let root = half * half - square * rest;
    if root <= 0.0 {
        return None;
    }
    let (from, to) = ((-half - root.sqrt()) / square, (-half + root.sqrt()) / square);
    (from < 1.0 && to > 0.0).then(|| (from.max(0.0), to.min(1.0)))
}
