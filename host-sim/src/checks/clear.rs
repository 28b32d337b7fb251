//! Where a mark may go: clear of every prop of every cue that uses it, at rest and on its way.

use underfoot_core::geom::{Region, StagePoint};
use underfoot_core::props::reach::MOVING_M;
use underfoot_core::props::sweep;
use underfoot_core::show::{MarkId, PersonId};

use super::board::{Board, distance};
use super::cast::{Cast, There};

/// What a mark has to keep clear of wherever it goes.
pub(super) struct Room<'b> {
    board: &'b Board<'b>,
    mark: MarkId,
    uses: Vec<Use>,
}

/// One person on the mark in one cue.
struct Use {
    person: PersonId,
    /// What stands still there, and what moving props pass over.
    still: Vec<Region>,
    swept: Vec<Region>,
    /// Beyond the body's edge, metres.
    still_m: f32,
    swept_m: f32,
}

impl<'b> Room<'b> {
    /// The room of one mark over all cues that use it.
    pub(super) fn of(board: &'b Board<'b>, mark: MarkId) -> Self {
        let casts = board.cast.iter().enumerate();
        let uses = casts.flat_map(|(cue, cast)| {
            let people = cast.people.iter().filter(|s| s.mark == Some(mark));
            people.map(move |stand| Use::of(board, (cue, cast), stand.person))
        });
        Self { board, mark, uses: uses.collect() }
    }

    /// True where the mark is on the floor, off its bands, clear of every prop and of other people.
    pub(super) fn is_clear(&self, p: StagePoint) -> bool {
        let board = self.board;
        board.is_inner(p) && board.far_from_others(self.mark, p) && self.uses.iter().all(|u| u.is_clear(board, p))
    }
}

impl Use {
    fn of(board: &Board<'_>, (cue, cast): (usize, &Cast), person: PersonId) -> Self {
        let still = cast.props.iter().filter_map(|t| Some(board.regions(t.prop, t.rests_at()?))).flatten().collect();
        let moving = cast.props.iter().filter(|t| t.moves());
        let swept = moving.flat_map(|t| swept(board, cue, t)).collect();
        Self { person, still, swept, still_m: board.hard_m(), swept_m: MOVING_M + board.allowance_m() }
    }

    fn is_clear(&self, board: &Board<'_>, p: StagePoint) -> bool {
        let chair = board.class_of(self.person).and_then(|c| c.chair_m);
        // Whatever way the chair faces.
        let reach_m = chair.map_or(board.radius_m(self.person), |(w, l)| 0.5 * (w * w + l * l).sqrt());
        distance(&self.still, p) - reach_m >= self.still_m && distance(&self.swept, p) - reach_m >= self.swept_m
    }
}

/// What the parts of a moving prop that bodies could meet pass over in a cue.
fn swept(board: &Board<'_>, cue: usize, there: &There) -> Vec<Region> {
    let (show, mut regions) = (board.show(), Vec::new());
    let (Some(cue), Some(state)) = (show.cues.get(cue), show.cue_props.get(there.index)) else { return regions };
    let parts = show.props.get(there.prop.index()).map(|p| show.parts_of(p)).unwrap_or_default();
    for (i, _) in (0u8..).zip(parts).filter(|(_, p)| p.meets_bodies()) {
        // A part whose shape cannot be used has been refused when the show was loaded.
        let _ = sweep(show, cue, state, i, (0.0, f32::INFINITY), None, &mut |region| regions.push(region));
    }
    regions
}
