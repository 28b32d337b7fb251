//! The smallest convex polygon round a set of points.

use heapless::Vec;

use super::segment::{self, Turn};
use super::{GeomError, StagePoint};

/// Convex hull of up to `N` points, counter-clockwise, starting at the point farthest towards stage
/// right; points in the middle of a side are left out (Andrew's monotone chain).
///
/// A point that rounding cannot tell from a side counts as on it, so the hull may fall short of a
/// point by a few units in the last place of its coordinates and never by more.
///
/// # Errors
/// [`GeomError::TooMany`] for more than `N` points, [`GeomError::NotFinite`], [`GeomError::TooFew`] for
/// fewer than three, [`GeomError::Collinear`] when there is no area.
pub fn hull<const N: usize>(points: &[StagePoint]) -> Result<Vec<StagePoint, N>, GeomError> {
    if !points.iter().all(|p| p.is_finite()) {
        return Err(GeomError::NotFinite);
    }
    if points.len() < 3 {
        return Err(GeomError::TooFew);
    }
    let mut sorted = Vec::<StagePoint, N>::from_slice(points).map_err(|_| GeomError::TooMany)?;
    sort(&mut sorted);
    let mut chain = half(sorted.iter().copied())?;
    let upper = half::<N>(sorted.iter().rev().copied())?;
    chain.pop();
    for &p in upper.iter().take(upper.len().saturating_sub(1)) {
        chain.push(p).map_err(|_| GeomError::TooMany)?;
    }
    if chain.len() < 3 { Err(GeomError::Collinear) } else { Ok(chain) }
}

/// Sorts towards stage left, then upstage, by insertion: the lists are short, and a general sort takes 11 KB of
/// the box's flash.
fn sort(points: &mut [StagePoint]) {
    let is_wrong = |a: StagePoint, b: StagePoint| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)).is_gt();
    for end in 1..points.len() {
        for i in (1..=end).rev() {
            match points.get(i - 1..=i) {
                Some(&[a, b]) if is_wrong(a, b) => points.swap(i - 1, i),
                _ => break,
            }
        }
    }
}

/// One side of the hull, from the first of the sorted points to the last.
fn half<const N: usize>(points: impl Iterator<Item = StagePoint>) -> Result<Vec<StagePoint, N>, GeomError> {
    let mut chain = Vec::<StagePoint, N>::new();
    for p in points {
        while let [.., a, b] = chain.as_slice()
            && segment::turn(*a, *b, p) != Turn::Left
        {
            chain.pop();
        }
        if chain.last() != Some(&p) {
            chain.push(p).map_err(|_| GeomError::TooMany)?;
        }
    }
    Ok(chain)
}

#[cfg(test)]
mod tests {
    use super::super::polygon;
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    #[test]
    fn inner_and_mid_side_points_are_left_out() {
        let points = [p(1.0, 1.0), p(0.0, 0.0), p(2.0, 0.0), p(1.0, 0.0), p(2.0, 2.0), p(0.0, 2.0), p(0.0, 0.0)];
        let found = hull::<8>(&points).unwrap();
        assert_eq!(found.as_slice(), &[p(0.0, 0.0), p(2.0, 0.0), p(2.0, 2.0), p(0.0, 2.0)]);
        assert!(polygon::is_convex(&found));
    }

    #[test]
    fn degenerate_sets_are_named() {
        assert_eq!(hull::<4>(&[p(0.0, 0.0), p(1.0, 0.0)]), Err(GeomError::TooFew));
        assert_eq!(hull::<4>(&[p(1.0, 1.0); 4]), Err(GeomError::Collinear));
        assert_eq!(hull::<4>(&[p(0.1, 0.1), p(0.2, 0.2), p(0.3, 0.3)]), Err(GeomError::Collinear));
        assert_eq!(hull::<4>(&[p(0.0, 0.0); 5]), Err(GeomError::TooMany));
        assert_eq!(hull::<4>(&[p(0.0, 0.0), p(f32::INFINITY, 0.0), p(0.0, 1.0)]), Err(GeomError::NotFinite));
    }
}
