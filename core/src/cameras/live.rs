//! The live answer: which marks are hidden, from what tracking says now.

use super::guard;
use super::hidden::{Patch, hidden};
use super::shots::{self, Speed};
use super::solids::Solid;
use crate::show::{ShotId, ShotKey, Show};

/// What tracking says of one hot camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tracked {
    /// A shot of the camera; its lens, crop and tolerance count, not its planned pose.
    pub shot: ShotId,
    /// Where the camera is now.
    pub key: ShotKey,
    /// How fast it goes.
    pub speed: Speed,
}

/// The patches that are hidden from every hot camera now: bit i for patch i, up to [`crate::limits::MARKS`].
///
/// `solids` are the parts that graphics is known to draw on every hot camera at this moment; `latency_s` is the time
/// from a pose to the light that answers it. A camera whose pose or lens gives no view sees everything, and so does
/// an untracked or stale one: with such a camera hot, do not ask.
///
/// Cost: at most cameras × patches × parts; a patch that one camera sees is not asked of the next.
pub fn hidden_now(show: &Show, cameras: &[Tracked], patches: &[Patch<'_>], solids: &[Solid], latency_s: f32) -> u64 {
    let all = 1_u64.checked_shl(patches.len() as u32).map_or(u64::MAX, |bit| bit - 1);
    cameras.iter().fold(all, |open, camera| {
        let Some(view) = (open != 0).then(|| shots::view_of(show, camera.shot, &camera.key).ok()).flatten() else {
            return 0;
        };
        hidden(&view, |distance_m| guard::of(camera.speed, latency_s, distance_m), patches, solids, open)
    })
}
