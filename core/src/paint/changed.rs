//! Which rows must be painted again when a scene changes.

use core::ops::Range;

use heapless::Vec;

use super::Scene;
use super::fine_map::{FineMap, ONE};
use super::scene::{Contour, Shape};
use crate::floor::Block;
/// Most ranges that are told apart; closer ones are joined when there are more.
pub const RANGES: usize = 16;

/// Rows of one block as ascending, disjoint ranges.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RowSet {
    ranges: Vec<Range<u16>, RANGES>,
}

impl RowSet {
    /// The ranges, top to bottom.
    pub fn ranges(&self) -> &[Range<u16>] {
        &self.ranges
    }

    /// Number of rows.
    pub fn rows(&self) -> usize {
        self.ranges.iter().map(ExactSizeIterator::len).sum()
    }

    /// Adds rows; joins the two nearest ranges when there are too many.
    pub fn add(&mut self, rows: Range<u16>) {
        if rows.is_empty() {
            return;
        }
        let mut joined = rows;
        let mut kept: Vec<Range<u16>, RANGES> = Vec::new();
        for range in &self.ranges {
            if range.end < joined.start || joined.end < range.start {
                // As many as were there before fit again.
                let _ = kept.push(range.clone());
            } else {
                joined = joined.start.min(range.start)..joined.end.max(range.end);
            }
        }
        if let Err(joined) = kept.push(joined) {
            join_nearest(&mut kept);
            let _ = kept.push(joined);
        }
        kept.sort_unstable_by_key(|r| r.start);
        self.ranges = kept;
    }
}

fn join_nearest(ranges: &mut Vec<Range<u16>, RANGES>) {
    ranges.sort_unstable_by_key(|r| r.start);
    let gaps = ranges.iter().zip(ranges.iter().skip(1)).map(|(a, b)| b.start - a.end);
    let Some((i, _)) = gaps.enumerate().min_by_key(|&(_, gap)| gap) else { return };
    let next = ranges.remove(i + 1);
    if let Some(range) = ranges.get_mut(i) {
        range.end = next.end;
    }
}

/// Rows of `block` in which `after` may differ from `before`.
///
/// Shapes that both scenes begin or end with alike are left alone; in between, shapes are compared
/// one by one when there are as many, and all count as changed otherwise.
pub fn changed_rows(before: &Scene<'_>, after: &Scene<'_>, block: &Block) -> RowSet {
    let mut rows = RowSet::default();
    let Some(map) = FineMap::new(block) else { return rows };
    let (old, new) = (before.shapes(), after.shapes());
    let same = |(a, b): &(&Shape, &Shape)| equal(before, a, after, b);
    let head = old.iter().zip(new).take_while(same).count();
    let shorter = old.len().min(new.len()) - head;
    let tail = old.iter().rev().zip(new.iter().rev()).take(shorter).take_while(same).count();
    let middle_old = old.get(head..old.len() - tail).unwrap_or(&[]);
    let middle_new = new.get(head..new.len() - tail).unwrap_or(&[]);
    let paired = middle_old.len() == middle_new.len();
    for (i, shape) in middle_old.iter().enumerate() {
        let kept = paired && middle_new.get(i).is_some_and(|other| same(&(shape, other)));
        if !kept {
            add_shape(&mut rows, before, shape, &map, block);
            if let Some(other) = middle_new.get(i).filter(|_| paired) {
                add_shape(&mut rows, after, other, &map, block);
            }
        }
    }
    if !paired {
        middle_new.iter().for_each(|shape| add_shape(&mut rows, after, shape, &map, block));
    }
    rows
}

fn equal(before: &Scene<'_>, a: &Shape, after: &Scene<'_>, b: &Shape) -> bool {
    let (ca, cb) = (before.contours_of(a), after.contours_of(b));
    a.ink == b.ink
        && ca.len() == cb.len()
        && ca.iter().zip(cb).all(|(p, q)| match (p, q) {
            (Contour::Polygon { .. }, Contour::Polygon { .. }) => before.points_of(p) == after.points_of(q),
            _ => p == q,
        })
}

/// Adds the rows that a shape reaches, one to spare on each side for rounding.
fn add_shape(rows: &mut RowSet, scene: &Scene<'_>, shape: &Shape, map: &FineMap, block: &Block) {
    let row = |p| map.vertex(map.seen_from_anchor(p)).y as f32 / ONE as f32;
    let (mut low, mut high) = (f32::INFINITY, f32::NEG_INFINITY);
    for contour in scene.contours_of(shape) {
        let mut reach = |y: f32, by: f32| {
            low = low.min(y - by);
            high = high.max(y + by);
        };
        if let Contour::Ellipse { centre, u, v } = *contour {
            let (a, b) = (map.vector(u).1, map.vector(v).1);
            reach(row(centre), libm::sqrtf(a * a + b * b));
        }
        scene.points_of(contour).iter().for_each(|&p| reach(row(p), 0.0));
    }
    let (top, bottom) = (f32::from(block.y_px), block.bottom_px() as f32);
    if low < high && high > top - 1.0 && low < bottom + 1.0 {
        let start = (low - 1.0).clamp(top, bottom) as u16;
        let end = libm::ceilf((high + 1.0).clamp(top, bottom)) as u16;
        rows.add(start..end);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_join_when_they_touch_and_stay_bounded() {
        let mut rows = RowSet::default();
        rows.add(10..20);
        rows.add(30..40);
        rows.add(20..25);
        assert_eq!(rows.ranges(), [10..25, 30..40]);
        rows.add(0..0);
        rows.add(24..31);
        assert_eq!(rows.ranges().first(), Some(&(10..40)));
        assert_eq!(rows.rows(), 30);
        for i in 0..40_u16 {
            rows.add(100 * i..100 * i + 5 + i % 3);
        }
        assert!(rows.ranges().len() <= RANGES);
        for i in 0..40_u16 {
            assert!(rows.ranges().iter().any(|r| r.start <= 100 * i && 100 * i + 5 + i % 3 <= r.end), "{i}");
        }
    }
}
