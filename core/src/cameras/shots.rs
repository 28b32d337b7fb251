//! Shots as views: one for each moment that has to be looked at.

use super::lens::LensError;
use super::moves::mixed;
pub use super::moves::{Jib, jib_head, jib_place, jib_tail};
pub use super::speed::{Speed, speed};
pub use super::view::{View, view_of};
use crate::show::{Camera, Shot, ShotId, ShotKey, ShotKind, Show};

/// Most views of one shot, as long as it has no more keys than that.
pub const VIEWS: usize = 16;
/// Views between two keys of a range.
const IN_RANGE: usize = 7;
/// Longest time between two views of a move, seconds, as long as [`VIEWS`] allows it.
const SPACING_S: f32 = 1.0;

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

/// A shot, its camera and its keys.
pub(super) fn parts(show: &Show, shot: ShotId) -> Result<(&Shot, &Camera, &[ShotKey]), ShotError> {
    let shot = show.shots.get(shot.index()).ok_or(ShotError::Unknown)?;
    let camera = show.cameras.get(shot.camera.index()).ok_or(ShotError::Unknown)?;
    Ok((shot, camera, shot.keys.of(&show.shot_keys)))
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
