//! How a lens bends a picture, the way back, and how far bent sides reach.

use super::frame::{Frame, Rect};
use super::lens::LensError;
use crate::show::cameras::Distortion;

/// Newton steps of one point; four do for a lens that a broadcast camera has.
const NEWTON_STEPS: u8 = 12;
/// A point is found when its distorted place is this near, in tangents.
const FOUND: f32 = 2.0e-6;
/// Least area of a piece of picture relative to the piece of scene in it; at 0 the lens folds the scene over.
const LEAST_AREA: f32 = 0.02;
/// Steps from the middle of the frame to a corner or the middle of a side.
const SPOKE_STEPS: u8 = 8;
/// Steps along one side.
const SIDE_STEPS: u8 = 16;
/// Pieces of a step, between which the lens must not fold over either.
const PIECES: u8 = 4;

/// A place in the picture and how it changes with the direction; y down.
pub(super) struct Bend {
    pub(super) x: f32,
    pub(super) y: f32,
    /// dx/du, dx/dv (which is dy/du), dy/dv.
    slope: (f32, f32, f32),
}

impl Bend {
    /// Area of a piece of picture relative to the piece of scene in it; `None` where the lens folds over or nearly
    /// does. One slope and the area are positive: not folded, neither once nor twice.
    fn area(&self) -> Option<f32> {
        let (xx, xy, yy) = self.slope;
        let area = xx * yy - xy * xy;
        (area > LEAST_AREA && xx > 0.0).then_some(area)
    }
}

/// Brown–Conrady with its derivatives; the cross derivatives are equal because tangential distortion is a gradient.
pub(super) fn bend(&[k1, k2, p1, p2, k3]: &Distortion, u: f32, v: f32) -> Bend {
    let r2 = u * u + v * v;
    let radial = 1.0 + r2 * (k1 + r2 * (k2 + r2 * k3));
    let steep = 2.0 * (k1 + r2 * (2.0 * k2 + r2 * (3.0 * k3)));
    let xx = radial + u * u * steep + 2.0 * p1 * v + 6.0 * p2 * u;
    let xy = u * v * steep + 2.0 * p1 * u + 2.0 * p2 * v;
    let yy = radial + v * v * steep + 6.0 * p1 * v + 2.0 * p2 * u;
    Bend {
        x: u * radial + 2.0 * p1 * u * v + p2 * (r2 + 2.0 * u * u),
        y: v * radial + p1 * (r2 + 2.0 * v * v) + 2.0 * p2 * u * v,
        slope: (xx, xy, yy),
    }
}

/// The direction, y down, that is seen at `place`, searched from `start` on.
fn solve(distortion: &Distortion, place: (f32, f32), start: (f32, f32)) -> Result<(f32, f32), LensError> {
    let (mut u, mut v) = start;
    for _ in 0..NEWTON_STEPS {
        let bent = bend(distortion, u, v);
        let (xx, xy, yy) = bent.slope;
        let area = bent.area().ok_or(LensError::FoldsOver)?;
        let (dx, dy) = (place.0 - bent.x, place.1 - bent.y);
        let scale = 1.0 + libm::fabsf(place.0) + libm::fabsf(place.1);
        let near = libm::fabsf(dx) + libm::fabsf(dy) <= FOUND * scale;
        u += (yy * dx - xy * dy) / area;
        v += (xx * dy - xy * dx) / area;
        if near {
            return Ok((u, v));
        }
    }
    Err(LensError::FoldsOver)
}

/// The direction seen at `place`, found step by step from the middle of the lens; y up.
pub(super) fn reached(distortion: &Distortion, place: (f32, f32)) -> Result<(f32, f32), LensError> {
    let mut found = (0.0, 0.0);
    for step in 1..=SPOKE_STEPS {
        let share = f32::from(step) / f32::from(SPOKE_STEPS);
        found = near(distortion, (place.0 * share, place.1 * share), found)?;
    }
    Ok(found)
}

/// The direction seen at `place`, searched from the direction `start` on; y up.
///
/// Newton's step may leap over a fold to where the lens has unfolded again, so the way there is looked at too.
fn near(distortion: &Distortion, place: (f32, f32), start: (f32, f32)) -> Result<(f32, f32), LensError> {
    let (u, v) = solve(distortion, (place.0, -place.1), (start.0, -start.1))?;
    let found = (u, -v);
    for piece in 1..PIECES {
        let share = f32::from(piece) / f32::from(PIECES);
        let (x, y) = (start.0 + (found.0 - start.0) * share, start.1 + (found.1 - start.1) * share);
        bend(distortion, x, -y).area().ok_or(LensError::FoldsOver)?;
    }
    Ok(found)
}

/// A rectangle of the picture behind a lens that bends; y up, as everywhere outside [`bend`] and [`solve`].
pub(super) struct Bent {
    pub(super) distortion: Distortion,
    pub(super) part: Rect,
}

/// Innermost and outermost of a bent side, measured outward.
#[derive(Clone, Copy)]
struct Extent {
    least: f32,
    most: f32,
}

impl Bent {
    /// Its inner and outer frame.
    pub(super) fn frame(&self) -> Result<Frame, LensError> {
        let Rect { left, right, bottom, top } = self.part;
        let (low_left, low_right, up_left, up_right) = ((left, bottom), (right, bottom), (left, top), (right, top));
        let (middle_x, middle_y) = ((left + right) / 2.0, (bottom + top) / 2.0);
        for place in [(middle_x, bottom), (right, middle_y), (middle_x, top), (left, middle_y)] {
            reached(&self.distortion, place)?;
        }
        let right = self.side(low_right, up_right, |(x, _)| x)?;
        let left = self.side(up_left, low_left, |(x, _)| -x)?;
        let top = self.side(up_right, up_left, |(_, y)| y)?;
        let bottom = self.side(low_left, low_right, |(_, y)| -y)?;
        let of = |pick: fn(&Extent) -> f32| Rect {
            left: -pick(&left),
            right: pick(&right),
            bottom: -pick(&bottom),
            top: pick(&top),
        };
        Ok(Frame { inner: of(|e| e.least), outer: of(|e| e.most) })
    }

    /// Extent of the side from `a` to `b`, with `outward` giving how far out a direction is.
    ///
    /// Both ends of the side and samples of it, and round the extreme ones the vertex of the parabola through
    /// three neighbours, looked up on the side itself.
    fn side(&self, a: (f32, f32), b: (f32, f32), outward: fn((f32, f32)) -> f32) -> Result<Extent, LensError> {
        let at = |t: f32| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
        let mut last = reached(&self.distortion, a)?;
        let first = outward(last);
        let mut extent = Extent { least: first, most: first };
        let (mut before, mut here) = (f32::NAN, first);
        for step in 1..=SIDE_STEPS {
            let found = near(&self.distortion, at(f32::from(step) / f32::from(SIDE_STEPS)), last)?;
            let next = outward(found);
            let mut values = [next, next];
            // A turning point beside this sample; NaN, which stands for no neighbour, is never one.
            let shift = 0.5 * (before - next) / (before - 2.0 * here + next);
            if libm::fabsf(shift) <= 1.0 {
                let t = (f32::from(step) - 1.0 + shift) / f32::from(SIDE_STEPS);
                values = [outward(near(&self.distortion, at(t), last)?), next];
            }
            for value in values {
                extent = Extent { least: extent.least.min(value), most: extent.most.max(value) };
            }
            (before, here, last) = (here, next, found);
        }
        Ok(extent)
    }
}
