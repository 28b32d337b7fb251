//! From sensor, focal length and distortion to what a picture holds.
//!
//! Distortion is Brown–Conrady (Brown 1966) as OpenCV's `projectPoints` has it, with y down; everything here
//! takes and gives y up.

use super::frame::{Frame, Rect};
use crate::show::Lens;
use crate::show::cameras::{Crop, Distortion};
use crate::units::Angle;

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

/// Why a lens has no frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum LensError {
    /// The sensor's width or height is not a positive finite number.
    BadSensor,
    /// The focal length is not a positive finite number.
    BadFocal,
    /// A distortion coefficient is not finite.
    BadDistortion,
    /// Inside the frame the distortion turns back on itself: two places of the scene have one place in the picture.
    FoldsOver,
}

/// Angle that `size_mm` of a sensor sees at infinity: 2·atan(size / 2f).
pub fn angle_of_view(size_mm: f32, focal_mm: f32) -> Angle {
    Angle::from_radians(2.0 * libm::atanf(size_mm / (2.0 * focal_mm)))
}

/// Where the lens puts a direction: undistorted to distorted tangents.
pub fn distort(distortion: &Distortion, x: f32, y: f32) -> (f32, f32) {
    let bent = bend(distortion, x, -y);
    (bent.x, -bent.y)
}

/// The direction that the lens puts at a place: distorted to undistorted tangents.
///
/// Newton's method in a bounded number of steps, followed from the middle of the lens outward, so that of several
/// directions it is the one that hangs together with the middle.
///
/// # Errors
/// [`LensError::FoldsOver`] when the lens folds over before that place.
pub fn undistort(distortion: &Distortion, x: f32, y: f32) -> Result<(f32, f32), LensError> {
    reached(distortion, (x, y))
}

/// What the whole picture holds.
///
/// # Errors
/// Any [`LensError`].
pub fn frame(lens: &Lens, focal_mm: f32) -> Result<Frame, LensError> {
    frame_of(lens, &sensor(lens, focal_mm)?)
}

/// What a rectangle of the sensor, in distorted tangents, holds of the scene.
///
/// # Errors
/// [`LensError::BadDistortion`] or [`LensError::FoldsOver`].
pub fn frame_of(lens: &Lens, part: &Rect) -> Result<Frame, LensError> {
    let Some(distortion) = lens.distortion.filter(|d| d.iter().any(|&k| k != 0.0)) else {
        return Ok(Frame::straight(*part));
    };
    if distortion.iter().any(|k| !k.is_finite()) {
        return Err(LensError::BadDistortion);
    }
    Bent { distortion, part: *part }.frame()
}

/// The sensor in distorted tangents: its size over the focal length.
///
/// # Errors
/// [`LensError::BadSensor`] or [`LensError::BadFocal`].
pub fn sensor(lens: &Lens, focal_mm: f32) -> Result<Rect, LensError> {
    let positive = |value: f32| value > 0.0 && value.is_finite();
    if !positive(lens.sensor_width_mm) || !positive(lens.sensor_height_mm) {
        return Err(LensError::BadSensor);
    }
    if !positive(focal_mm) {
        return Err(LensError::BadFocal);
    }
    Ok(Rect::centred(lens.sensor_width_mm / focal_mm, lens.sensor_height_mm / focal_mm))
}

/// The part of a picture that a crop leaves.
pub fn cropped(whole: &Rect, crop: Crop) -> Rect {
    match crop {
        Crop::Full => *whole,
        Crop::Column => {
            let (middle, half) = ((whole.left + whole.right) / 2.0, whole.height() * (9.0 / 32.0));
            Rect { left: (middle - half).max(whole.left), right: (middle + half).min(whole.right), ..*whole }
        }
        Crop::LowerThird => Rect { bottom: whole.bottom + whole.height() / 3.0, ..*whole },
    }
}

/// The part of a cropped picture inside its safe margin.
///
/// A lower third is a strip over the whole picture: its upper edge takes no margin, and the margins at the other
/// edges are shares of the whole picture.
pub fn safe(whole: &Rect, crop: Crop, margin: f32) -> Rect {
    match crop {
        Crop::Full | Crop::Column => cropped(whole, crop).inset(margin),
        Crop::LowerThird => Rect { bottom: cropped(whole, crop).bottom, ..whole.inset(margin) },
    }
}

/// A place in the picture and how it changes with the direction; y down.
struct Bend {
    x: f32,
    y: f32,
    /// dx/du, dx/dv (which is dy/du), dy/dv.
    slope: (f32, f32, f32),
}

/// Brown–Conrady with its derivatives; the cross derivatives are equal because tangential distortion is a gradient.
fn bend(&[k1, k2, p1, p2, k3]: &Distortion, u: f32, v: f32) -> Bend {
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
        let area = xx * yy - xy * xy;
        // Both slopes positive and the area too: not folded, neither once nor twice.
        if !(area > LEAST_AREA && xx > 0.0) {
            return Err(LensError::FoldsOver);
        }
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
fn reached(distortion: &Distortion, place: (f32, f32)) -> Result<(f32, f32), LensError> {
    let mut found = (0.0, 0.0);
    for step in 1..=SPOKE_STEPS {
        let share = f32::from(step) / f32::from(SPOKE_STEPS);
        found = near(distortion, (place.0 * share, place.1 * share), found)?;
    }
    Ok(found)
}

/// The direction seen at `place`, searched from `start` on; y up.
fn near(distortion: &Distortion, place: (f32, f32), start: (f32, f32)) -> Result<(f32, f32), LensError> {
    let (u, v) = solve(distortion, (place.0, -place.1), (start.0, -start.1))?;
    Ok((u, -v))
}

/// A rectangle of the picture behind a lens that bends; y up, as everywhere outside [`bend`] and [`solve`].
struct Bent {
    distortion: Distortion,
    part: Rect,
}

/// Innermost and outermost of a bent side, measured outward.
#[derive(Clone, Copy)]
struct Extent {
    least: f32,
    most: f32,
}

impl Bent {
    fn frame(&self) -> Result<Frame, LensError> {
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
            // A turning point between the neighbours: NaN, which stands for no neighbour, never is one.
            if (here - before) * (next - here) <= 0.0 && before - 2.0 * here + next != 0.0 {
                let shift = 0.5 * (before - next) / (before - 2.0 * here + next);
                let t = (f32::from(step) - 1.0 + shift.clamp(-1.0, 1.0)) / f32::from(SIDE_STEPS);
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
