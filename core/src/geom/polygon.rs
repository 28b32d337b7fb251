//! Simple polygons as plain vertex lists: area, winding, containment, distance.
//!
//! The last vertex joins the first. Lists with fewer than three vertices have no area and contain nothing.

use super::segment::{self, Crossing, Turn};
use super::{GeomError, StagePoint};

/// A point at most this far from a side lies on it, metres. Twice the rounding of a coordinate at
/// 100 m, and far below anything that a tape measure or a pixel shows.
pub const ON_EDGE_M: f32 = 1e-5;

/// Where a point lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Inside, off the boundary.
    Inside,
    /// On the boundary, within [`ON_EDGE_M`].
    Edge,
    /// Outside.
    Outside,
}

/// The sides, each from one vertex to the next.
pub fn sides(vertices: &[StagePoint]) -> impl Iterator<Item = (StagePoint, StagePoint)> + '_ {
    vertices.iter().copied().zip(vertices.iter().copied().cycle().skip(1))
}

/// Area in square metres, positive when the vertices run counter-clockwise seen from above (shoelace formula).
pub fn signed_area(vertices: &[StagePoint]) -> f32 {
    let Some(&first) = vertices.first() else { return 0.0 };
    // Seen from a vertex the products stay small, and the sum exact, for shapes far from the origin.
    sides(vertices).map(|(a, b)| (a - first).cross(b - first)).sum::<f32>() / 2.0
}

/// Length of the boundary, metres.
pub fn perimeter(vertices: &[StagePoint]) -> f32 {
    sides(vertices).map(|(a, b)| a.distance(b)).sum()
}

/// Where `p` lies. Works for either winding.
pub fn locate(vertices: &[StagePoint], p: StagePoint) -> Place {
    if vertices.len() < 3 {
        return Place::Outside;
    }
    if boundary_distance(vertices, p) <= ON_EDGE_M {
        return Place::Edge;
    }
    let winding: i32 = sides(vertices).map(|(a, b)| crossing_of_ray(a, b, p)).sum();
    if winding == 0 { Place::Outside } else { Place::Inside }
}

/// The side nearest to `p`, the first of several, and its index; `None` without vertices.
pub fn nearest_side(vertices: &[StagePoint], p: StagePoint) -> Option<(usize, (StagePoint, StagePoint))> {
    let far = |&(_, (a, b)): &(usize, (StagePoint, StagePoint))| segment::distance(p, a, b);
    sides(vertices).enumerate().min_by(|x, y| far(x).total_cmp(&far(y)))
}

/// True when `p` is inside or on the boundary: the polygon is closed.
pub fn contains(vertices: &[StagePoint], p: StagePoint) -> bool {
    locate(vertices, p) != Place::Outside
}

/// Distance from `p` to the nearest side, metres; infinite for an empty list.
pub fn boundary_distance(vertices: &[StagePoint], p: StagePoint) -> f32 {
    sides(vertices).map(|(a, b)| segment::distance(p, a, b)).fold(f32::INFINITY, f32::min)
}

/// Distance from `p` to the boundary, metres, negative inside.
pub fn signed_distance(vertices: &[StagePoint], p: StagePoint) -> f32 {
    let distance = boundary_distance(vertices, p);
    if locate(vertices, p) == Place::Inside { -distance } else { distance }
}

/// True for a convex polygon in counter-clockwise order; vertices in the middle of a side are allowed.
pub fn is_convex(vertices: &[StagePoint]) -> bool {
    let no_vertex_right = |(a, b)| vertices.iter().all(|&v| segment::turn(a, b, v) != Turn::Right);
    vertices.len() >= 3 && signed_area(vertices) > 0.0 && sides(vertices).all(no_vertex_right)
}

/// Checks that the list is a simple polygon: finite, with area, and no side meeting another but its neighbours.
///
/// # Errors
/// [`GeomError::TooFew`], [`GeomError::NotFinite`], [`GeomError::Collinear`] or [`GeomError::SelfCrossing`].
/// Cost: the square of the number of sides.
pub fn check(vertices: &[StagePoint]) -> Result<(), GeomError> {
    if vertices.len() < 3 {
        return Err(GeomError::TooFew);
    }
    if !vertices.iter().all(|v| v.is_finite()) {
        return Err(GeomError::NotFinite);
    }
    for (i, first) in sides(vertices).enumerate() {
        for (j, second) in sides(vertices).enumerate().skip(i + 1) {
            let neighbours = j == i + 1 || (i == 0 && j + 1 == vertices.len());
            match segment::crossing(first, second) {
                Crossing::Apart => {}
                Crossing::At(_) if neighbours => {}
                Crossing::Along if vertices.len() == 3 => return Err(GeomError::Collinear),
                Crossing::At(_) | Crossing::Along => return Err(GeomError::SelfCrossing),
            }
        }
    }
    if signed_area(vertices) == 0.0 { Err(GeomError::Collinear) } else { Ok(()) }
}

