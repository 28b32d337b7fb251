//! Shots as views: one for each moment that has to be looked at.

use heapless::Vec;

use super::frame::{Frame, Rect};
use super::lens::{self, LensError};
use super::moves::mixed;
pub use super::moves::{Jib, jib_head, jib_place, jib_tail};
use super::pose::Pose;
pub use super::speed::{Speed, speed};
use crate::show::cameras::{Crop, LowerLine};
use crate::show::{Camera, CameraId, Shot, ShotId, ShotKey, ShotKind, Show};
use crate::units::Angle;

/// Most views of one shot, as long as it has no more keys than that.
pub const VIEWS: usize = 16;
/// Views between two keys of a range.
const IN_RANGE: usize = 7;
/// Longest time between two views of a move, seconds, as long as [`VIEWS`] allows it.
const SPACING_S: f32 = 1.0;
/// Width of a picture that has everything in it, in tangents.
const EVERYTHING: f32 = 2.0e4;

/// Why a shot gives no view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum ShotError {
    /// The show has no such shot, or the shot no camera.
    Unknown,
    /// The shot has no keys.
    NoKeys,
    /// The camera looks at its own place, or a number is not finite.
    BadPose,
    /// The lens has no frame.
    Lens(LensError),
}

impl From<LensError> for ShotError {
    fn from(error: LensError) -> Self {
        Self::Lens(error)
    }
}

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

/// A shot, its camera and its keys.
pub(super) fn parts(show: &Show, shot: ShotId) -> Result<(&Shot, &Camera, &[ShotKey]), ShotError> {
    let shot = show.shots.get(shot.index()).ok_or(ShotError::Unknown)?;
    let camera = show.cameras.get(shot.camera.index()).ok_or(ShotError::Unknown)?;
    Ok((shot, camera, shot.keys.of(&show.shot_keys)))
}

/// The view of a shot from a pose that tracking reports, or any other.
///
/// # Errors
/// Any [`ShotError`] but [`ShotError::NoKeys`].
pub fn view_of(show: &Show, shot: ShotId, key: &ShotKey) -> Result<View, ShotError> {
    let (planned, camera, _) = parts(show, shot)?;
    let sensor = lens::sensor(&camera.lens, key.focal_mm)?;
    let whole = lens::frame_of(&camera.lens, &sensor)?;
    let part = |rect: Rect| if rect == sensor { Ok(whole) } else { lens::frame_of(&camera.lens, &rect) };
    let frame = part(lens::cropped(&sensor, planned.crop))?;
    let safe = part(lens::safe(&sensor, planned.crop, planned.safe_margin))?.inner;
    let whole_safe = match planned.crop {
        Crop::Full => safe,
        Crop::Column | Crop::LowerThird => part(lens::safe(&sensor, Crop::Full, planned.safe_margin))?.inner,
    };
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
        widest: widest(camera, key.focal_mm, &whole),
        safe,
        whole_safe,
        lower_line: planned.lower_line,
        person_matte: camera.person_matte,
    })
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

