//! The outline of a zone.

use heapless::Vec;

use super::{Bound, ZoneError};
use crate::geom::{StagePoint, polygon};
use crate::limits;

/// The outline of a zone: its outer ring first, counter-clockwise seen from above, then its holes, clockwise; the
/// zone is on the left. `N` points at most, [`limits::ZONE_RINGS`] rings at most.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline<const N: usize> {
    points: Vec<StagePoint, N>,
    bounds: Vec<Bound, N>,
    /// One past the last point of each closed ring.
    ends: Vec<u16, { limits::ZONE_RINGS }>,
    needed: usize,
}

/// One ring of an outline: as many points as bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlineRing<'o> {
    /// Its corners in order, metres; the last joins the first.
    pub points: &'o [StagePoint],
    /// What bounds the side from each corner to the next.
    pub bounds: &'o [Bound],
}

impl<const N: usize> Outline<N> {
    /// An outline of nothing.
    pub const fn new() -> Self {
        Self { points: Vec::new(), bounds: Vec::new(), ends: Vec::new(), needed: 0 }
    }

    /// The rings, the outer one first.
    pub fn rings(&self) -> impl Iterator<Item = OutlineRing<'_>> + '_ {
        (0..self.ends.len()).filter_map(|i| self.ring(i))
    }

    /// Ring `i`, 0 for the outer one.
    pub fn ring(&self, i: usize) -> Option<OutlineRing<'_>> {
        let span = self.span(i)?;
        Some(OutlineRing { points: self.points.get(span.clone())?, bounds: self.bounds.get(span)? })
    }

    /// True when `p` is in the zone or on its outline.
    pub fn contains(&self, p: StagePoint) -> bool {
        let place = |ring: OutlineRing<'_>| polygon::locate(ring.points, p);
        let mut rings = self.rings().map(place);
        rings.next().is_some_and(|outer| outer != polygon::Place::Outside)
            && rings.all(|hole| hole != polygon::Place::Inside)
    }

    /// Distance from `p` to the nearest side, metres, and what bounds that side; `None` without sides.
    pub fn nearest(&self, p: StagePoint) -> Option<(f32, Bound)> {
        let sides = self.rings().flat_map(|ring| polygon::sides(ring.points).zip(ring.bounds));
        let each = sides.map(|((a, b), &bound)| (crate::geom::segment::distance(p, a, b), bound));
        each.min_by(|x, y| x.0.total_cmp(&y.0))
    }

    /// Area, the holes taken off, square metres.
    pub fn area_m2(&self) -> f32 {
        self.rings().map(|ring| polygon::signed_area(ring.points)).sum()
    }

    pub(super) fn clear(&mut self) {
        self.points.clear();
        self.bounds.clear();
        self.ends.clear();
        self.needed = 0;
    }

    pub(super) fn count(&self) -> usize {
        self.ends.len()
    }

    /// Adds a corner to the open ring.
    pub(super) fn push(&mut self, p: StagePoint, bound: Bound) {
        self.needed += 1;
        if self.points.push(p).is_ok() {
            let _ = self.bounds.push(bound);
        }
    }

    /// Closes the open ring. One without an area is left out.
    ///
    /// # Errors
    /// [`ZoneError::OutlineFull`] or [`ZoneError::RingsFull`].
    pub(super) fn close(&mut self) -> Result<(), ZoneError> {
        if self.needed > N {
            return Err(ZoneError::OutlineFull { capacity: N, needed: self.needed });
        }
        let start = self.closed();
        if self.points.len() < start + 3 {
            self.truncate(start);
            return Ok(());
        }
        let full = ZoneError::RingsFull { capacity: limits::ZONE_RINGS, needed: limits::ZONE_RINGS + 1 };
        self.ends.push(self.points.len() as u16).map_err(|_| full)
    }

    /// Takes the last ring off again.
    pub(super) fn drop_last(&mut self) {
        self.ends.pop();
        self.truncate(self.closed());
    }

    /// Takes ring `i` out; those after it move up.
    pub(super) fn remove(&mut self, i: usize) {
        let Some(span) = self.span(i) else { return };
        let count = span.len();
        if let (Some(points), Some(bounds)) = (self.points.get_mut(span.start..), self.bounds.get_mut(span.start..)) {
            points.rotate_left(count);
            bounds.rotate_left(count);
        }
        self.ends.remove(i);
        self.ends.iter_mut().skip(i).for_each(|end| *end -= count as u16);
        self.truncate(self.closed());
    }

    fn span(&self, i: usize) -> Option<core::ops::Range<usize>> {
        let start = if i == 0 { 0 } else { usize::from(*self.ends.get(i - 1)?) };
        Some(start..usize::from(*self.ends.get(i)?))
    }

    fn closed(&self) -> usize {
        self.ends.last().map_or(0, |end| usize::from(*end))
    }

    fn truncate(&mut self, count: usize) {
        self.points.truncate(count);
        self.bounds.truncate(count);
        self.needed = count;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::props::Limit;

    fn outline(rings: &[&[(f32, f32)]]) -> Outline<16> {
        let mut outline = Outline::new();
        for (i, ring) in rings.iter().enumerate() {
            ring.iter().for_each(|&(x, y)| outline.push(StagePoint::new(x, y), Bound::Limit(Limit::Edge(i as u8))));
            outline.close().unwrap();
        }
        outline
    }

    const OUTER: &[(f32, f32)] = &[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)];
    const HOLE: &[(f32, f32)] = &[(1.0, 1.0), (1.0, 2.0), (2.0, 2.0), (2.0, 1.0)];
    const FAR: &[(f32, f32)] = &[(3.0, 3.0), (3.0, 3.5), (3.5, 3.0)];

    #[test]
    fn a_ring_taken_out_leaves_the_others_whole() {
        let mut cut = outline(&[OUTER, HOLE, FAR]);
        assert_eq!(cut.area_m2(), 16.0 - 1.0 - 0.125);
        assert!(!cut.contains(StagePoint::new(1.5, 1.5)) && cut.contains(StagePoint::new(2.0, 1.5)));
        assert_eq!(cut.nearest(StagePoint::new(1.5, 1.75)), Some((0.25, Bound::Limit(Limit::Edge(1)))));
        cut.remove(1);
        assert_eq!(cut.area_m2(), 16.0 - 0.125);
        assert_eq!(cut.ring(1).unwrap().bounds, [Bound::Limit(Limit::Edge(2)); 3]);
        assert_eq!(cut.count(), 2);
        cut.drop_last();
        assert_eq!(cut, outline(&[OUTER]));
    }

    #[test]
    fn full_says_both_numbers() {
        let mut small = Outline::<3>::new();
        OUTER.iter().for_each(|&(x, y)| small.push(StagePoint::new(x, y), Bound::Limit(Limit::OffFloor)));
        assert_eq!(small.close(), Err(ZoneError::OutlineFull { capacity: 3, needed: 4 }));
    }
}
