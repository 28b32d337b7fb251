//! One moment of a shot: pose, lens and what the picture holds.

use heapless::Vec;

use super::frame::{Frame, Rect};
use super::lens::{self, LensError};
use super::pose::Pose;
use super::shots::{ShotError, parts};
use crate::show::cameras::{Crop, LowerLine};
use crate::show::{Camera, CameraId, Shot, ShotId, ShotKey, Show};
use crate::units::Angle;

/// Width of a picture that has everything in it, in tangents.
const EVERYTHING: f32 = 2.0e4;

/// One moment of a shot.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    /// The shot.
    pub shot: ShotId,
    /// Its camera.
    pub camera: CameraId,
    /// Seconds from the start of a move; keys from the first one on for a range; 0 for others.
    pub at_s: f32,
    /// Where the camera is and looks.
    pub pose: Pose,
    /// The poses at the corners of the operator's pan and tilt tolerance; empty without tolerance.
    pub corners: Vec<Pose, 4>,
    /// How much tighter than planned the operator may zoom: 1 and the zoom tolerance.
    pub zoom: f32,
    /// Focal length, millimetres.
    pub focal_mm: f32,
    /// What the picture holds, cropped.
    pub frame: Frame,
    /// What the picture holds, uncropped.
    pub whole: Frame,
    /// Round everything that may be in the uncropped picture while the operator is as wide as the tolerance allows.
    pub widest: Rect,
    /// What the cropped picture holds inside its safe margin, at the planned focal length.
    pub safe: Rect,
    /// What the uncropped picture holds inside the safe margin.
    pub whole_safe: Rect,
    /// What the shot has to hold of a person.
    pub lower_line: LowerLine,
    /// True when nobody is painted over in this picture.
    pub person_matte: bool,
}

/// The view of a shot from a pose that tracking reports, or any other.
///
/// # Errors
/// Any [`ShotError`] but [`ShotError::NoKeys`].
pub fn view_of(show: &Show, shot: ShotId, key: &ShotKey) -> Result<View, ShotError> {
    let (planned, camera, _) = parts(show, shot)?;
    let Pictures { frame, whole, widest, safe, whole_safe } = Pictures::of(camera, planned, key.focal_mm)?;
    let (pose, corners) = poses(camera, key)?;
    Ok(View {
        shot,
        camera: planned.camera,
        at_s: key.at_s,
        pose,
        corners,
        zoom: 1.0 + camera.zoom_tolerance,
        focal_mm: key.focal_mm,
        frame,
        whole,
        widest,
        safe,
        whole_safe,
        lower_line: planned.lower_line,
        person_matte: camera.person_matte,
    })
}

/// What of the scene a lens brings into a picture; the fields are those of [`View`].
struct Pictures {
    frame: Frame,
    whole: Frame,
    widest: Rect,
    safe: Rect,
    whole_safe: Rect,
}

impl Pictures {
    fn of(camera: &Camera, planned: &Shot, focal_mm: f32) -> Result<Self, LensError> {
        let sensor = lens::sensor(&camera.lens, focal_mm)?;
        let whole = lens::frame_of(&camera.lens, &sensor)?;
        let part = |rect: Rect| if rect == sensor { Ok(whole) } else { lens::frame_of(&camera.lens, &rect) };
        let frame = part(lens::cropped(&sensor, planned.crop))?;
        let safe = part(lens::safe(&sensor, planned.crop, planned.safe_margin))?.inner;
        let whole_safe = match planned.crop {
            Crop::Full => safe,
            Crop::Column | Crop::LowerThird => part(lens::safe(&sensor, Crop::Full, planned.safe_margin))?.inner,
        };
        Ok(Self { frame, whole, widest: widest(camera, focal_mm, &whole), safe, whole_safe })
    }
}

/// Round everything that a camera may have in its uncropped picture at a focal length, as [`View::widest`].
///
/// # Errors
/// [`LensError`].
pub(super) fn widest_at(camera: &Camera, focal_mm: f32) -> Result<Rect, LensError> {
    let whole = lens::frame_of(&camera.lens, &lens::sensor(&camera.lens, focal_mm)?)?;
    Ok(widest(camera, focal_mm, &whole))
}

/// Round everything that a camera may have in its picture at a focal length less the tolerance.
fn widest(camera: &Camera, focal_mm: f32, planned: &Frame) -> Rect {
    if camera.zoom_tolerance <= 0.0 {
        return planned.outer;
    }
    let wide = lens::sensor(&camera.lens, focal_mm * (1.0 - camera.zoom_tolerance));
    let frame = wide.and_then(|sensor| lens::frame_of(&camera.lens, &sensor));
    // A lens that is not known there may show all that is before it.
    frame.map_or(Rect::centred(EVERYTHING, EVERYTHING), |frame| frame.outer)
}

/// The pose of a key, and those at the corners of the operator's tolerance: the head turns about the tracked
/// point, and the entrance pupil goes with it.
fn poses(camera: &Camera, key: &ShotKey) -> Result<(Pose, Vec<Pose, 4>), ShotError> {
    let roll = Angle::from_degrees(key.roll_deg);
    let tracked = Pose::looking(key.from, key.look, roll, 0.0).ok_or(ShotError::BadPose)?;
    let pose = tracked.advanced(camera.lens.pupil_m);
    let mut corners = Vec::new();
    if camera.pan_tilt_tolerance_deg > 0.0 {
        let deg = camera.pan_tilt_tolerance_deg;
        for (pan, tilt) in [(deg, deg), (-deg, deg), (-deg, -deg), (deg, -deg)] {
            let corner = tracked.turned(Angle::from_degrees(pan), Angle::from_degrees(tilt));
            // Four corners fit.
            let _ = corners.push(corner.advanced(camera.lens.pupil_m));
        }
    }
    Ok((pose, corners))
}
