//! Edge walking: each active chain gives its pieces of the current row, with no division while it goes straight.

use super::Scene;
use super::chain::Chain;
use super::fine_map::{FineMap, ONE, Vertex};

/// A chain that crosses the current row.
#[derive(Clone, Copy, Debug)]
pub(super) struct Active {
    /// Where it is: x in 32.32, y in 16.16.
    x: i64,
    y: i32,
    /// Change of x in one whole row, 32.32.
    step: i64,
    /// End of its current edge, 16.16.
    end: Vertex,
    chain: Chain,
}

/// The piece of an edge inside one row.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    /// First and last pixel that it touches.
    pub(super) first_px: i32,
    pub(super) last_px: i32,
    /// Left and right end, 16.16.
    pub(super) left: i32,
    pub(super) right: i32,
    /// Height inside the row, 16.16, signed: positive when cover grows to the right.
    pub(super) height: i32,
    pub(super) shape: u16,
}

impl Piece {
    /// A piece that is never read: the filling of fresh memory.
    pub(super) const NONE: Self = Self { first_px: 0, last_px: 0, left: 0, right: 0, height: 0, shape: 0 };
}

impl Active {
    /// A chain that is never read: the filling of fresh memory.
    pub(super) const NONE: Self = Self { x: 0, y: 0, step: 0, end: Vertex { x: 0, y: 0 }, chain: Chain::NONE };

    /// Whole-pixel x, for keeping active chains in order.
    pub(super) fn order(&self) -> i64 {
        self.x
    }

    /// The chain as it enters row `row`; `None` when it ends above.
    pub(super) fn start(chain: Chain, scene: &Scene<'_>, map: &FineMap, row: i32) -> Option<Self> {
        let here = chain.here(scene, map);
        let mut active = Self { x: i64::from(here.x) << 16, y: here.y, step: 0, end: here, chain };
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
    fn advance(&mut self, scene: &Scene<'_>, map: &FineMap) -> Option<()> {
        loop {
            let from = self.end;
            self.end = self.chain.next(scene, map)?;
            // A vertex may lie above its forerunner by the last bit of f32: then the edge counts as level.
            self.end.y = self.end.y.max(from.y);
            if self.end.y > from.y {
                (self.x, self.y) = (i64::from(from.x) << 16, from.y);
                self.step = slope(i64::from(self.end.x) - i64::from(from.x), self.end.y - from.y);
                return Some(());
            }
        }
    }

    /// Gives the pieces of row `row` to `take` and moves to its lower border; false when the chain has ended.
    pub(super) fn walk_row(
        &mut self,
        scene: &Scene<'_>,
        map: &FineMap,
        row: i32,
        take: &mut impl FnMut(i32, i32, i32, u16),
    ) -> bool {
        let top = row * ONE;
        let bottom = top + ONE;
        let (sign, shape) = (i32::from(self.chain.sign), self.chain.shape);
        loop {
            let x = (self.x >> 16) as i32;
            if self.end.y > bottom {
                self.x = if self.y == top { self.x + self.step } else { self.x_below(bottom) };
                let height = bottom - self.y;
                self.y = bottom;
                take(x, (self.x >> 16) as i32, sign * height, shape);
                return true;
            }
            take(x, self.end.x, sign * (self.end.y - self.y), shape);
            if self.advance(scene, map).is_none() {
                return false;
            }
            if self.y >= bottom {
                return true;
            }
        }
    }
}

/// Change of x per row, 32.32, of an edge `dx` wide and `dy` high (16.16, `dy` > 0).
///
/// Edges of up to 64 rows use one f32 division, whose error grows to less than 1/400 pixel over them;
/// longer ones are worth an integer division.
fn slope(dx: i64, dy: i32) -> i64 {
    if dy < ONE {
        0
    } else if dy <= 64 * ONE {
        i64::from(((dx as f32 / dy as f32) * ONE as f32) as i32) << 16
    } else {
        ((dx << 30) / i64::from(dy)) << 2
    }
}