impl View {
    /// The same view from another pose of its shot, as tracking reports it.
    ///
    /// Without a change of focal length only the poses change, which costs little enough for every report.
    ///
    /// # Errors
    /// As [`view_of`]; the view is left as it was.
    pub fn follow(&mut self, show: &Show, key: &ShotKey) -> Result<(), ShotError> {
        if key.focal_mm != self.focal_mm {
            *self = view_of(show, self.shot, key)?;
            return Ok(());
        }
        let (_, camera, _) = parts(show, self.shot)?;
        (self.pose, self.corners) = poses(camera, key)?;
        self.at_s = key.at_s;
        Ok(())
    }
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

/// When a key is, in the time of its shot: seconds for a move, its place in the list for a range.
fn time_of(kind: ShotKind, index: usize, key: &ShotKey) -> f32 {
    match kind {
        ShotKind::Range => index as f32,
        ShotKind::Preset | ShotKind::Live | ShotKind::Move => key.at_s,
    }
}

/// The pose of a shot at one moment; before the first key and after the last it stays.
///
/// The time of a range counts its keys: 0.5 is half way from the first to the second.
///
/// # Errors
/// [`ShotError::Unknown`] or [`ShotError::NoKeys`].
pub fn key_at(show: &Show, shot: ShotId, at_s: f32) -> Result<ShotKey, ShotError> {
    let (planned, camera, keys) = parts(show, shot)?;
    let first = *keys.first().ok_or(ShotError::NoKeys)?;
    if matches!(planned.kind, ShotKind::Preset | ShotKind::Live) {
        return Ok(ShotKey { at_s: 0.0, ..first });
    }
    let mut reached = ShotKey { at_s: time_of(planned.kind, 0, &first), ..first };
    for (i, next) in keys.iter().enumerate().skip(1) {
        let next = ShotKey { at_s: time_of(planned.kind, i, next), ..*next };
        if at_s < next.at_s {
            let share = (at_s - reached.at_s) / (next.at_s - reached.at_s);
            return Ok(if share > 0.0 { mixed(&camera.kind, &reached, &next, share) } else { reached });
        }
        reached = next;
    }
    Ok(reached)
}

/// The first and the last moment of a shot, in the time of [`key_at`].
///
/// # Errors
/// [`ShotError::Unknown`] or [`ShotError::NoKeys`].
pub fn span(show: &Show, shot: ShotId) -> Result<(f32, f32), ShotError> {
    let (planned, _, keys) = parts(show, shot)?;
    let (first, last) = keys.first().zip(keys.last()).ok_or(ShotError::NoKeys)?;
    if matches!(planned.kind, ShotKind::Preset | ShotKind::Live) {
        return Ok((0.0, 0.0));
    }
    Ok((time_of(planned.kind, 0, first), time_of(planned.kind, keys.len() - 1, last)))
}

/// The view of a shot at one moment, in the time of [`key_at`].
///
/// # Errors
/// Any [`ShotError`].
pub fn view_at(show: &Show, shot: ShotId, at_s: f32) -> Result<View, ShotError> {
    view_of(show, shot, &key_at(show, shot, at_s)?)
}

/// Every view of a shot that has to be looked at: one of a preset or a live shot; of a range and a move all keys
/// and so many in between that two are no more than a second apart, at most [`VIEWS`] in all.
///
/// # Errors
/// Any [`ShotError`].
pub fn views(show: &Show, shot: ShotId, each: &mut impl FnMut(View)) -> Result<(), ShotError> {
    let (planned, _, keys) = parts(show, shot)?;
    let time = |i: usize| keys.get(i).map_or(0.0, |key| time_of(planned.kind, i, key));
    each(view_at(show, shot, time(0))?);
    if matches!(planned.kind, ShotKind::Preset | ShotKind::Live) {
        return Ok(());
    }
    let wished = |i: usize| between_keys(planned.kind, time(i) - time(i - 1));
    let (all, room) = ((1..keys.len()).map(wished).sum::<usize>(), VIEWS.saturating_sub(keys.len()));
    for i in 1..keys.len() {
        let count = if all > room { wished(i) * room / all } else { wished(i) };
        for step in 1..=count {
            let share = step as f32 / (count + 1) as f32;
            each(view_at(show, shot, time(i - 1) + (time(i) - time(i - 1)) * share)?);
        }
        each(view_at(show, shot, time(i))?);
    }
    Ok(())
}

/// How many views there should be between two keys that are `apart` from each other.
fn between_keys(kind: ShotKind, apart: f32) -> usize {
    match kind {
        ShotKind::Range => IN_RANGE,
        ShotKind::Preset | ShotKind::Live | ShotKind::Move => {
            (libm::ceilf(apart / SPACING_S) - 1.0).clamp(0.0, VIEWS as f32) as usize
        }
    }
}
