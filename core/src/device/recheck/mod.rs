//! What a show that was changed by hand makes of its cues: room to stand and room to walk.
//!
//! The same sums as the desk's, cue by cue: people on their marks against the floor, its edges and walls, furniture,
//! each other and props at rest; their ways against props at rest, furniture, raised sides and the floor's edges. Not
//! here: what moves while somebody walks, people who pass each other, pictures, wheelchairs that turn.

mod stand;
mod way;

use self::stand::Against;
use crate::link::{Need, Short, What};
use crate::props::reach::HARD_M;
use crate::props::{Level, Limit, Placement, Reach, life, motion, sweep};
use crate::show::{Cue, CueId, CuePlace, CueProp, LineId, LinePoint, Mark, MarkId, Part, PersonClass, Show};
use crate::walk::replan::{cues_with, most_demanding, walkers};
use crate::walk::{NoWay, PlanRoom, WalkError};

/// Things that the box plans a line among, and looks for beside one.
pub const THINGS: usize = 128;
/// The memory of a re-check, lent by the painter. It holds nothing between two.
pub type Room = PlanRoom<THINGS>;

/// One figure and its limit, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The cue.
    pub cue: CueId,
    /// What needs the room.
    pub need: Need,
    /// What takes it.
    pub by: What,
    /// What there is.
    pub have_m: f32,
    /// What there has to be.
    pub least_m: f32,
    /// False when it is missed, by more than rounding.
    pub holds: bool,
}

/// Who is told every figure.
type Tell<'t> = &'t mut dyn FnMut(Measured);

/// What was found in all cues that were looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Found {
    /// Things that were measured.
    pub checked: u16,
    /// Those that miss their limit.
    pub short: u16,
    /// The one that misses it most.
    pub worst: Option<Measured>,
}

impl Found {
    /// Counts a figure.
    pub fn count(&mut self, one: Measured) {
        self.checked = self.checked.saturating_add(1);
        if one.holds {
            return;
        }
        self.short = self.short.saturating_add(1);
        let miss_m = |one: Measured| one.least_m - one.have_m;
        if self.worst.is_none_or(|worst| miss_m(one) > miss_m(worst)) {
            self.worst = Some(one);
        }
    }

    /// The one that misses its limit most, as the link tells it. Rounded down: what is missing never looks kept.
    pub fn told(&self) -> Option<Short> {
        let mm = |m: f32| libm::floorf((m * 1000.0).clamp(-1e6, 1e6)) as i32;
        self.worst.map(|Measured { cue, need, by, have_m, least_m, .. }| Short {
            cue,
            need,
            by,
            have_mm: mm(have_m),
            least_mm: mm(least_m + 5e-4),
        })
    }
}

/// A figure that has to be at least as large as its limit, metres.
#[derive(Clone, Copy, Debug, Default)]
struct Figure {
    have_m: f32,
    least_m: f32,
    /// So much less is rounding.
    slack_m: f32,
}

/// One cue of a show that is looked at.
struct Asked<'s> {
    show: &'s Show,
    id: CueId,
    cue: &'s Cue,
}

/// Looks at one cue and tells every figure.
pub fn check(show: &Show, id: CueId, room: &mut Room, tell: Tell<'_>) {
    let Some(cue) = show.cues.get(id.index()) else { return };
    let asked = Asked { show, id, cue };
    for place in show.places_in(cue) {
        stand::check(&asked, place, Against::Before, tell);
        if let Some(way) = asked.lay(place, room) {
            way::check(&asked, place, way, room, tell);
        }
    }
}

/// Looks at everybody of a cue who stands on a mark, or comes to it or from it; planned lines as they would be planned now.
pub fn check_mark(show: &Show, id: CueId, mark: MarkId, room: &mut Room, tell: Tell<'_>) {
    let (Some(cue), Some(at)) = (show.cues.get(id.index()), show.marks.get(mark.index()).map(|mark| mark.at)) else {
        return;
    };
    let asked = Asked { show, id, cue };
    for place in show.places_in(cue) {
        if place.mark == Some(mark) {
            stand::check(&asked, place, Against::Everybody, tell);
        }
        let Some(way) = asked.lay(place, room).filter(|_| room.points.iter().any(|point| point.at == at)) else {
            continue;
        };
        match place.line.filter(|_| way.is_planned).map(|line| plan(show, line, room)) {
            Some(Err(error)) => tell(no_way(id, way.need, &error)),
            Some(Ok(())) | None => way::check(&asked, place, way, room, tell),
        }
    }
}

