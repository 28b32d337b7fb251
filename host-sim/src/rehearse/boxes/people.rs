//! Where people are while the show runs: where the plan has them, or where somebody put them.

use std::collections::BTreeMap;

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{CueId, PersonId};

use crate::checks::whereabouts;
use crate::project::Project;
use crate::rehearse::plan::people::has_left;

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

/// Everybody a cue and seconds into it, as the plan shows them; only those who were put somewhere without a cue.
pub(super) fn placed(project: &Project, cue: Option<(CueId, f32)>, elsewhere: &Elsewhere) -> Vec<Placed> {
    let planned = cue.map_or(Vec::new(), |(id, t_s)| whereabouts(project, id.index(), t_s));
    let there = planned.iter().filter(|person| !has_left(person));
    let mut all: BTreeMap<u8, StagePoint> = there.map(|person| (person.place.person.0, person.at)).collect();
    all.extend(elsewhere);
    all.into_iter().map(|(person, at)| Placed { person: PersonId(person), at }).collect()
}
