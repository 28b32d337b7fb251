//! Which marks can be shown all through a cue.

use heapless::Vec;

use super::edges::Edges;
use super::hidden::{Bits, HotSet, Patch, hidden, pupil_m};
use super::hot::{camera_of, hot_shots};
use super::pose::Pose;
use super::shots::{self, ShotError, View};
use super::solids::{self, Solid};
use super::vector::{between, length};
use super::{Guard, guard};
use crate::limits;
use crate::props::motion;
use crate::show::{Cue, Hot, MarkId, Presence, Shot, ShotId, ShotKey, ShotKind, Show};
use crate::units::Angle;

/// Pieces between two keys of a range.
const PIECES: f32 = 32.0;
/// Longest piece of a move, seconds.
const PIECE_S: f32 = 0.1;
/// Most pieces between two keys of a move.
const MOST_PIECES: f32 = 256.0;

/// Marks that can be shown all through a cue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CueMarks {
    /// Bit i for mark i of the show: hidden from every hot camera, whatever moves.
    pub marks: u64,
    /// The cameras that were asked.
    pub hot: HotSet,
}

/// The marks that stay hidden from every hot camera all through a cue, and so can be shown on air: `marks` are the
/// marks of the cue and what each lights or darkens on the floor.
///
/// Ranges and moves count as all that is between their keys, at any moment of the cue. Only what stands still from
/// the start covers a mark. A mark that is listed twice is hidden when both of its patches are.
pub fn marks(show: &Show, cue: &Cue, hot: Hot, marks: &[(MarkId, Patch<'_>)]) -> CueMarks {
    let patches: Vec<Patch<'_>, { limits::MARKS }> = marks.iter().take(limits::MARKS).map(|(_, p)| *p).collect();
    let still = still_solids(show, cue);
    let latency_s = f32::from(show.latency_ms) / 1000.0;
    let (mut open, mut failed) = (Bits::MAX, None);
    let set = hot_shots(show, cue, hot, &mut |shot| {
        let speed = shots::speed(show, shot);
        let swept = sweep(show, shot, &mut |view, strayed| {
            let strayed = Strayed { metres: strayed.metres + pupil_m(&view), ..strayed };
            let guard = |distance_m| strayed.with(guard::of(speed, latency_s, distance_m), distance_m);
            open &= hidden((view.pose.centre, &Edges::of(&view)), guard, &patches, still.as_slice(), open);
        });
        if swept.is_err() {
            failed = failed.or(camera_of(show, shot));
        }
    });
    let hot = HotSet { untracked: set.untracked.or(failed), ..set };
    let seen = |i: usize| hot.untracked.is_some() || i >= limits::MARKS || open & 1 << i == 0;
    let bits = |wanted: bool| {
        let those = marks.iter().enumerate().filter(|(i, _)| seen(*i) == wanted);
        those.fold(0_u64, |bits, (_, (id, _))| bits | 1_u64.checked_shl(id.0.into()).unwrap_or(0))
    };
    CueMarks { marks: bits(false) & !bits(true), hot }
}

/// The parts that stand still in the picture from the start of a cue to its end; none when there are too many.
fn still_solids(show: &Show, cue: &Cue) -> Vec<Solid, { limits::PARTS }> {
    let mut list = solids::of_cue::<{ limits::PARTS }>(show, cue, 0.0).unwrap_or_default();
    list.retain(|solid| {
        let mut states = show.props_in(cue).iter().filter(|s| s.prop == solid.prop);
        states.all(|s| s.presence == Presence::Live && !motion::moves(show, s))
    });
    list
}

/// How far a view may be from what it stands for.
#[derive(Clone, Copy, Debug, Default)]
struct Strayed {
    metres: f32,
    radians: f32,
}

impl Strayed {
    fn with(self, guard: Guard, distance_m: f32) -> Guard {
        let metres = guard.metres + self.metres + self.radians * distance_m;
        Guard { metres, travel_m: guard.travel_m + self.metres }
    }
}

/// Calls `each` with views of a shot that between them stand for all it may show.
fn sweep(show: &Show, shot: ShotId, each: &mut impl FnMut(View, Strayed)) -> Result<(), ShotError> {
    let planned: &Shot = show.shots.get(shot.index()).ok_or(ShotError::Unknown)?;
    let keys = planned.keys.of(&show.shot_keys);
    if keys.len() < 2 || matches!(planned.kind, ShotKind::Preset | ShotKind::Live) {
        each(shots::view_at(show, shot, 0.0)?, Strayed::default());
        return Ok(());
    }
    for (i, pair) in keys.windows(2).enumerate() {
        let [a, b] = pair else { continue };
        let (from, to, pieces) = match planned.kind {
            ShotKind::Range => (i as f32, (i + 1) as f32, PIECES),
            _ => (a.at_s, b.at_s, libm::ceilf((b.at_s - a.at_s) / PIECE_S).clamp(1.0, MOST_PIECES)),
        };
        for k in 0..pieces as u16 {
            let at = |share: f32| from + (to - from) * ((f32::from(k) + share) / pieces);
            let (view, strayed) = piece(show, shot, [at(0.0), at(0.5), at(1.0)])?;
            each(view, strayed);
        }
    }
    Ok(())
}

/// The view in the middle of a piece, as wide as the piece gets, and how far its ends are from it.
fn piece(show: &Show, shot: ShotId, times: [f32; 3]) -> Result<(View, Strayed), ShotError> {
    let [start, middle, end] = times.map(|t| shots::key_at(show, shot, t));
    let (start, middle, end) = (start?, middle?, end?);
    let strayed = |other: &ShotKey| {
        let pose = |key: &ShotKey| Pose::looking(key.from, key.look, Angle::default(), 0.0);
        let turn = pose(&middle).zip(pose(other)).map_or(0.0, |(a, b)| a.angle_to(&b).to_radians());
        let roll = libm::fabsf(Angle::from_degrees(other.roll_deg - middle.roll_deg).to_radians());
        (length(between(middle.from, other.from)), turn + roll)
    };
    let ((before_m, before), (after_m, after)) = (strayed(&start), strayed(&end));
    let focal_mm = start.focal_mm.min(end.focal_mm);
    let view = shots::view_of(show, shot, &ShotKey { focal_mm, ..middle })?;
    Ok((view, Strayed { metres: before_m.max(after_m), radians: before.max(after) }))
}
