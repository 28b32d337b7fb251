//! The part of a polygon that lies inside a convex polygon.

use heapless::Vec;

use super::{GeomError, StagePoint, polygon};

/// `subject` cut down to `window`, side by side of the window (Sutherland and Hodgman's method).
///
/// `window` is convex and counter-clockwise. A concave subject whose cut falls into several pieces comes
/// back as one list whose pieces are joined by doubled sides of no area: area and containment hold, only
/// a drawn outline would show the joints. Empty when nothing is left.
///
/// # Errors
/// [`GeomError::NotConvex`] for a window that is not, [`GeomError::TooMany`] when the result needs more
/// than `N` vertices, [`GeomError::NotFinite`].
pub fn clip<const N: usize>(subject: &[StagePoint], window: &[StagePoint]) -> Result<Vec<StagePoint, N>, GeomError> {
    if !subject.iter().chain(window).all(|p| p.is_finite()) {
        return Err(GeomError::NotFinite);
    }
    if !polygon::is_convex(window) {
        return Err(GeomError::NotConvex);
    }
    let mut rest = Vec::from_slice(subject).map_err(|_| GeomError::TooMany)?;
    for (a, b) in polygon::sides(window) {
        rest = keep_left::<N>(&rest, a, b)?;
    }
    Ok(if rest.len() < 3 { Vec::new() } else { rest })
}

/// The part of `subject` to the left of the line through `a` and `b`.
fn keep_left<const N: usize>(
    subject: &[StagePoint],
    a: StagePoint,
    b: StagePoint,
) -> Result<Vec<StagePoint, N>, GeomError> {
    let depth = |p: StagePoint| (b - a).cross(p - a);
    let mut kept = Vec::new();
    for (from, to) in polygon::sides(subject) {
        let (d_from, d_to) = (depth(from), depth(to));
        if d_from >= 0.0 {
            kept.push(from).map_err(|_| GeomError::TooMany)?;
        }
        if (d_from > 0.0 && d_to < 0.0) || (d_from < 0.0 && d_to > 0.0) {
            let cut = from + (to - from) * (d_from / (d_from - d_to));
            kept.push(cut).map_err(|_| GeomError::TooMany)?;
        }
    }
    Ok(kept)
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    const UNIT: [StagePoint; 4] = [p(0.0, 0.0), p(1.0, 0.0), p(1.0, 1.0), p(0.0, 1.0)];

    #[test]
    fn a_corner_is_cut_off() {
        let triangle = [p(0.5, 0.5), p(2.5, 0.5), p(0.5, 2.5)];
        let rest = clip::<8>(&triangle, &UNIT).unwrap();
        assert_eq!(polygon::signed_area(&rest), 0.25);
    }

    #[test]
    fn outside_leaves_nothing_and_inside_leaves_all() {
        let small = UNIT.map(|v| p(v.x / 2.0 + 0.25, v.y / 2.0 + 0.25));
        assert_eq!(clip::<8>(&small, &UNIT).unwrap().as_slice(), &small);
        let away = UNIT.map(|v| p(v.x + 5.0, v.y));
        assert!(clip::<8>(&away, &UNIT).unwrap().is_empty());
    }

    #[test]
    fn a_window_must_be_convex_and_the_room_enough() {
        let mut clockwise = UNIT;
        clockwise.reverse();
        assert_eq!(clip::<8>(&UNIT, &clockwise), Err(GeomError::NotConvex));
        assert_eq!(clip::<3>(&UNIT, &UNIT), Err(GeomError::TooMany));
    }
}
