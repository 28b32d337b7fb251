//! Where the plan has everybody at a moment of a cue: as fast as they walk by themselves, or as the cue's time asks.

use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::show::{CuePlace, MarkId};
use underfoot_core::walk::{Walker, Way};

use super::going::{Going, everybody};
use crate::checks::board::Board;
use crate::project::Project;

/// One person at a moment of a cue.
#[derive(Clone, Debug, PartialEq)]
pub struct Whereabouts {
    /// Who, to which mark, on which line.
    pub place: CuePlace,
    /// The mark of the cue before.
    pub from: Option<MarkId>,
    /// Midpoint between the heels, or the seat's centre.
    pub at: StagePoint,
    /// Where on the way.
    pub step: Step,
    /// "line A-C", "the straight way A to C"; "mark C" for who stands all through the cue.
    pub way_name: String,
}

/// How far somebody has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Was called and has not gone yet; the first step will go this way, a unit vector.
    Waits(StageVector),
    /// Goes this way, a unit vector; stands on the way for a turn, too.
    Walks(StageVector),
    /// Is at the end.
    Rests,
}

/// Where everybody of cue `cue` is `t_s` seconds after it began; whoever has left the floor rests at the end of the way.
pub fn whereabouts(project: &Project, cue: usize, t_s: f32) -> Vec<Whereabouts> {
    let board = Board::new(project);
    everybody(&board, cue).iter().map(|going| of(&board, going, t_s)).collect()
}

/// When everybody of cue `cue` has arrived, seconds after it began.
pub fn all_there_s(project: &Project, cue: usize) -> f32 {
    let board = Board::new(project);
    everybody(&board, cue).iter().map(|going| going.ends_s(&board)).fold(0.0, f32::max)
}

fn of(board: &Board<'_>, going: &Going, t_s: f32) -> Whereabouts {
    let (walker, stand) = (going.walker(board), going.stand);
    let place = CuePlace { person: stand.person, mark: stand.mark, line: stand.line };
    let rests = t_s >= walker.rests_s();
    let mark = stand.mark.and_then(|m| board.show().marks.get(m.index()));
    let at = mark.filter(|_| rests).map_or_else(|| walker.place_at(t_s), |mark| mark.at);
    let step = if rests { Step::Rests } else { step(&walker, going, t_s) };
    Whereabouts { place, from: stand.from, at, step, way_name: going.way_name().to_owned() }
}

fn step(walker: &Walker<'_>, going: &Going, t_s: f32) -> Step {
    match walker.way {
        Way::Stands(_) => Step::Rests,
        Way::Evenly { from, to, .. } => Step::Walks((to - from).unit().unwrap_or_default()),
        Way::Along(schedule) if t_s < schedule.timing().start_s => Step::Waits(going.path().at(0.0).way),
        Way::Along(schedule) => Step::Walks(schedule.place_at(t_s).way),
    }
}
