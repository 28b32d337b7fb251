//! What people change on the set while the show is in memory, and what tracking says: the works' side of it.

use super::hardware::Hardware;
use super::live::Live;
use super::memory::Memory;
use super::nudges::Nudges;
use super::recheck::{self, Found, Room};
use super::tiles::{self, Tiles};
use super::works::Works;
use crate::cameras::shots::ShotError;
use crate::engine::{Fault, Input, Sense};
use crate::geom::StagePoint3;
use crate::link::{Moved, Need, Nudge, Piece, Refusal, Request, Tiled, What};
use crate::show::{CueId, LineId, MarkId, Mode, ShotKey, Show};
use crate::units::Instant;

/// What was changed since the show was loaded, and what tracking says.
#[derive(Clone, Debug, Default)]
pub struct Handwork {
    /// Marks and props that are not where the stored show has them.
    pub nudges: Nudges,
    /// Panels that died or came back.
    pub tiles: Tiles,
    /// Poses of cameras.
    pub live: Live,
}

impl Handwork {
    /// Nothing changed, nothing heard.
    pub const fn new() -> Self {
        Self { nudges: Nudges::new(), tiles: Tiles::new(), live: Live::new() }
    }

    /// Another show is in memory.
    pub fn forget(&mut self) {
        self.nudges.forget();
        self.tiles.forget();
        self.live.forget();
    }
}

