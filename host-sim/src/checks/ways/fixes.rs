//! What keeps a moving prop and a person apart, tried before it is named.

use super::going::{Going, everybody};
use super::meets::{Encounter, meets_none, outcome};
use crate::checks::board::Board;
use crate::checks::change::Change;
use crate::checks::clear::Room;
use crate::checks::near::{move_words, nearest_place};

/// Longest delay that is tried, seconds, and the step in which delays grow.
const DELAYS: (u8, f32) = (40, 0.5);

/// The smallest change that helps, in words.
pub(super) fn words(board: &Board<'_>, encounter: &Encounter<'_>) -> String {
    let found = if encounter.going.walks() {
        wait(board, encounter).or_else(|| later(board, encounter))
    } else {
        mark(board, encounter)
    };
    let name = board.prop_name(encounter.state.prop);
    found.unwrap_or_else(|| match encounter.going.walks() {
        true => format!("none found: tried to start either later; let the person go first, or lead {name} elsewhere"),
        false => format!("none found: tried the mark up to 3 m away; let the person leave before {name} moves"),
    })
}

/// The mark elsewhere: clear of everything in all cues that use it.
fn mark(board: &Board<'_>, encounter: &Encounter<'_>) -> Option<String> {
    let id = encounter.going.stand.mark?;
    let from = board.show().marks.get(id.index())?;
    let room = Room::of(board, id);
    let to = nearest_place(from.at, |p| room.is_clear(p))?;
    let changed = board.with(&Change::Mark { mark: id, to })?;
    is_clear(&Board::new(&changed), board, encounter).then(|| move_words(&from.name, from.at, to))
}

/// A later start of the person, with all moving props of the cue.
fn wait(board: &Board<'_>, encounter: &Encounter<'_>) -> Option<String> {
    let going = encounter.going;
    let wait_s = delays().find(|wait_s| {
        let waits = Going { start_s: going.start_s + wait_s, ..going.clone() };
        let in_time = waits.needed_mps(board).is_none_or(|mps| mps <= board.fastest_mps(going.stand.person));
        in_time && meets_none(board, &waits)
    })?;
    Some(format!("let {} start {wait_s:.1} s later", board.person_name(going.stand.person)))
}

/// A later move of the prop, with everybody of the cue.
fn later(board: &Board<'_>, encounter: &Encounter<'_>) -> Option<String> {
    let prop = encounter.state.prop;
    let by_s = delays().find(|&by_s| {
        let changed = board.with(&Change::Later { cue: encounter.cue, prop, by_s });
        changed.is_some_and(|changed| is_clear(&Board::new(&changed), board, encounter))
    })?;
    Some(format!("let {} move {by_s:.1} s later", board.prop_name(prop)))
}

/// True when the prop comes too near to none of the cue's people to whom it kept its distance before, and to the one
/// of the encounter, on the changed stage.
fn is_clear(changed: &Board<'_>, board: &Board<'_>, encounter: &Encounter<'_>) -> bool {
    let Some(cast) = changed.cast.get(encounter.cue) else { return false };
    let there = cast.props.iter().find(|t| t.prop == encounter.state.prop);
    let Some(state) = there.and_then(|t| changed.show().cue_props.get(t.index)) else { return false };
    let clear = |board: &Board<'_>, going: &Going| {
        let encounter = Encounter { cue: encounter.cue, state, going };
        outcome(board, &encounter).is_none_or(|o| o.is_clear(board, going))
    };
    let before = everybody(board, encounter.cue);
    everybody(changed, encounter.cue).iter().zip(&before).all(|(now, was)| {
        let is_meant = now.stand.person == encounter.going.stand.person;
        clear(changed, now) || !is_meant && !clear(board, was)
    })
}

fn delays() -> impl Iterator<Item = f32> {
    let (steps, step_s) = DELAYS;
    (1..=steps).map(move |i| f32::from(i) * step_s)
}
