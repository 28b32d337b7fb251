//! What the plan says of a place in the cue on the floor, for whoever asks over the link.

use crate::engine::State;
use crate::link::{PlaceClass, Refusal, Spoken, What};
use crate::occupancy::{Cause, Cell, CellClass, class_of};
use crate::props::Limit;
use crate::show::Show;
use crate::units::Instant;

/// What the plan says of a place, millimetres on the stage, `now`.
///
/// # Errors
/// [`Refusal::NoShow`], [`Refusal::NoCue`] in OFF, [`Refusal::BadShape`].
pub fn said(show: &Show, state: &State, now: Instant, (x_mm, y_mm): (i32, i32)) -> Result<Spoken, Refusal> {
    if show.cues.is_empty() {
        return Err(Refusal::NoShow);
    }
    let id = state.shown().ok_or(Refusal::NoCue)?;
    let cue = show.cues.get(id.index()).ok_or(Refusal::NoCue)?;
    let after_ms = u32::try_from(now.since(state.since).as_millis()).unwrap_or(u32::MAX);
    let found = class_of(show, cue, after_ms as f32 / 1000.0, &Cell::place_mm(x_mm, y_mm));
    let found = found.map_err(|_| Refusal::BadShape)?;
    Ok(Spoken { cue: id, after_ms, class: class(found.class), what: what(found.cause) })
}

/// A class of the map as the link names it.
pub const fn class(class: CellClass) -> PlaceClass {
    match class {
        CellClass::Free => PlaceClass::Free,
        CellClass::Contact => PlaceClass::Contact,
        CellClass::Body => PlaceClass::Body,
        CellClass::Overhead => PlaceClass::Overhead,
        CellClass::SweptSoon => PlaceClass::SweptSoon,
        CellClass::Physical => PlaceClass::Physical,
        CellClass::Edge => PlaceClass::Edge,
        CellClass::Dead => PlaceClass::Dead,
    }
}

/// A cause of the map as the link names it.
pub const fn what(cause: Option<Cause>) -> What {
    match cause {
        None => What::Nothing,
        Some(Cause::Limit(Limit::Part { prop, part })) => What::Part { prop, part },
        Some(Cause::Limit(Limit::Physical(i))) => What::Physical(i),
        Some(Cause::Limit(Limit::Edge(i))) => What::Side(i),
        Some(Cause::Limit(Limit::OffFloor)) => What::OffFloor,
        Some(Cause::Tile(i)) => What::Panel(i),
    }
}
