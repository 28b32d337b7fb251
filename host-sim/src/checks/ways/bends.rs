//! The shortest way round what a way runs into, planned anew and held against the same sums.

use underfoot_core::show::LinePoint;
use underfoot_core::walk::{PlanWork, shortest};

use super::beside::Ground;
use super::going::Going;
use super::round;
use crate::checks::board::Board;
use crate::findings::text;

/// What to do about a way that runs into something: the planned way between its stops, or what bars it.
pub(super) fn words(board: &Board<'_>, going: &Going) -> String {
    let Some(planned) = planned(board, going).filter(|way| round::past_all(board, way)) else {
        return "none found: no way leads round it; move the prop, or walk before it comes".into();
    };
    let (was_m, is_m) = (going.path().length_m(), planned.path().length_m());
    let corners: Vec<&LinePoint> = planned.points.iter().filter(|p| !p.is_stop()).collect();
    let by_way_of = match corners.as_slice() {
        [] => String::new(),
        corners => format!(", by way of {}", places(corners)),
    };
    let how = match going.stand.line {
        // Planning looks at the cues that use a line: one that none uses has to be led by hand.
        Some(line) if !board.show().cue_places.iter().any(|p| p.line == Some(line)) => "lead it round",
        Some(_) => "set route = \"shortest\"",
        None => "draw a line with route = \"shortest\"",
    };
    let more = if is_m - was_m >= 0.01 { format!(" instead of {was_m:.2} m") } else { String::new() };
    format!("{how}: {is_m:.2} m{more}{by_way_of}{}", time_words(board, &planned))
}

/// All corners, or the first and the last of many.
fn places(corners: &[&LinePoint]) -> String {
    let shown = match corners {
        [first, _, _, .., last] => vec![*first, *last],
        few => few.to_vec(),
    };
    let words: Vec<String> = shown.iter().map(|p| text::place(p.at.x, p.at.y)).collect();
    words.join(", then ")
}

/// The time that the longer way needs, where the cue gives less.
fn time_words(board: &Board<'_>, planned: &Going) -> String {
    let fastest_mps = board.fastest_mps(planned.stand.person);
    let is_late = planned.needed_mps(board).is_some_and(|mps| mps > fastest_mps);
    let halves = (planned.at_pace_s(board, fastest_mps) * 2.0).ceil();
    if is_late { format!(", and set limit_s = {:.1}", halves / 2.0) } else { String::new() }
}

/// The shortest way through the same stops that keeps clear of everything in this cue.
fn planned(board: &Board<'_>, going: &Going) -> Option<Going> {
    let show = board.show();
    let (class, cue) = (board.class_of(going.stand.person)?, show.cues.get(going.cue)?);
    let corridor_m = going.stand.line.and_then(|l| show.lines.get(l.index())).map_or(0.0, |l| l.corridor_m);
    let ground = Ground::of(show, cue, class, corridor_m).ok()?;
    let stops: Vec<_> = going.path().stops().collect();
    // Points between the ends were drawn to lead round things; the planner finds its own where those are in the way.
    let ends = [*stops.first()?, *stops.last()?];
    let mut work = Box::new(PlanWork::new());
    let mut points = show.line_points.clone();
    if shortest(&ground, &stops, &mut work, &mut points).is_err() {
        shortest(&ground, &ends, &mut work, &mut points).ok()?;
    }
    Some(Going { points: points.to_vec(), ..going.clone() })
}
