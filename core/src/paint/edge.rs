//! Edge walking: each active chain gives its pieces of the current row, with no division while it goes straight.

use super::Scene;
use super::chain::{Chain, Track};
use super::fine_map::{FineMap, ONE, Vertex};

/// A chain that crosses the current row.
#[derive(Clone, Copy, Debug)]
pub(super) struct Active {
    /// Where it is: x in 32.32, y in 16.16.
    x: i64,
    /// Change of x in one whole row, 32.32.
    step: i64,
    y: i32,
    /// End of its current edge, 16.16.
    end: Vertex,
    shape: u16,
    sign: i8,
    track: Track,
}

impl Active {
    /// A chain that is never read: the filling of fresh memory.
    pub(super) const NONE: Self =
        Self { x: 0, step: 0, y: 0, end: Vertex { x: 0, y: 0 }, shape: 0, sign: 0, track: Track::NONE };

    /// The chain as it enters row `row`; `None` when it ends above.
    pub(super) fn start(chain: &Chain, scene: &Scene<'_>, map: &FineMap, row: i32) -> Option<Self> {
        let track = chain.track(scene, map);
        let end = track.here(scene, map);
        let mut active = Self { x: 0, step: 0, y: 0, end, shape: chain.shape, sign: chain.sign, track };
        let top = row * ONE;
        active.advance(scene, map)?;
        while active.end.y <= top {
            active.advance(scene, map)?;
        }
        active.skip_to(top);
        Some(active)
    }

    /// Moves down to `top` exactly as row-by-row walking would, so that painting from the middle changes nothing.
    fn skip_to(&mut self, top: i32) {
        if self.y >= top {
            return;
        }
        let boundary = (self.y + ONE - 1) & !(ONE - 1);
        if boundary > self.y {
            self.x = self.x_below(boundary);
        }
        self.x += self.step * i64::from((top - boundary) >> 16);
        self.y = top;
    }

    /// x at `y`, which lies less than a row below and not beyond the edge's end; 32.32.
    fn x_below(&self, y: i32) -> i64 {
        let part = y - self.y;
        if self.end.y - self.y >= ONE {
            return self.x + (self.step >> 16) * i64::from(part);
        }
        let width = self.end.x - (self.x >> 16) as i32;
        let ratio = part as f32 / (self.end.y - self.y) as f32;
        self.x + (i64::from((width as f32 * ratio) as i32) << 16)
    }

    /// Takes the next edge that goes down; `None` at the chain's end.
    #[inline]
    fn advance(&mut self, scene: &Scene<'_>, map: &FineMap) -> Option<()> {
        loop {
            let from = self.end;
            self.end = self.track.next(scene, map)?;
            // A vertex may lie above its forerunner by the last bit of f32: then the edge counts as level.
            self.end.y = self.end.y.max(from.y);
            if self.end.y > from.y {
                (self.x, self.y) = (i64::from(from.x) << 16, from.y);
                self.step = slope(self.end.x.wrapping_sub(from.x), self.end.y - from.y);
                return Some(());
            }
        }
    }

    /// The piece of a row that this chain crosses on one straight edge, as x at both borders; `None` when it does not.
    #[inline]
    pub(super) fn cross_row(&mut self, row: i32) -> Option<(i32, i32)> {
        let bottom = row * ONE + ONE;
        if self.y != bottom - ONE || self.end.y <= bottom {
            return None;
        }
        let x = (self.x >> 16) as i32;
        self.x = self.x.wrapping_add(self.step);
        self.y = bottom;
        Some((x, (self.x >> 16) as i32))
    }

    /// Gives all pieces of row `row` to `take` and moves to its lower border; false when the chain has ended.
    pub(super) fn walk_row(
        &mut self,
        scene: &Scene<'_>,
        map: &FineMap,
        row: i32,
        take: &mut impl FnMut(i32, i32, i32, u16),
    ) -> bool {
        let bottom = row * ONE + ONE;
        loop {
            let x = (self.x >> 16) as i32;
            if self.end.y > bottom {
                self.x = if self.y == bottom - ONE { self.x + self.step } else { self.x_below(bottom) };
                let height = bottom - self.y;
                self.y = bottom;
                take(x, (self.x >> 16) as i32, self.signed(height), self.shape);
                return true;
            }
            take(x, self.end.x, self.signed(self.end.y - self.y), self.shape);
            if self.advance(scene, map).is_none() {
                return false;
            }
            if self.y >= bottom {
                return true;
            }
        }
    }

    /// `height` with the sign of the cover to the right.
    #[inline]
    pub(super) fn signed(&self, height: i32) -> i32 {
        if self.sign < 0 { -height } else { height }
    }

    /// Its shape.
    #[inline]
    pub(super) fn shape(&self) -> u16 {
        self.shape
    }
}

/// Change of x per row, 32.32, of an edge `dx` wide and `dy` high (16.16, `dy` > 0).
///
/// Edges of up to 64 rows use one f32 division, whose error grows to less than 1/400 pixel over them;
/// longer ones are worth an integer division.
fn slope(dx: i32, dy: i32) -> i64 {
    if dy < ONE {
        0
    } else if dy <= 64 * ONE {
        i64::from(((dx as f32 / dy as f32) * ONE as f32) as i32) << 16
    } else {
        ((i64::from(dx) << 30) / i64::from(dy)) << 2
    }
}
