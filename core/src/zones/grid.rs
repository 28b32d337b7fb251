//! A square grid over the floor, one bit a node.

use super::ZoneError;
use crate::geom::StagePoint;
use crate::limits;

/// Least distance between two nodes, metres: far finer than a body is wide, so that nothing that a camera or a
/// body does to the floor falls between nodes.
pub(super) const CELL_M: f32 = 0.1;
/// Where the first node lies beyond the floor's lowest corner, in cells: off the round numbers on which people
/// place edges and marks.
const OVERHANG: f32 = 0.63;
/// Words of one row of bits.
const WORDS: usize = limits::ZONE_SIDE.div_ceil(32);

/// A node of the grid, column and row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Node {
    pub(super) x: i16,
    pub(super) y: i16,
}

impl Node {
    pub(super) const fn new(x: i16, y: i16) -> Self {
        Self { x, y }
    }
}

/// Where the nodes are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    origin: StagePoint,
    pub(super) cell_m: f32,
    pub(super) columns: i16,
    pub(super) rows: i16,
}

impl Grid {
    /// A grid whose outermost nodes lie outside the box round `points`.
    pub(super) fn over(points: &[StagePoint]) -> Result<Self, ZoneError> {
        let first = *points.first().ok_or(ZoneError::BadFloor)?;
        let (low, high) = points.iter().fold((first, first), |(low, high), p| {
            let low = StagePoint::new(low.x.min(p.x), low.y.min(p.y));
            (low, StagePoint::new(high.x.max(p.x), high.y.max(p.y)))
        });
        let size = high - low;
        if !(low.is_finite() && high.is_finite() && size.x > 0.0 && size.y > 0.0) {
            return Err(ZoneError::BadFloor);
        }
        // One node before the box, one after it, and one more for the overhang.
        let most = limits::ZONE_SIDE as f32 - 3.0;
        let cell_m = (size.x.max(size.y) / most).max(CELL_M);
        let nodes = |m: f32| libm::ceilf(m / cell_m) as i16 + 3;
        let origin = StagePoint::new(low.x - cell_m * OVERHANG, low.y - cell_m * OVERHANG);
        Ok(Self { origin, cell_m, columns: nodes(size.x), rows: nodes(size.y) })
    }

    /// The place of a node.
    pub(super) fn at(&self, node: Node) -> StagePoint {
        let along = |start: f32, i: i16| start + f32::from(i) * self.cell_m;
        StagePoint::new(along(self.origin.x, node.x), along(self.origin.y, node.y))
    }

    /// All nodes but those on the rim, which lie off the floor.
    pub(super) fn inner(&self) -> impl Iterator<Item = Node> + use<> {
        let (columns, rows) = (self.columns, self.rows);
        (1..rows - 1).flat_map(move |y| (1..columns - 1).map(move |x| Node { x, y }))
    }

    /// The same, the last first.
    pub(super) fn inner_backwards(&self) -> impl Iterator<Item = Node> + use<> {
        let (columns, rows) = (self.columns, self.rows);
        (1..rows - 1).rev().flat_map(move |y| (1..columns - 1).rev().map(move |x| Node { x, y }))
    }

    /// False on the rim.
    pub(super) fn is_inner(&self, node: Node) -> bool {
        (1..self.columns - 1).contains(&node.x) && (1..self.rows - 1).contains(&node.y)
    }

    /// The nodes in the box of half-width `reach_m` round the segment from `a` to `b`.
    pub(super) fn round(&self, a: StagePoint, b: StagePoint, reach_m: f32) -> impl Iterator<Item = Node> + use<> {
        let span = |start: f32, a: f32, b: f32, count: i16| {
            let low = libm::floorf((a.min(b) - reach_m - start) / self.cell_m);
            let high = libm::ceilf((a.max(b) + reach_m - start) / self.cell_m);
            (low.max(0.0) as i16)..=(high.min(f32::from(count - 1)) as i16)
        };
        let (xs, ys) = (span(self.origin.x, a.x, b.x, self.columns), span(self.origin.y, a.y, b.y, self.rows));
        ys.flat_map(move |y| xs.clone().map(move |x| Node { x, y }))
    }
}

/// One bit for each node; nodes off the grid are 0.
#[derive(Clone, Debug)]
pub(super) struct Bits {
    rows: [[u32; WORDS]; limits::ZONE_SIDE],
}

impl Bits {
    pub(super) const fn new() -> Self {
        Self { rows: [[0; WORDS]; limits::ZONE_SIDE] }
    }

    pub(super) fn clear(&mut self) {
        *self = Self::new();
    }

    pub(super) fn get(&self, node: Node) -> bool {
        let (Ok(x), Ok(y)) = (usize::try_from(node.x), usize::try_from(node.y)) else { return false };
        self.rows.get(y).and_then(|row| row.get(x / 32)).is_some_and(|word| word >> (x % 32) & 1 != 0)
    }

    pub(super) fn set(&mut self, node: Node, value: bool) {
        let (Ok(x), Ok(y)) = (usize::try_from(node.x), usize::try_from(node.y)) else { return };
        if let Some(word) = self.rows.get_mut(y).and_then(|row| row.get_mut(x / 32)) {
            let bit = 1 << (x % 32);
            *word = if value { *word | bit } else { *word & !bit };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rim_lies_outside_and_the_grid_fits() {
        for (width, depth) in [(3.0, 3.0), (30.0, 20.0), (0.2, 12.4), (12.7, 12.7), (199.0, 3.0)] {
            let corners = [StagePoint::new(-1.0, 2.0), StagePoint::new(-1.0 + width, 2.0 + depth)];
            let grid = Grid::over(&corners).unwrap();
            assert!(usize::try_from(grid.columns.max(grid.rows)).unwrap() <= limits::ZONE_SIDE, "{grid:?}");
            let (first, last) = (grid.at(Node::new(0, 0)), grid.at(Node::new(grid.columns - 1, grid.rows - 1)));
            assert!(first.x < corners[0].x && first.y < corners[0].y);
            assert!(last.x > corners[1].x && last.y > corners[1].y, "{last:?} {grid:?}");
        }
        assert_eq!(Grid::over(&[]), Err(ZoneError::BadFloor));
        assert_eq!(Grid::over(&[StagePoint::new(0.0, f32::NAN); 3]), Err(ZoneError::BadFloor));
    }

    #[test]
    fn a_bit_is_its_own() {
        let mut bits = Bits::new();
        bits.set(Node::new(256, 256), true);
        bits.set(Node::new(31, 4), true);
        bits.set(Node::new(-1, 4), true);
        bits.set(Node::new(300, 4), true);
        assert!(bits.get(Node::new(256, 256)) && bits.get(Node::new(31, 4)));
        assert!(!bits.get(Node::new(32, 4)) && !bits.get(Node::new(30, 4)) && !bits.get(Node::new(300, 4)));
        bits.set(Node::new(31, 4), false);
        assert!(!bits.get(Node::new(31, 4)));
    }
}
