//! What changes from one moment to the next, so that nothing is judged twice.

use heapless::Vec;

use crate::cameras::{Solid, View};
use crate::geom::StagePoint;
use crate::limits;
use crate::show::Layer;

/// Moments whose changes are kept at most; later ones are judged whole.
const MOMENTS: usize = 96;
/// One bit for each part of a moment.
type Parts = u128;
const _: () = assert!(limits::PARTS <= 128, "a bit for each part");

/// For every moment, which parts are not as they were a moment before.
#[derive(Clone, Debug)]
pub(super) struct Changes {
    /// Parts that are new or elsewhere, and parts of the moment before that are gone or elsewhere.
    steps: Vec<(Parts, Parts), MOMENTS>,
    /// True when some part is drawn beyond the LED surfaces.
    pub(super) extends: bool,
}

impl Changes {
    pub(super) fn of(moments: &[&[Solid]]) -> Self {
        let before = core::iter::once(&[][..]).chain(moments.iter().copied());
        let steps = moments.iter().zip(before).map(|(now, before)| (differing(now, before), differing(before, now)));
        let extends = moments.iter().flat_map(|m| m.iter()).any(|solid| solid.layer == Layer::Extension);
        Self { steps: steps.take(MOMENTS).collect(), extends }
    }

    /// True when a body of `radius_m` at `p` may look different to a camera in moment `i` from the moment before.
    /// Always so in the first.
    pub(super) fn touch(&self, moments: &[&[Solid]], i: usize, view: &View, p: StagePoint, radius_m: f32) -> bool {
        let (Some(&(new, old)), Some(before)) = (self.steps.get(i), i.checked_sub(1).and_then(|i| moments.get(i)))
        else {
            return true;
        };
        let eye = view.pose.centre.on_floor();
        let reached = |solids: &[Solid], parts: Parts| {
            let changed = solids.iter().enumerate().filter(|(bit, _)| parts >> bit & 1 != 0);
            changed.map(|(_, solid)| solid.bounds()).any(|bounds| is_in_wedge(eye, p, radius_m, bounds))
        };
        reached(before, old) || moments.get(i).is_some_and(|now| reached(now, new))
    }
}

/// The parts of `now` that `before` does not have, or has differently.
fn differing(now: &[Solid], before: &[Solid]) -> Parts {
    let stays = |solid: &Solid| before.iter().any(|other| other == solid);
    now.iter().enumerate().take(Parts::BITS as usize).filter(|(_, s)| !stays(s)).fold(0, |bits, (i, _)| bits | 1 << i)
}

/// False only when no line of sight from `eye` through a body's rectangle at `p` meets the disc.
fn is_in_wedge(eye: StagePoint, p: StagePoint, radius_m: f32, (centre, disc_m): (StagePoint, f32)) -> bool {
    let (way, to) = (p - eye, centre - eye);
    let distance = way.length();
    let Some(ahead) = way.unit() else { return true };
    let (depth, off) = (ahead.dot(to), libm::fabsf(ahead.cross(to)));
    let slope = radius_m / distance;
    // Distance from the wedge's side, which leans by the slope.
    let beside = off - slope * depth.max(0.0);
    let room_m = disc_m + 1e-3;
    depth > -room_m && beside <= room_m * libm::sqrtf(1.0 + slope * slope)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cameras::SolidShape;

    fn disc(x: f32, y: f32) -> Solid {
        Solid::new(SolidShape::Disc { centre: StagePoint::new(x, y), radius_m: 0.5 }, 0.0, 1.0)
    }

    #[test]
    fn what_moves_comes_or_goes_is_a_change() {
        let (still, a, b) = (disc(0.0, 0.0), disc(3.0, 0.0), disc(4.0, 0.0));
        let moments: [&[Solid]; 4] =
            [&[still.clone(), a], &[still.clone(), b], core::slice::from_ref(&still), core::slice::from_ref(&still)];
        let changes = Changes::of(&moments);
        assert_eq!(changes.steps.as_slice(), [(0b11, 0), (0b10, 0b10), (0, 0b10), (0, 0)]);
        assert!(!changes.extends);
    }

    #[test]
    fn the_wedge_is_as_wide_as_the_body_and_widens() {
        let eye = StagePoint::new(0.0, -4.0);
        let meets = |x: f32, y: f32| is_in_wedge(eye, StagePoint::default(), 0.25, (StagePoint::new(x, y), 0.5));
        assert!(meets(0.7, 0.0) && !meets(0.8, 0.0));
        assert!(meets(0.95, 4.0) && !meets(1.05, 4.0));
        assert!(meets(0.0, -4.4) && !meets(0.0, -4.6));
    }
}
