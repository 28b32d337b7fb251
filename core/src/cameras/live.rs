//! The live answer: which marks are hidden, from what tracking says now.

use super::edges::Edges;
use super::guard;
use super::hidden::{Patch, hidden};
use super::shots::{Speed, View};
use super::solids::Solid;

/// A hot camera as tracking has it: [`View::follow`] keeps the view where the camera is.
#[derive(Clone, Debug, PartialEq)]
pub struct Tracked {
    /// What it sees now.
    pub view: View,
    /// How fast it goes.
    pub speed: Speed,
}

/// The patches that are hidden from every hot camera now: bit i for patch i, up to [`crate::limits::MARKS`].
///
/// `solids` are the parts that graphics is known to draw on every hot camera at this moment; `latency_s` is the time
/// from a pose to the light that answers it. Where the camera points is known, so its operator's pan and tilt
/// tolerance does not count; the zoom tolerance does. A camera whose pose is stale or gives no view sees
/// everything, and so does an untracked one: with such a camera hot, do not ask.
///
/// Cost: at most cameras × patches × parts; a patch that one camera sees is not asked of the next.
pub fn hidden_now(cameras: &[Tracked], patches: &[Patch<'_>], solids: &[Solid], latency_s: f32) -> u64 {
    let all = 1_u64.checked_shl(patches.len() as u32).map_or(u64::MAX, |bit| bit - 1);
    cameras.iter().fold(all, |open, Tracked { view, speed }| {
        let guard = |distance_m| guard::of(*speed, latency_s, distance_m);
        hidden((view.pose.centre, &Edges::now(view)), guard, patches, solids, open)
    })
}
