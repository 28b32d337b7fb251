//! Where the arm of a jib goes during a move: its head over people, its tail among the crew.

use heapless::Vec;

use super::shots::{self, Jib, ShotError, jib_head, jib_tail};
use crate::geom::{StagePoint, StagePoint3, segment};
use crate::show::props::BODY_TOP_M;
use crate::show::{Camera, CameraKind, ShotId, Show};

/// A head lower than this can hit somebody, metres above the floor.
pub const LOW_M: f32 = BODY_TOP_M;
/// Places of the head, and of the tail, that a sweep has.
pub const STEPS: usize = 64;

/// The part of a sweep in which the head is low.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Low {
    /// Least azimuth, degrees clockwise from upstage seen from above.
    pub from_deg: f32,
    /// Greatest azimuth, degrees; may pass 180 when the arm goes through downstage.
    pub to_deg: f32,
    /// Lowest height of the head, metres above the floor.
    pub lowest_m: f32,
}

/// The ways of a jib's ends through one shot, step by step.
#[derive(Clone, Debug, PartialEq)]
pub struct Sweep {
    /// Where the head is low, if it ever is.
    pub low: Option<Low>,
    /// Places of the head.
    pub head: Vec<StagePoint3, STEPS>,
    /// Places of the tail's end, one for each of the head's.
    pub tail: Vec<StagePoint3, STEPS>,
    /// Stretches of the head's way, as seen from above, on which it is low; ends are where it passes [`LOW_M`].
    pub low_way: Vec<(StagePoint3, StagePoint3), STEPS>,
}

/// How a jib sweeps through all keys of a shot; `None` for a shot of another camera.
///
/// # Errors
/// [`ShotError`].
pub fn sweep(show: &Show, shot: ShotId) -> Result<Option<Sweep>, ShotError> {
    let planned = show.shots.get(shot.index()).ok_or(ShotError::Unknown)?;
    let camera: &Camera = show.cameras.get(planned.camera.index()).ok_or(ShotError::Unknown)?;
    if !matches!(camera.kind, CameraKind::Jib { .. }) {
        return Ok(None);
    }
    let (first, last) = shots::span(show, shot)?;
    let head = |share: f32| shots::key_at(show, shot, first + (last - first) * share).map(|key| key.from);
    let mut sweep = Sweep { low: None, head: Vec::new(), tail: Vec::new(), low_way: Vec::new() };
    let mut before = (0.0, head(0.0)?);
    for i in 0..if last > first { STEPS } else { 1 } {
        let share = i as f32 / (STEPS - 1) as f32;
        let here = (share, head(share)?);
        sweep.add(&camera.kind, here.1);
        if let Some((a, b)) = low_part(&head, before, here)? {
            // There are as many as places at most.
            let _ = sweep.low_way.push((a, b));
            sweep.note_low(&camera.kind, a);
            sweep.note_low(&camera.kind, b);
        }
        before = here;
    }
    Ok(Some(sweep))
}

/// A moment of the sweep, 0 to 1, and where the head is then.
type Step = (f32, StagePoint3);

/// The part of a step in which the head is low; one that passes the limit within the step is cut there.
fn low_part(
    head: &impl Fn(f32) -> Result<StagePoint3, ShotError>,
    from: Step,
    to: Step,
) -> Result<Option<(StagePoint3, StagePoint3)>, ShotError> {
    Ok(match (from.1.z < LOW_M, to.1.z < LOW_M) {
        (true, true) => Some((from.1, to.1)),
        (true, false) => Some((from.1, limit(head, from, to)?)),
        (false, true) => Some((limit(head, to, from)?, to.1)),
        (false, false) => None,
    })
}

/// Where the head passes the limit between a low place and one that is not, by halving.
fn limit(
    head: &impl Fn(f32) -> Result<StagePoint3, ShotError>,
    (mut low, mut place): Step,
    (mut high, _): Step,
) -> Result<StagePoint3, ShotError> {
    for _ in 0..16 {
        let middle = (low + high) * 0.5;
        let there = head(middle)?;
        if there.z < LOW_M {
            (low, place) = (middle, there);
        } else {
            high = middle;
        }
    }
    Ok(place)
}

impl Sweep {
    fn add(&mut self, kind: &CameraKind, head: StagePoint3) {
        // One place for each step, and there are as many.
        let _ = self.head.push(head);
        if let Some(tail) = jib_head(kind, head).and_then(|arm| jib_tail(kind, arm.azimuth_deg, arm.elevation_deg)) {
            let _ = self.tail.push(tail);
        }
    }

    fn note_low(&mut self, kind: &CameraKind, head: StagePoint3) {
        let Some(Jib { azimuth_deg, .. }) = jib_head(kind, head) else { return };
        let low = self.low.unwrap_or(Low { from_deg: azimuth_deg, to_deg: azimuth_deg, lowest_m: head.z });
        // The arm goes the short way round, so the nearer of the two numbers of an azimuth continues the sweep.
        let middle = (low.from_deg + low.to_deg) * 0.5;
        let turns = libm::roundf((middle - azimuth_deg) / 360.0);
        let azimuth_deg = azimuth_deg + 360.0 * turns;
        self.low = Some(Low {
            from_deg: low.from_deg.min(azimuth_deg),
            to_deg: low.to_deg.max(azimuth_deg),
            lowest_m: low.lowest_m.min(head.z),
        });
    }

    /// Least distance on the floor plan between a person's place and the head while it is low, metres; `None` when
    /// it never is.
    pub fn distance_m(&self, person: StagePoint) -> Option<f32> {
        let to = |(a, b): &(StagePoint3, StagePoint3)| segment::distance(person, a.on_floor(), b.on_floor());
        self.low_way.iter().map(to).min_by(f32::total_cmp)
    }
}
