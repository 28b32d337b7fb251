//! The change that puts a fault right: tried on the show, and named only when the changed show has the fault no more
//! and no other instead.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{Layer, PropId};

use super::desk::Desk;
use super::fault::{Fault, Kind};
use super::{reframe, walls};
use crate::checks::change::Change;
use crate::checks::near::move_words;

/// A mark that goes no farther than this is a smaller change than a prop in two layers, metres.
const STEP_M: f32 = 0.75;

/// What to do about a fault, in words: what changes least first, and a second way where the first is much to ask.
pub(super) fn words(desk: &Desk<'_, '_>, fault: &Fault) -> String {
    let ways: &[Way] = match fault.kind {
        Kind::Painted(_) => &[layer, near, layer_once, mark, matte, leave],
        Kind::InFront(_) => &[layer, near, layer_once, mark, leave],
        Kind::Hidden(_) => &[mark, leave],
        Kind::Cut(_) => &[reframe::words, mark],
        Kind::OffWall => &[mark, walls::words],
    };
    let mut found = ways.iter().filter_map(|way| way(desk, fault));
    let Some(first) = found.next() else { return nothing(desk, fault) };
    // A layer and a lens are a setting; a mark or a wall is work for many.
    let is_setting = matches!(fault.kind, Kind::Cut(_)) || first.starts_with("put ");
    match found.find(|second| *second != first).filter(|_| !is_setting) {
        Some(second) => format!("{first}, or {second}"),
        None => first,
    }
}

/// One way to put a fault right, in words; `None` when it does not.
pub(super) type Way = fn(&Desk<'_, '_>, &Fault) -> Option<String>;

/// Says what was tried in vain.
fn nothing(desk: &Desk<'_, '_>, fault: &Fault) -> String {
    let mark = desk.mark_name(fault.pair.mark);
    let also = match fault.kind {
        Kind::Painted(_) | Kind::InFront(_) => ", its layer, and the cue without it",
        Kind::Hidden(_) => " and the cue without it",
        Kind::Cut(_) => ", the look point and shorter lenses",
        Kind::OffWall => " and walls that are higher, longer or turn the corner",
    };
    format!("none found: tried mark {mark} up to 1.50 m away{also}")
}

/// The parts of a prop that share the name of the one at fault, and whether that is all of them.
fn alike(desk: &Desk<'_, '_>, (prop, part): (PropId, u8)) -> (Vec<u8>, bool) {
    let count = desk.board.show().props.get(prop.index()).map_or(0, |p| p.parts.len as u8);
    let Some(name) = desk.named_part((prop, part)) else { return ((0..count).collect(), true) };
    let names = desk.part_names(prop);
    ((0..count).filter(|&i| names.get(usize::from(i)).is_some_and(|n| n == name)).collect(), false)
}

/// Into the screen layer what is farther than everyone, into the overlay what is nearer than everyone.
fn layer(desk: &Desk<'_, '_>, fault: &Fault) -> Option<String> {
    layer_in(desk, fault, None)
}

/// The same in this cue only: graphics needs a second prop for it.
fn layer_once(desk: &Desk<'_, '_>, fault: &Fault) -> Option<String> {
    layer_in(desk, fault, Some(fault.pair.cue))
}

fn layer_in(desk: &Desk<'_, '_>, fault: &Fault, cue: Option<usize>) -> Option<String> {
    let part = fault.kind.part()?;
    let to = if matches!(fault.kind, Kind::Painted(_)) { Layer::Screen } else { Layer::Overlay };
    if to == Layer::Screen && desk.board.show().walls.is_empty() {
        // There is nothing behind anyone to show it on.
        return None;
    }
    let (parts, all) = alike(desk, part);
    if !desk.trials.helps(&Change::Layer { prop: part.0, parts, layer: to, cue }, fault) {
        return None;
    }
    let name = if all { desk.board.prop_name(part.0) } else { format!("the {}", desk.part_words(part)) };
    let when = if cue.is_some() { ", in this cue only" } else { "" };
    let more = match to {
        Layer::Screen if walls::shows_all(desk, part.0, cue) => "",
        Layer::Screen => ", with what leaves the wall in an extension",
        _ => ": it is nearer than everyone",
    };
    let layer = if to == Layer::Screen { "screen layer" } else { "overlay" };
    Some(format!("put {name} in the {layer}{when}{more}"))
}

/// The mark elsewhere: where all its pictures work, or else where at least faults of this kind are gone.
fn place(desk: &Desk<'_, '_>, fault: &Fault) -> Option<StagePoint> {
    let mark = fault.pair.mark;
    let to = desk.trials.places.of(mark, Some(fault.kind.id()))?;
    desk.trials.helps(&Change::Mark { mark, to }, fault).then_some(to)
}

fn mark(desk: &Desk<'_, '_>, fault: &Fault) -> Option<String> {
    place(desk, fault).map(|to| move_words(&desk.mark_name(fault.pair.mark), fault.pair.body.at, to))
}

/// The mark elsewhere, if that is a step away.
fn near(desk: &Desk<'_, '_>, fault: &Fault) -> Option<String> {
    let step = place(desk, fault).filter(|to| to.distance(fault.pair.body.at) <= STEP_M);
    step.and_then(|_| mark(desk, fault))
}

fn matte(desk: &Desk<'_, '_>, fault: &Fault) -> Option<String> {
    let show = desk.board.show();
    let camera = show.shots.get(fault.pair.shot.index())?.camera;
    let name = &show.cameras.get(camera.index())?.name;
    desk.trials.helps(&Change::Matte { camera }, fault).then(|| format!("key a person matte on {name}"))
}

fn leave(desk: &Desk<'_, '_>, fault: &Fault) -> Option<String> {
    let prop = fault.kind.prop()?;
    let change = Change::Leave { cue: fault.pair.cue, prop };
    let name = desk.board.prop_name(prop);
    desk.trials.helps(&change, fault).then(|| format!("take {name} out of this cue"))
}
