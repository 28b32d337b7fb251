//! Chains: stretches of a contour that only go down the canvas.
//!
//! Every contour falls into chains between its local tops and bottoms. A chain knows where it starts
//! and yields its vertices one at a time, so a scene of any resolution needs no list of edges.

use super::Scene;
use super::fine_map::{FineMap, Vertex};
use super::outline::Outline;
use super::scene::Contour;

/// One monotone stretch, from its top downwards.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chain {
    /// Its highest y, 16.16.
    pub(super) top: i32,
    /// Its shape.
    pub(super) shape: u16,
    contour: u16,
    /// Next vertex and how many edges are left after it.
    vertex: u16,
    pub(super) left: u16,
    stride: u16,
    /// +1 along the contour, -1 against it.
    step: i8,
    /// +1 when cover grows to the right of it.
    pub(super) sign: i8,
}

impl Chain {
    /// A chain that is never read: the filling of fresh memory.
    pub(super) const NONE: Self =
        Self { top: 0, shape: 0, contour: 0, vertex: 0, left: 0, stride: 0, step: 1, sign: 1 };

    /// The vertex where the chain stands.
    pub(super) fn here(&self, scene: &Scene<'_>, map: &FineMap) -> Vertex {
        self.outline(scene, map).vertex(usize::from(self.vertex))
    }

    /// Steps to the next vertex down; `None` at the end of the chain.
    pub(super) fn next(&mut self, scene: &Scene<'_>, map: &FineMap) -> Option<Vertex> {
        self.left = self.left.checked_sub(1)?;
        let outline = self.outline(scene, map);
        let n = outline.len() as u16;
        self.vertex = match self.step {
            1 if self.vertex + 1 >= n => 0,
            1 => self.vertex + 1,
            _ if self.vertex == 0 => n.saturating_sub(1),
            _ => self.vertex - 1,
        };
        Some(outline.vertex(usize::from(self.vertex)))
    }

    fn outline<'s>(&self, scene: &'s Scene<'_>, map: &FineMap) -> Outline<'s> {
        let contour = scene.contour_at(self.contour);
        Outline::new(*map, &contour, scene.points_of(&contour), self.stride)
    }
}

/// Where chains go while they are made.
pub(super) struct ChainList<'w> {
    pub(super) slots: &'w mut [Chain],
    pub(super) used: usize,
}

/// There are more chains than room for them.
pub(super) struct ChainsFull;

impl ChainList<'_> {
    fn push(&mut self, chain: Chain) -> Result<(), ChainsFull> {
        *self.slots.get_mut(self.used).ok_or(ChainsFull)? = chain;
        self.used += 1;
        Ok(())
    }

    /// Cuts every contour of the scene into chains that reach rows `first..last` (16.16), sorted by their tops.
    ///
    /// `mirror` is -1 for a map under which counter-clockwise on the stage is clockwise on the picture.
    pub(super) fn fill(
        &mut self,
        scene: &Scene<'_>,
        map: &FineMap,
        mirror: i8,
        (first, last): (i32, i32),
    ) -> Result<(), ChainsFull> {
        self.used = 0;
        for (shape_index, shape) in scene.shapes().iter().enumerate() {
            for (i, contour) in scene.contours_of(shape).iter().enumerate() {
                let stride = Outline::stride_for(map, contour);
                let outline = Outline::new(*map, contour, scene.points_of(contour), stride);
                let seed = Chain {
                    shape: shape_index as u16,
                    contour: shape.first + i as u16,
                    stride,
                    sign: mirror,
                    ..Chain::NONE
                };
                match contour {
                    Contour::Ellipse { .. } => self.ellipse(&outline, seed, (first, last))?,
                    Contour::Polygon { .. } => self.polygon(&outline, seed, (first, last))?,
                }
            }
        }
        if let Some(used) = self.slots.get_mut(..self.used) {
            // Ties must fall the same way everywhere, so the order is total.
            used.sort_unstable_by_key(|c| (c.top, c.shape, c.contour, c.vertex, c.sign));
        }
        Ok(())
    }

    fn ellipse(&mut self, outline: &Outline<'_>, seed: Chain, (first, last): (i32, i32)) -> Result<(), ChainsFull> {
        let Some((top, bottom)) = outline.poles() else { return Ok(()) };
        let (top_y, bottom_y) = (outline.vertex(top).y, outline.vertex(bottom).y);
        if bottom_y <= first || top_y >= last {
            return Ok(());
        }
        let n = outline.len();
        let ahead = (bottom + n - top) % n;
        let start = Chain { top: top_y, vertex: top as u16, ..seed };
        self.push(Chain { left: ahead as u16, step: 1, ..start })?;
        self.push(Chain { left: (n - ahead) as u16, step: -1, sign: -seed.sign, ..start })
    }

    fn polygon(&mut self, outline: &Outline<'_>, seed: Chain, rows: (i32, i32)) -> Result<(), ChainsFull> {
        let n = outline.len();
        let slope = |i: usize| (outline.vertex(i + 1).y - outline.vertex(i).y).signum();
        // Start at a turn, so that the stretch that wraps round is cut in the right place.
        let mut way = 0;
        let start = (0..2 * n).find(|&i| {
            let s = slope(i);
            let turned = s != 0 && way != 0 && s != way;
            if s != 0 {
                way = s;
            }
            turned
        });
        let Some(start) = start else { return Ok(()) };
        let (mut from, mut way) = (start, slope(start));
        for i in start + 1..=start + n {
            let s = slope(i);
            if (s != 0 && s != way) || i == start + n {
                self.stretch(outline, seed, (from, i), way, rows)?;
                (from, way) = (i, s);
            }
        }
        Ok(())
    }

    /// Adds the stretch from vertex `from` to vertex `to`, which goes down when `way` is positive.
    fn stretch(
        &mut self,
        outline: &Outline<'_>,
        seed: Chain,
        (from, to): (usize, usize),
        way: i32,
        (first, last): (i32, i32),
    ) -> Result<(), ChainsFull> {
        let n = outline.len();
        let (a, b) = if way > 0 { (from, to) } else { (to, from) };
        let (top, bottom) = (outline.vertex(a).y, outline.vertex(b).y);
        if bottom <= first || top >= last {
            return Ok(());
        }
        let way = way.signum() as i8;
        self.push(Chain {
            top,
            vertex: (a % n) as u16,
            left: (to - from) as u16,
            step: way,
            sign: seed.sign * way,
            ..seed
        })
    }
}
