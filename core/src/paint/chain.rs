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
    pub(super) shape: u16,
    contour: u16,
    /// Its first vertex and number of edges.
    vertex: u16,
    edges: u16,
    /// True when it runs along the contour, false when against it.
    forward: bool,
    /// +1 when cover grows to the right of it, -1 when it shrinks.
    pub(super) sign: i8,
}

impl Chain {
    /// A chain that is never read: the filling of fresh memory.
    pub(super) const NONE: Self = Self { top: 0, shape: 0, contour: 0, vertex: 0, edges: 0, forward: false, sign: 0 };

    /// The chain's vertices from its top downwards.
    pub(super) fn track(&self, scene: &Scene<'_>, map: &FineMap) -> Track {
        let outline = Outline::new(&scene.contour_at(self.contour), map);
        Track { outline, count: outline.len(), vertex: self.vertex, left: self.edges, forward: self.forward }
    }
}

/// A walk along a chain's vertices.
#[derive(Clone, Copy, Debug)]
pub(super) struct Track {
    outline: Outline,
    count: u16,
    vertex: u16,
    left: u16,
    forward: bool,
}

impl Track {
    /// A track that is never walked: the filling of fresh memory.
    pub(super) const NONE: Self =
        Self { outline: Outline::Polygon { first: 0, len: 0 }, count: 0, vertex: 0, left: 0, forward: false };

    /// The vertex where it stands.
    pub(super) fn here(&self, scene: &Scene<'_>, map: &FineMap) -> Vertex {
        self.outline.vertex(self.vertex, scene, map)
    }

    /// Steps to the next vertex down; `None` at the end of the chain.
    #[inline]
    pub(super) fn next(&mut self, scene: &Scene<'_>, map: &FineMap) -> Option<Vertex> {
        self.left = self.left.checked_sub(1)?;
        self.vertex = if self.forward {
            if self.vertex + 1 < self.count { self.vertex + 1 } else { 0 }
        } else if self.vertex > 0 {
            self.vertex - 1
        } else {
            self.count - 1
        };
        Some(self.here(scene, map))
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
        rows: (i32, i32),
    ) -> Result<(), ChainsFull> {
        self.used = 0;
        for (shape_index, shape) in scene.shapes().iter().enumerate() {
            for (i, contour) in scene.contours_of(shape).iter().enumerate() {
                let outline = Outline::new(contour, map);
                let seed =
                    Chain { shape: shape_index as u16, contour: shape.first + i as u16, sign: mirror, ..Chain::NONE };
                match contour {
                    Contour::Ellipse { .. } => self.ellipse(&outline, seed, rows, scene, map)?,
                    Contour::Polygon { .. } => self.polygon(&outline, seed, rows, scene, map)?,
                }
            }
        }
        if let Some(used) = self.slots.get_mut(..self.used) {
            // Ties must fall the same way everywhere, so the order is total.
            used.sort_unstable_by_key(|c| (c.top, c.contour, c.vertex, c.sign));
        }
        Ok(())
    }

    fn ellipse(
        &mut self,
        outline: &Outline,
        seed: Chain,
        (first, last): (i32, i32),
        scene: &Scene<'_>,
        map: &FineMap,
    ) -> Result<(), ChainsFull> {
        let Some((top, bottom)) = outline.poles(map) else { return Ok(()) };
        let (top_y, bottom_y) = (outline.vertex(top, scene, map).y, outline.vertex(bottom, scene, map).y);
        if bottom_y <= first || top_y >= last {
            return Ok(());
        }
        let n = outline.len();
        let ahead = (bottom + n - top) % n;
        let start = Chain { top: top_y, vertex: top, ..seed };
        self.push(Chain { edges: ahead, forward: true, ..start })?;
        self.push(Chain { edges: n - ahead, forward: false, sign: -seed.sign, ..start })
    }

    fn polygon(
        &mut self,
        outline: &Outline,
        seed: Chain,
        rows: (i32, i32),
        scene: &Scene<'_>,
        map: &FineMap,
    ) -> Result<(), ChainsFull> {
        let n = outline.len();
        let height = |i: u16| outline.vertex(i, scene, map).y;
        // From its highest vertex a contour first goes down, so no stretch wraps round the start.
        let Some(start) = (0..n).min_by_key(|&i| height(i)) else { return Ok(()) };
        let first = (start, height(start));
        let (mut from, mut here, mut down, mut edges) = (first, first, true, 0);
        for k in 1..=n {
            let i = if start + k < n { start + k } else { start + k - n };
            let next = if k == n { first } else { (i, height(i)) };
            let turned = if down { next.1 < here.1 } else { next.1 > here.1 };
            if turned {
                self.stretch(seed, (from, here), edges, down, rows)?;
                (from, down, edges) = (here, !down, 0);
            }
            edges += 1;
            here = next;
        }
        self.stretch(seed, (from, here), edges, down, rows)
    }

    /// Adds the stretch of `edges` between two vertices, given as index and y in the order of the contour.
    fn stretch(
        &mut self,
        seed: Chain,
        (from, to): ((u16, i32), (u16, i32)),
        edges: u16,
        forward: bool,
        (first, last): (i32, i32),
    ) -> Result<(), ChainsFull> {
        let (top, bottom, sign) = if forward { (from, to, seed.sign) } else { (to, from, -seed.sign) };
        if bottom.1 <= first || top.1 >= last || top.1 == bottom.1 {
            return Ok(());
        }
        self.push(Chain { top: top.1, vertex: top.0, edges, forward, sign, ..seed })
    }
}
