//! Marks and props that were moved by hand on the show in memory.
//!
//! The stored pack stays as it is: whoever wants to keep a move reads the list and writes it into the show file. The list is
//! lost at power-down and when a show is loaded.

use heapless::Vec;

use crate::geom::{StagePoint, StageVector};
use crate::limits as cap;
use crate::link::{self, Nudge, Piece, Refusal};
use crate::show::{LineId, MarkId, MotionKind, PropId, Run, Show};

/// Farthest that a thing may be moved from its stored place, millimetres.
pub const FARTHEST_MM: u16 = 500;

/// All moves since the show was loaded.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Nudges {
    list: Vec<Home, { cap::NUDGES }>,
    /// Bit i for line i: what it is planned among was moved, and it was not planned since.
    stale: u32,
}

/// A thing that is not in its stored place.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Home {
    piece: Piece,
    /// The stored place: coming back is exact, however many steps it took.
    at: StagePoint,
    dx_mm: i16,
    dy_mm: i16,
}

impl Nudges {
    /// Nothing is moved.
    pub const fn new() -> Self {
        Self { list: Vec::new(), stale: 0 }
    }

    /// Another show is in memory.
    pub fn forget(&mut self) {
        *self = Self::new();
    }

    /// What is moved, and by how much.
    pub fn told(&self) -> link::Nudges {
        let mut list = [None; cap::NUDGES];
        for (slot, home) in list.iter_mut().zip(&self.list) {
            *slot = Some(Nudge { what: home.piece, dx_mm: home.dx_mm, dy_mm: home.dy_mm });
        }
        link::Nudges { list }
    }

    /// Moves a thing on by a step, millimetres towards stage left and upstage. Returns how far it then is from its
    /// stored place.
    ///
    /// # Errors
    /// [`Refusal::NoSuch`]; [`Refusal::TooFar`]; [`Refusal::Full`] when too many other things are moved already.
    pub fn step(&mut self, show: &mut Show, piece: Piece, by_mm: (i16, i16)) -> Result<(i16, i16), Refusal> {
        let known = self.list.iter().find(|home| home.piece == piece).map_or((0, 0), |home| (home.dx_mm, home.dy_mm));
        let to = (i32::from(known.0) + i32::from(by_mm.0), i32::from(known.1) + i32::from(by_mm.1));
        self.set(show, piece, to).map(|(away, _)| away)
    }

    /// Puts a thing where it is this far from its stored place. Returns that again, and true when it was not there.
    ///
    /// # Errors
    /// As [`Nudges::step`].
    pub fn set(&mut self, show: &mut Show, piece: Piece, to: (i32, i32)) -> Result<((i16, i16), bool), Refusal> {
        let place = place(show, piece).ok_or(Refusal::NoSuch)?;
        let away @ (dx_mm, dy_mm) = within_reach(to)?;
        let found = self.list.iter().position(|home| home.piece == piece);
        let known = found.and_then(|i| self.list.get(i)).copied();
        let home = known.unwrap_or(Home { piece, at: place, dx_mm: 0, dy_mm: 0 });
        if (home.dx_mm, home.dy_mm) == away {
            return Ok((away, false));
        }
        self.note(found, Home { dx_mm, dy_mm, ..home })?;
        let to = home.at + StageVector::new(f32::from(dx_mm), f32::from(dy_mm)) * 1e-3;
        self.stale |= put(show, piece, (place, if away == (0, 0) { home.at } else { lone(show, to) }));
        Ok((away, true))
    }

    /// Puts a thing back, or everything.
    pub fn back(&mut self, show: &mut Show, piece: Option<Piece>) {
        while let Some(home) = self.list.iter().rev().find(|home| piece.is_none_or(|one| one == home.piece)).copied() {
            if let Some(place) = place(show, home.piece) {
                self.stale |= put(show, home.piece, (place, home.at));
            }
            self.list.retain(|other| other.piece != home.piece);
        }
    }

    fn note(&mut self, found: Option<usize>, home: Home) -> Result<(), Refusal> {
        match found.and_then(|i| self.list.get_mut(i)) {
            Some(slot) => *slot = home,
            None => {
                let full = Refusal::Full { limit: cap::NUDGES as u32 };
                self.list.push(home).map_err(|_| full)?;
            }
        }
        self.list.retain(|home| (home.dx_mm, home.dy_mm) != (0, 0));
        Ok(())
    }

