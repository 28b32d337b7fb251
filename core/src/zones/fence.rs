//! The border of where the picture works, before it is shrunk: rings of straight sides with distances.

use heapless::Vec;

use super::{Bound, ZoneError};
use crate::geom::{StagePoint, StageVector, segment};
use crate::limits;

/// A post and the side that starts at it, the allowed side on its left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Post {
    pub(super) at: StagePoint,
    pub(super) bound: Bound,
    next: u16,
}

/// Rings of posts.
#[derive(Clone, Debug)]
pub(super) struct Fence {
    posts: Vec<Post, { limits::ZONE_POSTS }>,
    /// Posts there would be if there were room.
    needed: usize,
    ring: usize,
}

/// A side, from post to post.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct FenceSide {
    pub(super) from: StagePoint,
    pub(super) to: StagePoint,
    pub(super) bound: Bound,
    /// The side that starts where this one ends.
    pub(super) next: u16,
}

impl Fence {
    pub(super) const fn new() -> Self {
        Self { posts: Vec::new(), needed: 0, ring: 0 }
    }

    pub(super) fn clear(&mut self) {
        self.posts.clear();
        (self.needed, self.ring) = (0, 0);
    }

    /// Adds a post to the open ring.
    pub(super) fn push(&mut self, at: StagePoint, bound: Bound) {
        self.needed += 1;
        let next = self.needed as u16;
        let _ = self.posts.push(Post { at, bound, next });
    }

    /// Closes the open ring. One with fewer than three posts is left out: nobody stands in it.
    pub(super) fn close(&mut self) {
        if self.needed - self.ring < 3 {
            self.posts.truncate(self.ring);
            self.needed = self.ring;
        } else if let Some(last) = self.posts.last_mut() {
            last.next = self.ring as u16;
        }
        self.ring = self.needed;
    }

    /// # Errors
    /// [`ZoneError::FenceFull`] when there was no room for all posts.
    pub(super) fn check(&self) -> Result<(), ZoneError> {
        let (capacity, needed) = (limits::ZONE_POSTS, self.needed);
        if needed > capacity { Err(ZoneError::FenceFull { capacity, needed }) } else { Ok(()) }
    }

    pub(super) fn side(&self, index: u16) -> Option<FenceSide> {
        let post = self.posts.get(usize::from(index))?;
        let to = self.posts.get(usize::from(post.next))?.at;
        Some(FenceSide { from: post.at, to, bound: post.bound, next: post.next })
    }

    /// All sides with their indices.
    pub(super) fn sides(&self) -> impl Iterator<Item = (u16, FenceSide)> + '_ {
        (0..self.posts.len() as u16).filter_map(|i| self.side(i).map(|side| (i, side)))
    }

    /// Distance from `p` to the nearest side, metres, and that side; infinite without sides.
    pub(super) fn nearest(&self, p: StagePoint) -> (f32, u16) {
        let squares = self.sides().map(|(i, side)| {
            let v = p - segment::nearest(p, side.from, side.to);
            (v.dot(v), i)
        });
        let (square, i) = squares.fold((f32::INFINITY, 0), |best, one| if one.0 < best.0 { one } else { best });
        (libm::sqrtf(square), i)
    }

    pub(super) fn distance(&self, p: StagePoint) -> f32 {
        self.nearest(p).0
    }

    /// True when `p` is on the allowed side: as many sides as make an odd number lie between it and anywhere far.
    pub(super) fn encloses(&self, p: StagePoint) -> bool {
        let crosses = |side: &FenceSide| {
            let (a, b) = (side.from - p, side.to - p);
            (a.y > 0.0) != (b.y > 0.0) && (a.cross(b) > 0.0) == (b.y > a.y)
        };
        self.sides().filter(|(_, side)| crosses(side)).count() % 2 == 1
    }

    /// Of every ring that runs clockwise, round something forbidden, the post farthest to stage left.
    pub(super) fn extremes(&self) -> impl Iterator<Item = u16> + '_ {
        let mut first = 0;
        core::iter::from_fn(move || {
            let start = first;
            let mut best = (start, self.side(start)?.from);
            let (mut area, mut at) = (0.0, start);
            loop {
                let side = self.side(at)?;
                area += (side.from - best.1).cross(side.to - best.1);
                at = side.next;
                if at == start {
                    break;
                }
                first = at;
            }
            first += 1;
            for i in start..first {
                let from = self.side(i)?.from;
                best = if from.x > best.1.x { (i, from) } else { best };
            }
            Some((best.0, area < 0.0))
        })
        .filter_map(|(post, clockwise)| clockwise.then_some(post))
    }
}

impl FenceSide {
    /// The way along the side.
    pub(super) fn along(&self) -> StageVector {
        (self.to - self.from).unit().unwrap_or(StageVector::new(1.0, 0.0))
    }

