//! From sensor, focal length and distortion to what a picture holds.
//!
//! Distortion is Brown–Conrady (Brown 1966) as OpenCV's `projectPoints` has it, with y down; everything here
//! takes and gives y up.

use super::bend::{Bent, bend, reached};
use super::frame::{Frame, Rect};
use crate::show::Lens;
use crate::show::cameras::{Crop, Distortion};
use crate::units::Angle;

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