/// +1 when the side passes upwards to the right of `p`, -1 downwards, 0 otherwise; lower end in, upper end out.
fn crossing_of_ray(a: StagePoint, b: StagePoint, p: StagePoint) -> i32 {
    let left = (b - a).cross(p - a);
    if a.y <= p.y && b.y > p.y && left > 0.0 {
        1
    } else if b.y <= p.y && a.y > p.y && left < 0.0 {
        -1
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    const ELL: [StagePoint; 6] = [p(0.0, 0.0), p(4.0, 0.0), p(4.0, 1.0), p(1.0, 1.0), p(1.0, 3.0), p(0.0, 3.0)];

    #[test]
    fn area_of_the_textbook_pentagon() {
        // Shoelace example of the encyclopaedias (from memory): 16.5.
        let pentagon = [p(1.0, 6.0), p(3.0, 1.0), p(7.0, 2.0), p(4.0, 4.0), p(8.0, 5.0)];
        assert_eq!(signed_area(&pentagon), 16.5);
        let mut turned = pentagon;
        turned.reverse();
        assert_eq!(signed_area(&turned), -16.5);
    }

    #[test]
    fn area_does_not_fade_far_from_the_origin() {
        let far = ELL.map(|v| p(v.x + 400.0, v.y - 400.0));
        assert_eq!(signed_area(&far), signed_area(&ELL));
        assert_eq!(signed_area(&ELL), 6.0);
        assert_eq!(perimeter(&ELL), 14.0);
    }

    #[test]
    fn a_point_on_the_edge_or_a_corner_is_contained() {
        for edge in [p(2.0, 0.0), p(1.0, 2.0), p(1.0, 1.0), p(0.0, 0.0), p(4.0, 0.5)] {
            assert_eq!(locate(&ELL, edge), Place::Edge, "{edge:?}");
            assert!(contains(&ELL, edge));
        }
        assert_eq!(locate(&ELL, p(0.5, 2.9)), Place::Inside);
        assert_eq!(locate(&ELL, p(2.0, 2.0)), Place::Outside);
        // A ray through vertices must not be counted twice or missed.
        assert_eq!(locate(&ELL, p(-1.0, 1.0)), Place::Outside);
        assert_eq!(locate(&ELL, p(0.5, 1.0)), Place::Inside);
    }

    #[test]
    fn distance_is_negative_inside() {
        assert_eq!(signed_distance(&ELL, p(0.5, 2.0)), -0.5);
        assert_eq!(signed_distance(&ELL, p(7.0, 5.0)), 5.0);
        assert_eq!(boundary_distance(&[], p(0.0, 0.0)), f32::INFINITY);
    }

    #[test]
    fn convex_means_once_round_and_counter_clockwise() {
        let square = [p(0.0, 0.0), p(1.0, 0.0), p(1.0, 0.5), p(1.0, 1.0), p(0.0, 1.0)];
        assert!(is_convex(&square));
        assert!(!is_convex(&ELL));
        let mut clockwise = square;
        clockwise.reverse();
        assert!(!is_convex(&clockwise));
        // A pentagram turns left at every corner but goes round twice.
        let star: [StagePoint; 5] = core::array::from_fn(|i| {
            let angle = core::f32::consts::TAU * 2.0 * i as f32 / 5.0;
            p(libm::cosf(angle), libm::sinf(angle))
        });
        assert!(!is_convex(&star));
    }

    #[test]
    fn bad_polygons_are_named() {
        assert_eq!(check(&ELL), Ok(()));
        assert_eq!(check(&ELL[..2]), Err(GeomError::TooFew));
        assert_eq!(check(&[p(0.0, 0.0), p(f32::NAN, 0.0), p(0.0, 1.0)]), Err(GeomError::NotFinite));
        assert_eq!(check(&[p(0.0, 0.0), p(1.0, 1.0), p(2.0, 2.0)]), Err(GeomError::Collinear));
        let bow_tie = [p(0.0, 0.0), p(1.0, 1.0), p(1.0, 0.0), p(0.0, 1.0)];
        assert_eq!(check(&bow_tie), Err(GeomError::SelfCrossing));
    }
}
