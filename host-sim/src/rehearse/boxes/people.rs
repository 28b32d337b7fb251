//! Where people are while the show runs: where the plan has them, or where somebody put them.

use std::collections::BTreeMap;

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{CueId, CuePlace, PersonId, Show};
use underfoot_core::walk::{Path, Schedule, Timing};

/// Somebody on the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Placed {
    /// Who.
    pub(super) person: PersonId,
    /// Where.
    pub(super) at: StagePoint,
}

/// Who stands elsewhere than the plan has them.
pub(super) type Elsewhere = BTreeMap<u8, StagePoint>;

/// Everybody `t_s` seconds into a cue.
pub(super) fn placed(show: &Show, cue: Option<CueId>, t_s: f32, elsewhere: &Elsewhere) -> Vec<Placed> {
    let places = cue.and_then(|id| show.cues.get(id.index())).map_or(&[][..], |cue| show.places_in(cue));
    let mut all: BTreeMap<u8, StagePoint> =
        places.iter().filter_map(|place| Some((place.person.0, planned(show, place, t_s)?))).collect();
    all.extend(elsewhere);
    all.into_iter().map(|(person, at)| Placed { person: PersonId(person), at }).collect()
}

/// Where the plan has somebody: on the way, then on the mark.
fn planned(show: &Show, place: &CuePlace, t_s: f32) -> Option<StagePoint> {
    let mark = place.mark.and_then(|id| show.marks.get(id.index())).map(|mark| mark.at);
    let Some(line) = place.line.and_then(|id| show.lines.get(id.index())) else { return mark };
    let class = show.classes.get(show.people.get(place.person.index())?.class.index())?;
    let schedule = Schedule::of(Path::new(show.points_of(line)), show, Timing::of(class));
    if t_s >= schedule.arrives_s() { mark } else { Some(schedule.place_at(t_s).at) }
}
