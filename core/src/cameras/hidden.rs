//! Marks that no camera sees: all of a mark or nothing, because half a mark on air is worse than none.
//!
//! A mark is hidden from a view when all of its outline and a [`Guard`] round it are out of the picture, or in the
//! shadow that one opaque overlay throws on the floor, seen from the camera. That graphics draws the overlay at
//! this moment is for the engine to know; and who is not a camera sees every mark.

use heapless::Vec;

pub use super::cue_marks::{CueMarks, marks};
use super::edges::Edges;
pub use super::hot::{HotSet, hot_cameras, hot_shots, hot_views};
pub use super::patch::Patch;
use super::shadow::Shadow;
use super::shots::View;
use super::solids::{Covers, Solid, SolidShape};
use super::{Guard, guard};
use crate::geom::StagePoint3;
use crate::limits;
use crate::show::{Layer, PropId};

/// Marks by their number in a list.
pub(super) type Bits = u64;

/// How a view has a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Hiding {
    /// It is out of the picture.
    Outside,
    /// An opaque overlay covers it.
    Covered {
        /// The overlay's prop.
        prop: PropId,
        /// Index among the prop's parts.
        part: u8,
    },
    /// Some of it may be seen.
    Seen,
}

/// How a view has a mark, with `guard` round it. Rings, transparent parts and parts on other layers cover nothing.
pub fn mark(view: &View, guard: Guard, patch: &Patch<'_>, solids: &[Solid]) -> Hiding {
    if is_out(&Edges::of(view), guard, patch) {
        return Hiding::Outside;
    }
    let one = [(*patch, Guard { travel_m: guard.travel_m + pupil_m(view), ..guard })];
    let cover = solids.iter().find(|solid| covered(view.pose.centre, &one, 1, solid) != 0);
    cover.map_or(Hiding::Seen, |solid| Hiding::Covered { prop: solid.prop, part: solid.part })
}

/// Which of the patches are hidden from a camera at `centre` with these edges: bit i for patch i, of those whose bit
/// is set in `asked`. `guard` has the guard of a mark at a distance in metres.
pub(super) fn hidden<C: Covers + ?Sized>(
    (centre, edges): (StagePoint3, &Edges),
    guard: impl Fn(f32) -> Guard,
    patches: &[Patch<'_>],
    solids: &C,
    asked: Bits,
) -> Bits {
    let (mut out, mut open, mut list) = (0, 0, Vec::<_, { limits::MARKS }>::new());
    for (i, patch) in patches.iter().enumerate().take(limits::MARKS) {
        let guard = guard(patch.distance_m(centre));
        // As many as are taken fit.
        let _ = list.push((*patch, guard));
        if asked & 1 << i != 0 {
            *(if is_out(edges, guard, patch) { &mut out } else { &mut open }) |= 1 << i;
        }
    }
    if open != 0 {
        solids.each(&mut |solid| {
            let covered = covered(centre, &list, open, solid);
            out |= covered;
            open &= !covered;
            open != 0
        });
    }
    out
}

fn is_out(edges: &Edges, guard: Guard, patch: &Patch<'_>) -> bool {
    !edges.show(patch.middle()) && patch.heights().all(|h| edges.miss(patch.outline(), h, guard.metres))
}

/// True for parts that can cover a mark.
fn covers(solid: &Solid) -> bool {
    solid.layer == Layer::Overlay && !solid.transparent && !matches!(solid.shape, SolidShape::Ring { .. })
}

/// Which of the patches a part covers: bit i for patch i, of those whose bit is set in `asked`.
fn covered(centre: StagePoint3, patches: &[(Patch<'_>, Guard)], asked: Bits, solid: &Solid) -> Bits {
    if !covers(solid) {
        return 0;
    }
    let bits = held(centre, patches, asked, solid, |guard| guard.metres);
    let travel_m = patches.iter().map(|(_, guard)| guard.travel_m).fold(0.0, f32::max);
    if travel_m == 0.0 || bits == 0 {
        return bits;
    }
    // The places from which a part covers a place are a convex set, the shadow that a lamp in that place would throw:
    // what is covered from six corners round the camera is covered from everywhere between them.
    let k = travel_m * SQRT_3;
    let corners = [(k, 0.0, 0.0), (-k, 0.0, 0.0), (0.0, k, 0.0), (0.0, -k, 0.0), (0.0, 0.0, k), (0.0, 0.0, -k)];
    corners.iter().fold(bits, |bits, (x, y, z)| {
        let there = StagePoint3::new(centre.x + x, centre.y + y, centre.z + z);
        held(there, patches, bits, solid, |_| guard::STILL_M)
    })
}

/// An octahedron about a ball has its corners √3 times as far out.
const SQRT_3: f32 = 1.732_050_8;

/// How far the entrance pupil may be from its planned place while the operator keeps the tolerance, metres.
pub(super) fn pupil_m(view: &View) -> f32 {
    let apart = |c: StagePoint3| libm::sqrtf(view.pose.components(c).iter().map(|x| x * x).sum());
    view.corners.iter().map(|pose| apart(pose.centre)).fold(0.0, f32::max)
}

/// Which of the patches lie in a part's shadow, seen from `centre`, with room all round.
fn held(
    centre: StagePoint3,
    patches: &[(Patch<'_>, Guard)],
    asked: Bits,
    solid: &Solid,
    room_m: impl Fn(Guard) -> f32,
) -> Bits {
    if asked == 0 {
        return 0;
    }
    // Nearly every patch lies on the floor itself.
    let on_floor = Shadow::of(centre, 0.0, solid);
    let asked = patches.iter().enumerate().filter(|(i, _)| asked & 1 << i != 0);
    let inside = |(patch, guard): &(Patch<'_>, Guard)| {
        let room_m = room_m(*guard);
        patch.heights().all(|height_m| {
            let raised = if height_m == 0.0 { None } else { Shadow::of(centre, height_m, solid) };
            let shadow = if height_m == 0.0 { on_floor.as_ref() } else { raised.as_ref() };
            shadow.is_some_and(|shadow| shadow.holds(patch, room_m))
        })
    };
    asked.filter(|(_, one)| inside(one)).fold(0, |bits, (i, _)| bits | 1 << i)
}
