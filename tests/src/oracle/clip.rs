//! Cutting polygons with lines along the axes, and their areas.

/// A place in canvas pixels: x right, y down.
pub type Place = [f64; 2];

/// Which side of a line along an axis stays.
#[derive(Clone, Copy, Debug)]
pub enum Keep {
    /// Coordinates of at least the line's.
    Above,
    /// Coordinates of at most the line's.
    Below,
}

/// The part of `polygon` on one side of the line where coordinate `axis` is `line`.
///
/// A concave polygon may come back with sides that run along the line and back. They enclose nothing,
/// so the signed area stays exact.
pub fn cut(polygon: &[Place], axis: usize, line: f64, keep: Keep, out: &mut Vec<Place>) {
    out.clear();
    let depth = |p: Place| match keep {
        Keep::Above => p[axis] - line,
        Keep::Below => line - p[axis],
    };
    let Some(&last) = polygon.last() else { return };
    let (mut from, mut from_depth) = (last, depth(last));
    for &to in polygon {
        let to_depth = depth(to);
        if (from_depth < 0.0) != (to_depth < 0.0) {
            out.push(crossing(from, from_depth, to, to_depth, axis, line));
        }
        if to_depth >= 0.0 {
            out.push(to);
        }
        (from, from_depth) = (to, to_depth);
    }
}

fn crossing(from: Place, from_depth: f64, to: Place, to_depth: f64, axis: usize, line: f64) -> Place {
    let share = from_depth / (from_depth - to_depth);
    let mut place = [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
    place[axis] = line;
    place
}

/// Signed area by the shoelace sum, positive when x turns towards y.
///
/// Summed around the first point, so that far places lose no digits.
pub fn area(polygon: &[Place]) -> f64 {
    let Some(&[x0, y0]) = polygon.first() else { return 0.0 };
    let mut twice = 0.0;
    for pair in polygon.windows(2) {
        twice += (pair[0][0] - x0) * (pair[1][1] - y0) - (pair[1][0] - x0) * (pair[0][1] - y0);
    }
    twice / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_concave_polygon_keeps_its_area_when_cut() {
        // A "U" 3 wide and 3 high with a slot 1 wide and 2 deep: 9 - 2 = 7; above y = 2 lie two legs of 1 x 1.
        let shape = [[0.0, 0.0], [3.0, 0.0], [3.0, 3.0], [2.0, 3.0], [2.0, 1.0], [1.0, 1.0], [1.0, 3.0], [0.0, 3.0]];
        assert_eq!(area(&shape), 7.0);
        let mut legs = Vec::new();
        cut(&shape, 1, 2.0, Keep::Above, &mut legs);
        assert_eq!(area(&legs), 2.0);
        let mut rest = Vec::new();
        cut(&shape, 1, 2.0, Keep::Below, &mut rest);
        assert_eq!(area(&rest), 5.0);
    }

    #[test]
    fn nothing_is_left_off_the_line() {
        let mut out = Vec::new();
        cut(&[[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]], 0, 2.0, Keep::Above, &mut out);
        assert!(out.is_empty());
    }
}
