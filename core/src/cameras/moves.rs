//! Poses between the keys of a shot, and the arm of a jib.

use super::vector::{between, length};
use crate::geom::StagePoint3;
use crate::show::{CameraKind, ShotKey};
use crate::units::Angle;

/// Direction of a jib's arm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jib {
    /// Clockwise from upstage seen from above, degrees: 90 is stage left.
    pub azimuth_deg: f32,
    /// Above level, degrees.
    pub elevation_deg: f32,
}

/// Where a jib's pivot is; `None` for other cameras.
fn pivot(kind: &CameraKind) -> Option<StagePoint3> {
    let CameraKind::Jib { base, pivot_m, .. } = kind else { return None };
    Some(StagePoint3::new(base.x, base.y, base.z + pivot_m))
}

/// The arm that puts a jib's head at `from`; `None` for other cameras and at the pivot itself.
pub fn jib_head(kind: &CameraKind, from: StagePoint3) -> Option<Jib> {
    let arm = between(pivot(kind)?, from);
    let [x, y, z] = arm;
    let degrees = |radians| Angle::from_radians(radians).to_degrees();
    (length(arm) > 0.0).then(|| Jib {
        azimuth_deg: degrees(libm::atan2f(x, y)),
        elevation_deg: degrees(libm::atan2f(z, libm::sqrtf(x * x + y * y))),
    })
}

/// Where the arm puts a jib's head; `None` for other cameras.
pub fn jib_place(kind: &CameraKind, arm: Jib) -> Option<StagePoint3> {
    let CameraKind::Jib { arm_m, .. } = kind else { return None };
    along(kind, arm, *arm_m)
}

/// Where the arm puts the end of a jib's tail; `None` for other cameras.
pub fn jib_tail(kind: &CameraKind, azimuth_deg: f32, elevation_deg: f32) -> Option<StagePoint3> {
    let CameraKind::Jib { tail_m, .. } = kind else { return None };
    along(kind, Jib { azimuth_deg, elevation_deg }, -tail_m)
}

fn along(kind: &CameraKind, arm: Jib, metres: f32) -> Option<StagePoint3> {
    let pivot = pivot(kind)?;
    let (sin, cos) = Angle::from_degrees(arm.azimuth_deg).sin_cos();
    let (rise, flat) = Angle::from_degrees(arm.elevation_deg).sin_cos();
    let out_m = metres * flat;
    Some(StagePoint3::new(pivot.x + out_m * sin, pivot.y + out_m * cos, pivot.z + metres * rise))
}

/// The pose `share` of the way from one key to the next: all in a straight line, but a jib's head round its pivot.
pub(super) fn mixed(kind: &CameraKind, a: &ShotKey, b: &ShotKey, share: f32) -> ShotKey {
    let mix = |a: f32, b: f32| a + (b - a) * share;
    let place = |a: StagePoint3, b: StagePoint3| StagePoint3::new(mix(a.x, b.x), mix(a.y, b.y), mix(a.z, b.z));
    ShotKey {
        at_s: mix(a.at_s, b.at_s),
        from: swung(kind, a.from, b.from, share).unwrap_or_else(|| place(a.from, b.from)),
        look: place(a.look, b.look),
        roll_deg: mix(a.roll_deg, b.roll_deg),
        focal_mm: mix(a.focal_mm, b.focal_mm),
    }
}

/// A jib's head between two places: azimuth the short way round, elevation and reach in step with it.
fn swung(kind: &CameraKind, a: StagePoint3, b: StagePoint3, share: f32) -> Option<StagePoint3> {
    let pivot = pivot(kind)?;
    let (first, last) = (jib_head(kind, a)?, jib_head(kind, b)?);
    let mut turn = last.azimuth_deg - first.azimuth_deg;
    if turn > 180.0 {
        turn -= 360.0;
    } else if turn < -180.0 {
        turn += 360.0;
    }
    let (near_m, far_m) = (length(between(pivot, a)), length(between(pivot, b)));
    let arm = Jib {
        azimuth_deg: first.azimuth_deg + turn * share,
        elevation_deg: first.elevation_deg + (last.elevation_deg - first.elevation_deg) * share,
    };
    along(kind, arm, near_m + (far_m - near_m) * share)
}