/// Plans a line anew into [`Room::points`].
///
/// # Errors
/// [`WalkError`].
pub fn plan(show: &Show, line: LineId, room: &mut Room) -> Result<(), WalkError> {
    let class = most_demanding(walkers(show, line, None));
    room.plan(show, line, &class, cues_with(show, line).map(|(_, cue)| cue)).map(|_| ())
}

/// What is missing where a line could not be planned.
pub fn no_way(cue: CueId, need: Need, error: &WalkError) -> Measured {
    let (by, missing_m) = match *error {
        WalkError::NoWay(NoWay { between: [one, _], missing_m, .. }) => (what(one), missing_m),
        WalkError::Stop { limit, missing_m, .. } => (what(limit), missing_m),
        _ => (What::Nothing, 0.0),
    };
    // Where a millimetre would open a way, there is still none.
    Measured { cue, need, by, have_m: -missing_m.max(1e-3), least_m: 0.0, holds: false }
}

/// Somebody's way in a cue, whose points are laid out in the room.
#[derive(Clone, Copy)]
struct Way {
    need: Need,
    /// A line leads there.
    is_line: bool,
    is_planned: bool,
}

impl<'s> Asked<'s> {
    fn measure(&self, tell: Tell<'_>, (need, by): (Need, What), Figure { have_m, least_m, slack_m }: Figure) {
        tell(Measured { cue: self.id, need, by, have_m, least_m, holds: have_m >= least_m - slack_m });
    }

    /// Lays the points of somebody's way out in the room: a line's, or those of the straight way from the last mark.
    fn lay(&self, place: &CuePlace, room: &mut Room) -> Option<Way> {
        let show = self.show;
        room.points.clear();
        if let Some((id, line)) = place.line.and_then(|id| show.lines.get(id.index()).map(|line| (id, line))) {
            room.points.extend_from_slice(show.points_of(line)).ok()?;
            return Some(Way { need: Need::Walk(id.0), is_line: true, is_planned: line.planned });
        }
        let to = place.mark?;
        let (from, end) = (self.before(place)?.at, show.marks.get(to.index())?.at);
        if from == end {
            return None;
        }
        room.points.extend([from, end].map(LinePoint::sharp));
        Some(Way { need: Need::Way(to), is_line: false, is_planned: false })
    }

    /// The mark on which somebody was in the cue before.
    fn before(&self, place: &CuePlace) -> Option<&'s Mark> {
        let cue = self.show.cues.get(self.id.index().checked_sub(1)?)?;
        let was = self.show.places_in(cue).iter().rfind(|was| was.person == place.person)?;
        self.show.marks.get(was.mark?.index())
    }

    fn hard_m(&self) -> f32 {
        HARD_M + self.show.survey_allowance_m
    }

    fn class_of(&self, place: &CuePlace) -> Option<&PersonClass> {
        let person = self.show.people.get(place.person.index())?;
        self.show.classes.get(person.class.index())
    }

    /// From the person's place to the body's edge, metres.
    fn body_m(&self, place: &CuePlace) -> f32 {
        self.class_of(place).map_or(BODY_M, |class| Reach::of(self.show, class, Level::Hard).body_m)
    }

    /// Calls `each` with the parts, of props at rest in this cue, that bodies could meet, each with its place and index.
    fn still_parts(&self, state: &CueProp, each: &mut impl FnMut(u8, &Part, &Placement)) {
        let Some(placement) = rests(self.show, self.cue, state) else { return };
        let Some(prop) = self.show.props.get(state.prop.index()) else { return };
        let parts = (0..).zip(self.show.parts_of(prop));
        parts.filter(|(_, part)| part.meets_bodies()).for_each(|(i, part)| each(i, part, &placement));
    }
}

/// Body radius of somebody without a class, metres (common practice).
const BODY_M: f32 = 0.25;

/// Where a prop stands still in a cue, at last or all along; `None` for what never does, or is gone by then.
fn rests(show: &Show, cue: &Cue, state: &CueProp) -> Option<Placement> {
    let always = motion::period_s(show, state).is_some();
    let goes = life::gone_after_s(show, state).is_finite();
    let never = sweep::travels(show, cue, state, (0.0, f32::INFINITY)) && (always || goes);
    Placement::after(show, cue, state.prop).filter(|_| !never)
}

const fn what(limit: Limit) -> What {
    super::place::what(Some(crate::occupancy::Cause::Limit(limit)))
}
