//! The LED wall that would back a person: a higher one, a longer one, or one that turns the corner.

use underfoot_core::cameras::framing::Side;
use underfoot_core::cameras::{Solid, SolidShape, Surfaces, View};
use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::show::{Name, PropId, ShotId, Wall};
use underfoot_core::units::Angle;

use super::backing::past_floor;
use super::desk::Desk;
use super::fault::Fault;
use crate::checks::change::Change;
use crate::findings::text;

/// Walls are built of panels this large, metres: sizes are rounded up to it.
const PANEL_M: f32 = 0.5;
/// From the corner of two walls to the return wall, metres: a seam.
const SEAM_M: f32 = 0.02;
/// Longest wall that is proposed, in panels.
const LONGEST: u16 = 16;

/// The smallest wall that helps, tried panel by panel.
pub(super) fn words(desk: &Desk<'_, '_>, fault: &Fault) -> Option<String> {
    let verdict = &desk.judged().iter().find(|j| j.pair == fault.pair)?.verdict;
    let off = verdict.off_wall?;
    let passing = off.passing?;
    let index = usize::from(passing.wall);
    let wall = desk.board.show().walls.get(index)?;
    let floor = past_floor(&off);
    if off.side == Side::Top && floor.is_none() {
        return higher(desk, fault, index, wall);
    }
    let place = floor.map_or(passing.place.on_floor(), |floor| floor.place);
    returning(desk, fault, wall, place).or_else(|| longer(desk, fault, wall, place))
}

fn higher(desk: &Desk<'_, '_>, fault: &Fault, index: usize, wall: &Wall) -> Option<String> {
    let tops = (1..=LONGEST).map(|i| wall.top_m + PANEL_M * f32::from(i));
    let top_m = tops.into_iter().find(|&top_m| desk.trials.helps(&Change::Raise { wall: index, top_m }, fault))?;
    Some(format!("build wall {} up to {top_m:.2} m", wall.name))
}

/// The end of a wall that a place is past, and the direction along the wall out of that end.
fn end_near(wall: &Wall, place: StagePoint) -> Option<(StagePoint, StageVector)> {
    let along = (wall.to - wall.from).unit()?;
    let at_to = along.dot(place - wall.to) > 0.0;
    Some(if at_to { (wall.to, along) } else { (wall.from, -along) })
}

/// A wall from that end towards the cameras.
fn returning(desk: &Desk<'_, '_>, fault: &Fault, wall: &Wall, place: StagePoint) -> Option<String> {
    let (end, out) = end_near(wall, place)?;
    let inwards = fault.pair.body.at - end;
    let turned = if out.perp().dot(inwards) > 0.0 { out.perp() } else { -out.perp() };
    let foot = end + out * SEAM_M;
    (1..=LONGEST).find_map(|panels| try_wall(desk, fault, wall, (foot, foot + turned * (PANEL_M * f32::from(panels)))))
}

/// The wall led on.
fn longer(desk: &Desk<'_, '_>, fault: &Fault, wall: &Wall, place: StagePoint) -> Option<String> {
    let (end, out) = end_near(wall, place)?;
    (1..=LONGEST).find_map(|panels| try_wall(desk, fault, wall, (end, end + out * (PANEL_M * f32::from(panels)))))
}

fn try_wall(desk: &Desk<'_, '_>, fault: &Fault, beside: &Wall, (from, to): (StagePoint, StagePoint)) -> Option<String> {
    let wall = Wall { name: Name::new(), from, to, bottom_m: 0.0, top_m: beside.top_m };
    desk.trials.helps(&Change::Wall(wall), fault).then(|| {
        let place = |p: StagePoint| text::place(p.x, p.y).replace(" of the centre", "");
        format!("add an LED wall from {} to {}, {:.2} m high", place(from), place(to), beside.top_m)
    })
}

/// True when all that a cue's shots have in the picture of a prop lies on LED surfaces; with no cue, of every cue's.
pub(super) fn shows_all(desk: &Desk<'_, '_>, prop: PropId, cue: Option<usize>) -> bool {
    let book = desk.trials.book;
    let cues = book.show.cues.iter().enumerate().filter(|(i, _)| cue.is_none_or(|cue| cue == *i));
    let views = |shots: &'_ [ShotId]| shots.iter().flat_map(|s| book.album.views(*s)).collect::<Vec<&View>>();
    cues.into_iter().all(|(i, of)| {
        let views = views(book.show.shots_in(of));
        let solids = book.album.moments_from(i, 0.0).iter().flat_map(|m| &m.planned).filter(|s| s.prop == prop);
        solids.into_iter().all(|solid| views.iter().all(|view| is_backed(&book.album.surfaces, view, solid)))
    })
}

/// Looks at a part's rim, at top and foot.
fn is_backed(surfaces: &Surfaces<'_>, view: &View, solid: &Solid) -> bool {
    let rim: Vec<StagePoint> = match &solid.shape {
        SolidShape::Polygon(vertices) => vertices.to_vec(),
        SolidShape::Disc { centre, radius_m } | SolidShape::Ring { centre, outer_m: radius_m, .. } => (0..16u8)
            .map(|i| Angle::from_degrees(f32::from(i) * 22.5).sin_cos())
            .map(|(sin, cos)| *centre + StageVector::new(cos, sin) * *radius_m)
            .collect(),
    };
    rim.iter().flat_map(|p| [p.at_height(solid.bottom_m), p.at_height(solid.top_m)]).all(|q| {
        let is_shown = view.pose.see(q).is_some_and(|p| view.whole.outer.contains(p.x, p.y));
        !is_shown || surfaces.backs(view.pose.centre, q).is_some()
    })
}
