//! Stage to canvas, in 16.16 pixels, measured from the block's own middle.
//!
//! A stage place far from the origin and a pixel far from the canvas's corner use up the digits of an
//! `f32`: at 400 m one step is 0.03 mm, a hundredth of a fine pixel. Differences to a place on the block
//! are exact instead, so the map is anchored in the block's middle. The anchor is found once a block in
//! `f64`: plain sums and products, the same on every platform.

use crate::floor::Block;
use crate::geom::{StagePoint, StageVector};

/// One pixel in fixed point.
pub(super) const ONE: i32 = 1 << 16;
/// Points farther than this many pixels from the anchor are pulled in to it.
const REACH_PX: f32 = 32_000.0;

/// A canvas point in 16.16 fixed point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Vertex {
    pub(super) x: i32,
    pub(super) y: i32,
}

/// The map of one block.
#[derive(Clone, Copy, Debug)]
pub(super) struct FineMap {
    /// A stage place in the middle of the block, and where on the canvas it is.
    anchor: StagePoint,
    at: Vertex,
    x: StageVector,
    y: StageVector,
}

impl FineMap {
    /// The map of `block`, or `None` when it folds the floor flat.
    pub(super) fn new(block: &Block) -> Option<Self> {
        block.to_canvas()?;
        let map = &block.map;
        let wide = |v: StageVector| (f64::from(v.x), f64::from(v.y));
        let ((ax, ay), (bx, by)) = (wide(map.per_px_x), wide(map.per_px_y));
        let k = 1.0 / (ax * by - ay * bx);
        let middle_x = f64::from(block.x_px) + f64::from(block.width_px) * 0.5;
        let middle_y = f64::from(block.y_px) + f64::from(block.height_px) * 0.5;
        let exact_x = f64::from(map.origin.x) + ax * middle_x + bx * middle_y;
        let exact_y = f64::from(map.origin.y) + ay * middle_x + by * middle_y;
        let anchor = StagePoint::new(exact_x as f32, exact_y as f32);
        let (off_x, off_y) = (f64::from(anchor.x) - exact_x, f64::from(anchor.y) - exact_y);
        let fixed = |px: f64| (px * f64::from(ONE) + 0.5) as i32;
        let at = Vertex {
            x: fixed(middle_x + k * (by * off_x - bx * off_y)),
            y: fixed(middle_y + k * (ax * off_y - ay * off_x)),
        };
        Some(Self {
            anchor,
            at,
            x: StageVector::new((by * k) as f32, (-bx * k) as f32),
            y: StageVector::new((-ay * k) as f32, (ax * k) as f32),
        })
    }

    /// Canvas displacement (right, down) of a stage displacement, in pixels.
    pub(super) fn vector(&self, v: StageVector) -> (f32, f32) {
        (self.x.dot(v), self.y.dot(v))
    }

    /// Displacement of a stage point from the anchor on the canvas, in pixels.
    pub(super) fn seen_from_anchor(&self, p: StagePoint) -> (f32, f32) {
        self.vector(p - self.anchor)
    }

    /// The canvas point at a displacement from the anchor, in pixels.
    pub(super) fn vertex(&self, (x, y): (f32, f32)) -> Vertex {
        Vertex { x: self.at.x.saturating_add(fixed(x)), y: self.at.y.saturating_add(fixed(y)) }
    }
}

/// Rounds a displacement in pixels to 16.16; what is no number becomes the farthest.
fn fixed(px: f32) -> i32 {
    let held = if px > REACH_PX {
        REACH_PX
    } else if px > -REACH_PX {
        px
    } else {
        -REACH_PX
    };
    let half = if held < 0.0 { -0.5 } else { 0.5 };
    (held * ONE as f32 + half) as i32
}