impl<H: Hardware> Works<'_, H> {
    /// Moves a mark or a prop by a step, millimetres, and looks at NOW and NEXT again.
    pub(super) fn nudge(&mut self, now: Instant, piece: Piece, by_mm: (i16, i16)) -> Result<Moved, Refusal> {
        if self.memory.show.cues.is_empty() {
            return Err(Refusal::NoShow);
        }
        let before = self.shorts(now);
        let away_mm = self.memory.handwork.nudges.step(&mut self.memory.show, piece, by_mm)?;
        self.tell_move(now, piece, away_mm);
        Ok(self.look_again(now, &before, away_mm))
    }

    /// Puts a thing back where the stored show has it, or everything.
    pub(super) fn put_back(&mut self, now: Instant, piece: Option<Piece>) -> Moved {
        let before = self.shorts(now);
        let moved = self.memory.handwork.nudges.told();
        self.memory.handwork.nudges.back(&mut self.memory.show, piece);
        let back = moved.list.iter().flatten().filter(|thing| piece.is_none_or(|one| one == thing.what));
        back.for_each(|thing| self.tell_move(now, thing.what, (0, 0)));
        self.look_again(now, &before, (0, 0))
    }

    /// What misses its limit in NOW and NEXT.
    fn shorts(&mut self, now: Instant) -> Shorts {
        let cues = self.near_cues(now);
        let Memory { show, work, .. } = &mut *self.memory;
        let (room, mut shorts) = (work.walks(), Shorts::new());
        self.painting.disturbed();
        for cue in cues.into_iter().flatten() {
            recheck::check(show, cue, room, &mut |one| {
                if !one.holds {
                    // Of more than fit, none is told as mended.
                    let _ = shorts.push((one.cue, one.need, one.by));
                }
            });
        }
        shorts
    }

    /// Makes a panel dead or good, says which marks it is under, and offers another place for one of them.
    pub(super) fn tile(&mut self, now: Instant, change: tiles::Change) -> Result<Tiled, Refusal> {
        if self.memory.handwork.tiles.set(&mut self.memory.show, change)? {
            self.floor_changed();
            self.tell_tile(now, change);
        }
        let marks = tiles::touched(&self.memory.show, change);
        let offer = if change.dead { self.offer(now, marks) } else { None };
        Ok(Tiled { marks, offer })
    }

    /// Another place for the first of `marks`: of those that NOW and NEXT use, or else of all.
    fn offer(&mut self, now: Instant, marks: u64) -> Option<Nudge> {
        let near = self.near_cues(now);
        let Memory { show, work, .. } = &mut *self.memory;
        let used = |show: &Show, cue: CueId, id: MarkId| {
            let cue = show.cues.get(cue.index());
            cue.is_some_and(|cue| show.places_in(cue).iter().any(|place| place.mark == Some(id)))
        };
        let all = || (0..show.marks.len() as u8).map(MarkId).filter(|id| marks & 1 << id.0 != 0);
        let first = all().find(|id| near.iter().flatten().any(|cue| used(show, *cue, *id)));
        let mark = first.or_else(|| all().next())?;
        let cues = (0..show.cues.len() as u8).map(CueId);
        let cues: heapless::Vec<CueId, { crate::limits::CUES }> = cues.filter(|cue| used(show, *cue, mark)).collect();
        let home = show.marks.get(mark.index())?.at;
        self.painting.disturbed();
        let to = tiles::elsewhere(show, mark, cues.iter().copied(), work.walks())?;
        let mm = |m: f32| libm::roundf(m * 1000.0) as i16;
        Some(Nudge { what: Piece::Mark(mark), dx_mm: mm(to.x - home.x), dy_mm: mm(to.y - home.y) })
    }

    /// Plans what has to be planned anew for NOW and NEXT, and looks at both.
    fn look_again(&mut self, now: Instant, before: &Shorts, (dx_mm, dy_mm): (i16, i16)) -> Moved {
        self.floor_changed();
        let cues = self.near_cues(now);
        let Memory { show, work, handwork, .. } = &mut *self.memory;
        let (room, mut found, mut mended) = (work.walks(), Found::default(), 0);
        for cue in cues.into_iter().flatten() {
            while let Some(line) = handwork.nudges.take_stale(|line| walks(show, cue, line)) {
                if let Err(error) = plan(show, line, room) {
                    found.count(recheck::no_way(cue, Need::Walk(line.0), &error));
                }
            }
            recheck::check(show, cue, room, &mut |one| {
                mended += u16::from(one.holds && before.contains(&(one.cue, one.need, one.by)));
                found.count(one);
            });
        }
        let (checked, short, worst) = (found.checked, found.short, found.told());
        Moved { dx_mm: dx_mm.into(), dy_mm: dy_mm.into(), checked, short, mended, worst }
    }

    /// Plans one line of the other cues anew, while nothing is painted; true when it did.
    pub(super) fn catch_up(&mut self, now: Instant) -> bool {
        if !self.painting.is_resting() {
            return false;
        }
        let Some(line) = self.memory.handwork.nudges.take_stale(|_| true) else { return false };
        let cues = self.near_cues(now);
        let Memory { show, work, .. } = &mut *self.memory;
        // One that has no way now keeps the old one; the re-check says so when its cue comes near.
        let planned = plan(show, line, work.walks()).is_ok();
        if planned && cues.into_iter().flatten().any(|cue| walks(show, cue, line)) {
            self.floor_changed();
        }
        true
    }

    /// NOW and NEXT.
    fn near_cues(&self, now: Instant) -> [Option<CueId>; 2] {
        let outlook = self.state.outlook(&self.memory.show, now);
        [outlook.now, outlook.next]
    }

    /// Takes a pose of a camera.
    pub(super) fn pose(&mut self, now: Instant, request: &Request<'_>) -> Result<(), Refusal> {
        let &Request::Pose { camera, from_mm, look_mm, roll_centideg, focal_um } = request else { return Ok(()) };
        let metres = |[x, y, z]: [i32; 3]| {
            let m = |mm: i32| mm as f32 * 1e-3;
            StagePoint3::new(m(x), m(y), m(z))
        };
        let key = ShotKey {
            at_s: 0.0,
            from: metres(from_mm),
            look: metres(look_mm),
            roll_deg: f32::from(roll_centideg) * 0.01,
            focal_mm: focal_um as f32 * 1e-3,
        };
        let heard = self.memory.handwork.live.hear(&self.memory.show, camera, &key, now);
        heard.map_err(|error| if error == ShotError::Unknown { Refusal::NoSuch } else { Refusal::BadValue })
    }

    /// Tells the engine whether poses are missing and, when it may be worked out now, what no hot camera sees: at most
    /// once a frame. Only AIR has to know, but poses that keep coming are told in every mode, in OFF too. True when it
    /// was worked out.
    pub(super) fn look(&mut self, now: Instant, may_answer: bool) -> bool {
        let Memory { show, handwork: Handwork { live, .. }, .. } = &mut *self.memory;
        let Some(cue) = self.state.cue.and_then(|cue| show.cues.get(cue.index())) else { return false };
        let lost = live.is_lost(show, cue, now);
        let after = now.since(self.state.since);
        let is_air = self.state.mode == Mode::Air;
        let unseen = match (is_air, may_answer) {
            (false, _) => live.rest(lost, now),
            (true, true) => live.update(show, cue, after, now),
            (true, false) => None,
        };
        if lost != self.state.faults.has(Fault::Tracking) {
            let _ = self.enter(now, Input::Sense(Sense::Fault(Fault::Tracking, lost)));
        }
        if let Some(marks) = unseen {
            // What a prop's outline lights is not worked out: it stays off.
            let _ = self.enter(now, Input::Sense(Sense::Unseen { marks, props: 0 }));
        }
        is_air && unseen.is_some()
    }
}

/// What misses its limit: in which cue, who needs the room, what takes it.
type Shorts = heapless::Vec<(CueId, Need, What), 48>;

/// Plans a line anew and puts it into the show.
fn plan(show: &mut Show, line: LineId, room: &mut Room) -> Result<(), crate::walk::WalkError> {
    recheck::plan(show, line, room)?;
    let full = crate::walk::WalkError::Full { what: crate::walk::Store::Points, capacity: crate::limits::LINE_POINTS };
    if show.put_line(line, &room.points) { Ok(()) } else { Err(full) }
}

/// True when a cue sends somebody along a line.
fn walks(show: &Show, cue: CueId, line: LineId) -> bool {
    let cue = show.cues.get(cue.index());
    cue.is_some_and(|cue| show.places_in(cue).iter().any(|place| place.line == Some(line)))
}
