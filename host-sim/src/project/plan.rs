//! Plans the walk lines that ask for it when the show is loaded: one line for all cues that use it.
//!
//! The core finds the way and knows among what and for whom; what is here says what bars it where there is none.

use underfoot_core::limits;
use underfoot_core::show::{Cue, CueId, LineId, LinePoint, PersonClass, Show};
use underfoot_core::walk::replan::{cues_with, most_demanding, walkers};
use underfoot_core::walk::{PlanRoom, WalkError};

use super::model::{LineWish, NoWayAt};

/// The shortest way through the stops of `line` (its sharp points, in their order) that keeps clear of what all
/// cues that use the line have on the floor.
///
/// `wish` adds the person whom the file names, who counts even where no cue sends that person along the line. The
/// corridor is the line's own. A show that was changed since it was loaded is planned as it is now.
///
/// # Errors
/// [`NoWayAt`], with the cues whose props bar the way: as few as are enough.
pub fn plan_line(show: &Show, line: LineId, wish: &LineWish) -> Result<Vec<LinePoint>, NoWayAt> {
    if show.lines.get(line.index()).is_none() {
        return Ok(Vec::new());
    }
    let class = most_demanding(walkers(show, line, wish.person));
    let cues: Vec<CueId> = cues_with(show, line).map(|(i, _)| CueId(i as u8)).collect();
    let among = |ids: &[CueId]| {
        let cues: Vec<&Cue> = ids.iter().filter_map(|id| show.cues.get(id.index())).collect();
        route(show, line, &class, &cues)
    };
    among(&cues).map_err(|error| {
        // What bars the way by itself says more than all cues together: what always stands there, or one cue.
        let fewest = std::iter::once(Vec::new()).chain(cues.iter().map(|&cue| vec![cue]));
        let fewer = fewest.filter(|few| few.len() < cues.len());
        let enough = fewer.map(|few| (among(&few).err(), few)).find_map(|(error, few)| Some((few, error?)));
        let (cues, error) = enough.unwrap_or((cues, error));
        NoWayAt { line, cues, error }
    })
}

/// The width of the corridor of a planned line: as the file says, or as wide as the widest of those who walk it needs.
pub(super) fn corridor_m(show: &Show, line: LineId, wish: &LineWish) -> Option<f32> {
    let widths = walkers(show, line, wish.person).map(|class| class.walk_width_m);
    wish.corridor_m.or(widths.reduce(f32::max))
}

/// The way among what all `cues` together have on the floor; furniture and edges alone without any.
fn route(show: &Show, line: LineId, class: &PersonClass, cues: &[&Cue]) -> Result<Vec<LinePoint>, WalkError> {
    let mut room = Box::<PlanRoom<{ limits::WALK_OBSTACLES }>>::default();
    room.plan(show, line, class, cues.iter().copied())?;
    Ok(room.points.to_vec())
}
