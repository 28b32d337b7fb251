//! Where lines and circles meet.

use super::StagePoint;

/// A line or circle that misses a circle by less than this touches it where that is asked for, metres: rounding must
/// not lose the place where one becomes the other without a corner.
const TOUCHING_M: f32 = 2e-5;

type Line = (StagePoint, StagePoint);
type Circle = (StagePoint, f32);

/// Shares of the line at which it meets the circle.
pub(crate) fn line_and_circle(line: Line, circle: Circle) -> [Option<f32>; 2] {
    line_near_circle(line, circle, 0.0)
}

/// The same; a line that misses the circle by a hair touches it.
pub(crate) fn line_touching_circle(line: Line, circle: Circle) -> [Option<f32>; 2] {
    line_near_circle(line, circle, TOUCHING_M)
}

fn line_near_circle((from, to): Line, (centre, radius_m): Circle, hair_m: f32) -> [Option<f32>; 2] {
    let (u, w) = (to - from, from - centre);
    let square = u.dot(u);
    if square == 0.0 {
        return [None, None];
    }
    let foot = -w.dot(u) / square;
    let off = w.cross(u) / libm::sqrtf(square);
    let inside = radius_m * radius_m - off * off;
    if inside < -2.0 * radius_m * hair_m {
        return [None, None];
    }
    let half = libm::sqrtf(libm::fmaxf(inside, 0.0) / square);
    [Some(foot - half), Some(foot + half)]
}

/// Points where two circles meet.
pub(crate) fn circle_and_circle(one: Circle, other: Circle) -> [Option<StagePoint>; 2] {
    circle_near_circle(one, other, 0.0)
}

/// The same; circles that miss each other by a hair touch.
pub(crate) fn circle_touching_circle(one: Circle, other: Circle) -> [Option<StagePoint>; 2] {
    circle_near_circle(one, other, TOUCHING_M)
}

fn circle_near_circle((c, r): Circle, (d, s): Circle, hair_m: f32) -> [Option<StagePoint>; 2] {
    let between = d - c;
    let distance = between.length();
    let Some(along) = between.unit() else { return [None, None] };
    let foot = (distance * distance + (r - s) * (r + s)) / (2.0 * distance);
    let inside = r * r - foot * foot;
    if inside < -2.0 * r * hair_m {
        return [None, None];
    }
    let (base, off) = (c + along * foot, along.perp() * libm::sqrtf(libm::fmaxf(inside, 0.0)));
    [Some(base + off), Some(base - off)]
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    #[test]
    fn a_line_meets_a_circle_twice_or_not_at_all() {
        let circle = (p(1.0, 2.0), 2.0);
        assert_eq!(line_and_circle((p(-3.0, 2.0), p(5.0, 2.0)), circle), [Some(0.25), Some(0.75)]);
        assert_eq!(line_and_circle((p(-3.0, 4.5), p(5.0, 4.5)), circle), [None, None]);
        assert_eq!(line_and_circle((p(1.0, 2.0), p(1.0, 2.0)), circle), [None, None]);
    }

    #[test]
    fn a_line_that_goes_on_from_an_arc_touches_its_circle() {
        // At (0.45 cos a, 0.45 sin a) the tangent leaves; whatever the rounding, its start is found.
        for i in 0..360 {
            let (sin, cos) = (i as f32).to_radians().sin_cos();
            let from = p(7.3 + 0.45 * cos, -5.1 + 0.45 * sin);
            let shares = line_touching_circle((from, p(from.x - 3.0 * sin, from.y + 3.0 * cos)), (p(7.3, -5.1), 0.45));
            assert!(shares.iter().flatten().any(|t| t.abs() < 2e-3), "{i}: {shares:?}");
        }
        let apart = line_touching_circle((p(-1.0, 1.001), p(1.0, 1.001)), (p(0.0, 0.0), 1.0));
        assert_eq!(apart, [None, None]);
    }

    #[test]
    fn circles_meet_where_a_3_4_5_triangle_says() {
        // Radii 3 and 4, centres 5 apart: a right angle where they meet, 2.4 off the line of centres.
        let [Some(left), Some(right)] = circle_and_circle((p(0.0, 0.0), 3.0), (p(5.0, 0.0), 4.0)) else { panic!() };
        assert!(left.distance(p(1.8, 2.4)) < 1e-6 && right.distance(p(1.8, -2.4)) < 1e-6);
        assert_eq!(circle_and_circle((p(0.0, 0.0), 1.0), (p(5.0, 0.0), 1.0)), [None, None]);
        assert_eq!(circle_and_circle((p(0.0, 0.0), 1.0), (p(0.0, 0.0), 1.0)), [None, None]);
    }
}
