//! Planned walk lines as the rig is asked for them, and the same question on any host.

use heapless::Vec;
use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::limits;
use underfoot_core::props::{Limit, Standing};
use underfoot_core::show::{Cue, LineId, LinePoint, Show};
use underfoot_core::walk::{NoWay, Path, PlanWork, Route, Terrain, WalkError, shortest};
use underfoot_core::zones::Bound;

use super::zone::bound_bytes;

/// Things that a walker goes round, and points of a planned line, as many as the rig has room for.
const THINGS: usize = 64;
const POINTS: usize = limits::LINE_POINTS;

/// Bytes of a question.
pub const ASK_BYTES: usize = 11;
/// Bytes of the longest answer.
pub const ANSWER_BYTES: usize = 16 + 12 * POINTS;
/// Stands for no prop in a question.
pub const NO_PROP: u8 = u8::MAX;

/// A line of the show in a cue, with one prop moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WalkAsk {
    /// The cue.
    pub cue: u8,
    /// The line: its stops are gone between, whether it was drawn or planned.
    pub line: u8,
    /// The prop that is moved from its resting place, or [`NO_PROP`].
    pub prop: u8,
    /// By how much, metres.
    pub nudge: StageVector,
}

impl WalkAsk {
    /// Cue, line, prop, and the bits of the way it is moved.
    pub fn to_bytes(&self) -> [u8; ASK_BYTES] {
        let ([x0, x1, x2, x3], [y0, y1, y2, y3]) = (self.nudge.x.to_le_bytes(), self.nudge.y.to_le_bytes());
        [self.cue, self.line, self.prop, x0, x1, x2, x3, y0, y1, y2, y3]
    }

    /// The question in these bytes.
    pub fn from_bytes(bytes: &[u8; ASK_BYTES]) -> Self {
        let [cue, line, prop, x0, x1, x2, x3, y0, y1, y2, y3] = *bytes;
        let nudge = StageVector::new(f32::from_le_bytes([x0, x1, x2, x3]), f32::from_le_bytes([y0, y1, y2, y3]));
        Self { cue, line, prop, nudge }
    }
}

/// Room for a planned line.
#[derive(Clone, Debug)]
pub struct WalkRoom {
    terrain: Terrain<THINGS>,
    work: PlanWork,
    points: Vec<LinePoint, POINTS>,
}

impl Default for WalkRoom {
    fn default() -> Self {
        Self::new()
    }
}

impl WalkRoom {
    /// Empty room.
    pub const fn new() -> Self {
        Self { terrain: Terrain::vacant(), work: PlanWork::new(), points: Vec::new() }
    }

    /// Plans a line and gives its answer to `write`, byte for byte. The show is the same afterwards.
    ///
    /// The answer begins with its kind. 0: there is no such question. 1, a route: the number of its points, the bits of
    /// its length, of the least room to spare and what limits it (both zero for nothing near), then of every point the
    /// bits of x, y and the corner's radius. 2, no way: the leg, the two things between which the gap is too narrow,
    /// the bits of the narrowest place and of what is missing. 3, a stop that cannot be stood on: which, what limits
    /// it, the bits of what is missing. 4: anything else. Numbers but the kind, the leg and the stop are 32 bits,
    /// little-endian; limits are as in [`bound_bytes`].
    pub fn answer(&mut self, show: &mut Show, ask: WalkAsk, write: &mut impl FnMut(&[u8])) {
        let rests = show.props.get(usize::from(ask.prop)).map(|prop| prop.at);
        put(show, ask.prop, rests.map(|at| at + ask.nudge));
        let planned = self.plan(show, ask);
        put(show, ask.prop, rests);
        match planned {
            None => write(&[0]),
            Some(Ok(route)) => self.write_route(&route, write),
            Some(Err(error)) => write_error(&error, write),
        }
    }

    fn plan(&mut self, show: &Show, ask: WalkAsk) -> Option<Result<Route, WalkError>> {
        let cue = show.cues.get(usize::from(ask.cue))?;
        let line = show.lines.get(usize::from(ask.line))?;
        let walks = |line: LineId| line.index() == usize::from(ask.line);
        let class = walker(show, cue, walks)?;
        let stops: Vec<StagePoint, POINTS> = Path::new(show.points_of(line)).stops().collect();
        self.points.clear();
        let set = self.terrain.set(show, cue, show.classes.get(class)?, line.corridor_m);
        Some(set.and_then(|()| shortest(&self.terrain, &stops, &mut self.work, &mut self.points)))
    }

    fn write_route(&self, route: &Route, write: &mut impl FnMut(&[u8])) {
        write(&[1]);
        write(&(self.points.len() as u32).to_le_bytes());
        write(&route.length_m.to_bits().to_le_bytes());
        let (margin_m, limit) =
            route.least.map_or((0.0, [0; 4]), |Standing { limit, margin_m }| (margin_m, bytes(limit)));
        write(&margin_m.to_bits().to_le_bytes());
        write(&limit);
        for LinePoint { at, bend_m } in &self.points {
            [at.x, at.y, *bend_m].iter().for_each(|number| write(&number.to_bits().to_le_bytes()));
        }
    }
}

/// The class of who walks a line in a cue, or else of the show's first person.
fn walker(show: &Show, cue: &Cue, walks: impl Fn(LineId) -> bool) -> Option<usize> {
    let place = show.places_in(cue).iter().find(|place| place.line.is_some_and(&walks));
    let person = place.map_or(0, |place| place.person.index());
    show.people.get(person).map(|person| person.class.index())
}

fn put(show: &mut Show, prop: u8, at: Option<StagePoint>) {
    if let (Some(prop), Some(at)) = (show.props.get_mut(usize::from(prop)), at) {
        prop.at = at;
    }
}

fn bytes(limit: Limit) -> [u8; 4] {
    bound_bytes(&Bound::Limit(limit))
}

fn write_error(error: &WalkError, write: &mut impl FnMut(&[u8])) {
    match *error {
        WalkError::NoWay(NoWay { leg, at, between: [one, other], missing_m }) => {
            write(&[2, leg]);
            write(&bytes(one));
            write(&bytes(other));
            [at.x, at.y, missing_m].into_iter().for_each(|value| write(&value.to_bits().to_le_bytes()));
        }
        WalkError::Stop { stop, limit, missing_m } => {
            write(&[3, stop]);
            write(&bytes(limit));
            write(&missing_m.to_bits().to_le_bytes());
        }
        _ => write(&[4]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_question_comes_back_equal() {
        let ask = WalkAsk { cue: 3, line: 1, prop: NO_PROP, nudge: StageVector::new(0.25, -1.5) };
        assert_eq!(WalkAsk::from_bytes(&ask.to_bytes()), ask);
    }
}
