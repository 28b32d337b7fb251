//! Straight stretches between two points: side, crossing, distance.

use super::StagePoint;

/// On which side a third point lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// To the left: counter-clockwise, seen from above.
    Left,
    /// To the right: clockwise, seen from above.
    Right,
    /// On the line, as far as single precision can tell.
    Straight,
}

/// How two segments meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Crossing {
    /// They share no point.
    Apart,
    /// They share one point.
    At(StagePoint),
    /// They lie on one line and share a stretch.
    Along,
}

/// Side of `c` seen along `a` → `b`.
///
/// A cross product smaller than its own rounding error counts as [`Turn::Straight`], so that the
/// answer never depends on the last bit.
pub fn turn(a: StagePoint, b: StagePoint, c: StagePoint) -> Turn {
    let (u, v) = (b - a, c - a);
    let (first, second) = (u.x * v.y, u.y * v.x);
    // Two differences, one product, one subtraction: at most 4 halves of epsilon, rounded up.
    let doubt = (libm::fabsf(first) + libm::fabsf(second)) * (3.0 * f32::EPSILON);
    let cross = first - second;
    if cross > doubt {
        Turn::Left
    } else if cross < -doubt {
        Turn::Right
    } else {
        Turn::Straight
    }
}

/// Share of the way from `a` to `b` (0 to 1) at which the segment is nearest to `p`; 0 when `a` = `b`.
pub fn nearest_share(p: StagePoint, a: StagePoint, b: StagePoint) -> f32 {
    let along = b - a;
    let square = along.dot(along);
    if square > 0.0 { ((p - a).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 }
}

/// Point of the segment that is nearest to `p`.
pub fn nearest(p: StagePoint, a: StagePoint, b: StagePoint) -> StagePoint {
    let t = nearest_share(p, a, b);
    if t < 0.5 { a + (b - a) * t } else { b - (b - a) * (1.0 - t) }
}

/// Distance from `p` to the segment, metres.
pub fn distance(p: StagePoint, a: StagePoint, b: StagePoint) -> f32 {
    p.distance(nearest(p, a, b))
}

/// How the segments `a` → `b` and `c` → `d` meet. Touching ends count.
pub fn crossing((a, b): (StagePoint, StagePoint), (c, d): (StagePoint, StagePoint)) -> Crossing {
    let ends = (turn(a, b, c), turn(a, b, d));
    let other_ends = (turn(c, d, a), turn(c, d, b));
    if apart(ends) || apart(other_ends) {
        return Crossing::Apart;
    }
    if ends == (Turn::Straight, Turn::Straight) || other_ends == (Turn::Straight, Turn::Straight) {
        return on_one_line((a, b), (c, d));
    }
    let (u, v) = (b - a, d - c);
    let t = (c - a).cross(v) / u.cross(v);
    Crossing::At(a + u * t.clamp(0.0, 1.0))
}

/// Distance between the segments `a` → `b` and `c` → `d`, metres; 0 when they meet.
pub fn gap((a, b): (StagePoint, StagePoint), (c, d): (StagePoint, StagePoint)) -> f32 {
    if crossing((a, b), (c, d)) != Crossing::Apart {
        return 0.0;
    }
    distance(a, c, d).min(distance(b, c, d)).min(distance(c, a, b)).min(distance(d, a, b))
}

fn apart(ends: (Turn, Turn)) -> bool {
    ends == (Turn::Left, Turn::Left) || ends == (Turn::Right, Turn::Right)
}

fn on_one_line((a, b): (StagePoint, StagePoint), (c, d): (StagePoint, StagePoint)) -> Crossing {
    // The longer segment gives the steadier direction.
    let along = if (b - a).dot(b - a) >= (d - c).dot(d - c) { b - a } else { d - c };
    if along.dot(along) == 0.0 {
        return if a == c { Crossing::At(a) } else { Crossing::Apart };
    }
    let at = |p: StagePoint| (p - a).dot(along);
    let (low, high) = if at(b) >= 0.0 { (a, b) } else { (b, a) };
    let (from, to) = if at(c) <= at(d) { (c, d) } else { (d, c) };
    let start = if at(from) > at(low) { from } else { low };
    let end = if at(to) < at(high) { to } else { high };
    if at(start) > at(end) {
        Crossing::Apart
    } else if at(start) == at(end) {
        Crossing::At(start)
    } else {
        Crossing::Along
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    #[test]
    fn sides_and_the_doubtful_middle() {
        assert_eq!(turn(p(0.0, 0.0), p(1.0, 0.0), p(0.5, 0.1)), Turn::Left);
        assert_eq!(turn(p(0.0, 0.0), p(1.0, 0.0), p(0.5, -0.1)), Turn::Right);
        // 0.1 + 0.2 is not 0.3: three points on a line that rounding bends.
        assert_eq!(turn(p(0.1, 0.1), p(0.2, 0.2), p(0.3, 0.3)), Turn::Straight);
    }

    #[test]
    fn segments_meet_at_a_point_along_a_stretch_or_not() {
        let x = crossing((p(0.0, 0.0), p(2.0, 2.0)), (p(0.0, 2.0), p(2.0, 0.0)));
        assert_eq!(x, Crossing::At(p(1.0, 1.0)));
        let tee = crossing((p(0.0, 0.0), p(2.0, 0.0)), (p(1.0, 0.0), p(1.0, 5.0)));
        assert_eq!(tee, Crossing::At(p(1.0, 0.0)));
        let along = crossing((p(0.0, 0.0), p(2.0, 0.0)), (p(3.0, 0.0), p(1.0, 0.0)));
        assert_eq!(along, Crossing::Along);
        let chain = crossing((p(0.0, 0.0), p(2.0, 0.0)), (p(3.0, 0.0), p(2.0, 0.0)));
        assert_eq!(chain, Crossing::At(p(2.0, 0.0)));
        let beyond = crossing((p(0.0, 0.0), p(2.0, 0.0)), (p(3.0, 0.0), p(4.0, 0.0)));
        assert_eq!(beyond, Crossing::Apart);
        let parallel = crossing((p(0.0, 0.0), p(2.0, 0.0)), (p(0.0, 1.0), p(2.0, 1.0)));
        assert_eq!(parallel, Crossing::Apart);
    }

    #[test]
    fn a_segment_without_length_is_a_point() {
        assert_eq!(distance(p(3.0, 4.0), p(0.0, 0.0), p(0.0, 0.0)), 5.0);
        assert_eq!(gap((p(0.0, 0.0), p(0.0, 0.0)), (p(3.0, 4.0), p(3.0, 4.0))), 5.0);
    }

    #[test]
    fn the_gap_is_the_least_distance() {
        assert_eq!(gap((p(0.0, 0.0), p(4.0, 0.0)), (p(2.0, 1.5), p(9.0, 9.0))), 1.5);
        assert_eq!(gap((p(0.0, 0.0), p(4.0, 0.0)), (p(2.0, -1.0), p(2.0, 1.0))), 0.0);
    }
}