    /// Takes the first line, of those for which `is_due` holds, that has to be planned anew.
    pub fn take_stale(&mut self, is_due: impl Fn(LineId) -> bool) -> Option<LineId> {
        let due = |i: &u8| self.stale & 1 << i != 0 && is_due(LineId(*i));
        let line = (0..cap::LINES as u8).find(due)?;
        self.stale &= !(1 << line);
        Some(LineId(line))
    }
}

// Every line has its bit.
const _: () = assert!(cap::LINES <= u32::BITS as usize);

fn within_reach((dx, dy): (i32, i32)) -> Result<(i16, i16), Refusal> {
    let away_mm = libm::ceilf(libm::hypotf(dx as f32, dy as f32));
    let too_far = Refusal::TooFar { asked_mm: away_mm as u32, limit_mm: FARTHEST_MM.into() };
    let (Ok(dx_mm), Ok(dy_mm)) = (i16::try_from(dx), i16::try_from(dy)) else { return Err(too_far) };
    // Wide enough for the squares of what a message can say.
    let (x, y, farthest) = (i64::from(dx), i64::from(dy), i64::from(FARTHEST_MM));
    if x * x + y * y > farthest * farthest { Err(too_far) } else { Ok((dx_mm, dy_mm)) }
}

fn place(show: &Show, piece: Piece) -> Option<StagePoint> {
    match piece {
        Piece::Mark(id) => show.marks.get(id.index()).map(|mark| mark.at),
        Piece::Prop(id) => show.props.get(id.index()).map(|prop| prop.at),
    }
}

/// A place where no line has a stop as yet, 0.01 mm on at a time: a stop in the very place of a mark goes with it.
fn lone(show: &Show, mut at: StagePoint) -> StagePoint {
    while is_stop(show, at) {
        at = at + StageVector::new(1e-5, 0.0);
    }
    at
}

/// True where a line has a stop.
pub(super) fn is_stop(show: &Show, at: StagePoint) -> bool {
    show.line_points.iter().any(|point| point.is_stop() && point.at == at)
}

/// Moves a thing with all that belongs to it. Returns the lines that have to be planned anew.
fn put(show: &mut Show, piece: Piece, (from, to): (StagePoint, StagePoint)) -> u32 {
    match piece {
        Piece::Mark(id) => put_mark(show, id, (from, to)),
        Piece::Prop(id) => {
            put_prop(show, id, (to, to - from));
            beside(show, id)
        }
    }
}

/// Moves a mark, and the stops of lines that are in its place.
pub(super) fn put_mark(show: &mut Show, id: MarkId, (from, to): (StagePoint, StagePoint)) -> u32 {
    let Some(mark) = show.marks.get_mut(id.index()) else { return 0 };
    mark.at = to;
    let mut stale = 0;
    for (i, line) in show.lines.iter().enumerate() {
        let points = show.line_points.get_mut(indices(line.points)).unwrap_or_default();
        let stops = points.iter_mut().filter(|point| point.is_stop() && point.at == from);
        let moved = stops.map(|stop| stop.at = to).count();
        stale |= u32::from(moved > 0 && line.planned) << i;
    }
    stale
}

/// Moves a prop with all its motions.
fn put_prop(show: &mut Show, id: PropId, (to, by): (StagePoint, StageVector)) {
    let Some(prop) = show.props.get_mut(id.index()) else { return };
    prop.at = to;
    for motion in show.motions.iter_mut().filter(|motion| motion.prop == id) {
        match &mut motion.kind {
            MotionKind::Keys { keys, .. } => {
                let keys = show.motion_keys.get_mut(indices(*keys)).unwrap_or_default();
                keys.iter_mut().for_each(|key| key.place = key.place + by);
            }
            MotionKind::Circle { centre, .. } => *centre = *centre + by,
            MotionKind::Pendulum { pivot, .. } => *pivot = *pivot + by,
            MotionKind::Grow { .. } | MotionKind::Presence => {}
        }
    }
}

/// The planned lines of all cues that have a prop.
fn beside(show: &Show, prop: PropId) -> u32 {
    let with = show.cues.iter().filter(|cue| show.props_in(cue).iter().any(|state| state.prop == prop));
    let lines = with.flat_map(|cue| show.places_in(cue)).filter_map(|place| place.line);
    let planned = |line: &LineId| show.lines.get(line.index()).is_some_and(|line| line.planned);
    lines.filter(planned).fold(0, |bits, line| bits | 1 << line.0)
}

fn indices(run: Run) -> core::ops::Range<usize> {
    usize::from(run.first)..usize::from(run.first) + usize::from(run.len)
}
