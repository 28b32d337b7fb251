//! A mark as a cue uses it: in the colour and shape of the person who is placed, with the line that person sees.

use heapless::Vec;

use super::marks;
use super::sizes::Sizes;
use crate::geom::StagePoint;
use crate::show::{CuePlace, Mark, MarkId, Show, Sight, Who};

/// The mark of a place; `None` for people who leave the floor.
pub fn mark<'s>(show: &'s Show, place: &CuePlace) -> Option<&'s Mark> {
    place.mark.and_then(|m| show.marks.get(m.index()))
}

/// The colour and shape of the person who is placed: they follow one shape all through the show.
pub fn who(show: &Show, place: &CuePlace) -> Option<Who> {
    show.people.get(place.person.index()).map(|person| person.who)
}

/// Width of the mark's lines, metres: twice the show's for people with low vision.
pub fn line_m(show: &Show, sizes: &Sizes, place: &CuePlace) -> f32 {
    if low_vision(show, place) { 2.0 * sizes.line_m } else { sizes.line_m }
}

/// True for people with low vision.
pub fn low_vision(show: &Show, place: &CuePlace) -> bool {
    show.people.get(place.person.index()).is_some_and(|person| person.sight == Sight::Low)
}

/// The place of a mark and how far it and its shape reach from there, metres.
pub(super) fn reach(show: &Show, sizes: &Sizes, place: &CuePlace) -> Option<(StagePoint, f32)> {
    let mark = mark(show, place)?;
    let who = who(show, place).unwrap_or(mark.who);
    Some((mark.at, marks::reach_m(mark.kind, who, line_m(show, sizes, place))))
}

/// The pace of the person who is placed, metres per second.
pub(super) fn pace_mps(show: &Show, place: &CuePlace) -> f32 {
    let class = show.people.get(place.person.index()).and_then(|person| show.classes.get(person.class.index()));
    class.map_or(0.0, |class| class.pace_mps)
}

/// The mark of a place and the convex outline of all that AIR can show of it; see [`marks::outline`].
///
/// `None` when there is no mark, or when it is one that [`Show::validate`] refuses.
pub fn outline(show: &Show, place: &CuePlace) -> Option<(MarkId, Vec<StagePoint, { marks::OUTLINE_POINTS }>)> {
    let (id, mark) = (place.mark?, mark(show, place)?);
    let sizes = Sizes::of(show);
    let widths = (line_m(show, &sizes, place), sizes.keyline_m);
    Some((id, marks::outline(mark, who(show, place).unwrap_or(mark.who), widths).ok()?))
}