    /// Towards the allowed side.
    pub(super) fn inwards(&self) -> StageVector {
        self.along().perp()
    }

    /// The share of `way` after which a point that starts at `p` first comes nearer to the side than `reach_m`,
    /// 0 when it is and goes on towards it.
    pub(super) fn entry(&self, p: StagePoint, way: StageVector, reach_m: f32) -> Option<f32> {
        let off = p - segment::nearest(p, self.from, self.to);
        let (square, length) = (off.dot(off), way.length());
        if square < reach_m * reach_m {
            return (off.dot(way) < 0.0).then_some(0.0);
        }
        if square > (reach_m + length) * (reach_m + length) {
            return None;
        }
        let ahead = way.unit()?;
        let discs = [self.from, self.to].map(|c| disc_entry(c, p, ahead, reach_m));
        let first =
            discs.into_iter().chain([self.strip_entry(p, ahead, reach_m)]).flatten().fold(f32::INFINITY, f32::min);
        (first <= length).then_some(first / length)
    }

    fn strip_entry(&self, p: StagePoint, ahead: StageVector, reach_m: f32) -> Option<f32> {
        let (along, v) = (self.along(), p - self.from);
        let (off, speed) = (along.cross(v), along.cross(ahead));
        let outside = libm::fabsf(off) - reach_m;
        // Approaching when the sign of the speed is the other one.
        if outside < 0.0 || off * speed >= 0.0 {
            return None;
        }
        let metres = outside / libm::fabsf(speed);
        let place = along.dot(v) + metres * along.dot(ahead);
        (place >= 0.0 && place <= self.from.distance(self.to)).then_some(metres)
    }
}

/// Metres along `ahead` from `p`, outside, to the disc about `centre`.
fn disc_entry(centre: StagePoint, p: StagePoint, ahead: StageVector, radius_m: f32) -> Option<f32> {
    let v = centre - p;
    let (along, off) = (ahead.dot(v), ahead.cross(v));
    let half_square = radius_m * radius_m - off * off;
    if along <= 0.0 || half_square < 0.0 {
        return None;
    }
    Some((along - libm::sqrtf(half_square)).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::props::Limit;

    const BOUND: Bound = Bound::Limit(Limit::OffFloor);

    fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    fn fence(rings: &[&[(f32, f32)]]) -> Fence {
        let mut fence = Fence::new();
        for ring in rings {
            ring.iter().for_each(|&(x, y)| fence.push(p(x, y), BOUND));
            fence.close();
        }
        fence
    }

    #[test]
    fn rings_close_on_themselves_and_clockwise_ones_are_told() {
        let outer: &[_] = &[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)];
        let hole: &[_] = &[(1.0, 1.0), (1.0, 2.0), (2.5, 1.5)];
        let fence = fence(&[outer, &[(9.0, 9.0), (9.0, 9.1)], hole]);
        assert_eq!(fence.sides().count(), 7);
        assert_eq!(fence.side(3).unwrap().to, p(0.0, 0.0));
        assert_eq!(fence.side(6).unwrap().to, p(1.0, 1.0));
        assert_eq!(fence.extremes().collect::<std::vec::Vec<_>>(), [6]);
        assert_eq!(fence.nearest(p(3.5, 1.5)), (0.5, 1));
        let enclosed = [(0.5, 0.5), (1.1, 1.5), (3.5, 1.5), (4.5, 1.5), (-1.0, 2.0), (9.0, 9.05)];
        assert_eq!(enclosed.map(|(x, y)| fence.encloses(p(x, y))), [true, false, true, false, false, false]);
        assert_eq!(fence.check(), Ok(()));
    }

    #[test]
    fn where_a_way_comes_too_near() {
        let side = fence(&[&[(0.0, 0.0), (4.0, 0.0), (9.0, 9.0)]]).side(0).unwrap();
        let entry = |x, y, dx, dy| side.entry(p(x, y), StageVector::new(dx, dy), 0.5);
        assert_eq!(entry(1.0, 1.5, 0.0, -2.0), Some(0.5));
        assert_eq!(entry(1.0, -1.5, 0.0, 2.0), Some(0.5));
        assert_eq!(entry(-2.0, 0.0, 3.0, 0.0), Some(0.5));
        assert_eq!(entry(6.0, 0.3, -2.0, 0.0), Some((2.0 - 0.4) / 2.0));
        assert_eq!(entry(1.0, 0.3, 1.0, 0.0), None);
        assert_eq!(entry(1.0, 0.3, 1.0, -0.1), Some(0.0));
        assert_eq!(entry(1.0, 0.6, 1.0, 0.0), None);
        assert_eq!(entry(5.0, 1.0, 1.0, -1.0), None);
    }
}
