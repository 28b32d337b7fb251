//! Props that appear among people: announced on the floor long enough?

use underfoot_core::props::Placement;
use underfoot_core::show::{Cue, CueProp, Part, Presence, Prop, Show, Timecode};

use super::board::Board;
use super::change::Change;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    let mut appearances = 0;
    for (i, cast) in board.cast.iter().enumerate().filter(|(_, cast)| !cast.people.is_empty()) {
        for (index, state) in states(board.show(), i) {
            let Some(lead_s) = lead_s(board.show(), i, state) else { continue };
            appearances += 1;
            let name = board.prop_name(state.prop);
            let figure = Figure::at_least(lead_s, board.project.limits.reveal_s, Unit::Seconds);
            let Some(figure) =
                report.measure(FindingId::RevealLead, Some(cast.number), format!("{name} announced"), figure)
            else {
                continue;
            };
            let what = "is announced too late for the people on the floor";
            let mut finding = Finding::new(FindingId::RevealLead, Severity::Fix, "props", what);
            finding.figure = Some(figure);
            finding.cue = Some(cast.number);
            finding.place = board.show().props.get(state.prop.index()).map(|p| p.at);
            finding.fix = announced(board, i, state);
            finding.who = Some(name);
            report.add(board.at_line(finding, "cue_props", index));
        }
    }
    report.checked.push(format!("{appearances} props that appear among people"));
}

/// The props of a cue that bodies could meet, with their index in the show's list.
fn states(show: &Show, cue: usize) -> impl Iterator<Item = (usize, &CueProp)> {
    let run = show.cues.get(cue).map(|c| c.props).unwrap_or_default();
    let meets = |state: &CueProp| show.props.get(state.prop.index()).is_some_and(|p| bodily(show, p).next().is_some());
    (usize::from(run.first)..).zip(run.of(&show.cue_props)).filter(move |(_, state)| meets(state))
}

fn bodily<'s>(show: &'s Show, prop: &Prop) -> impl Iterator<Item = &'s Part> + use<'s> {
    show.parts_of(prop).iter().filter(|part| part.meets_bodies())
}

/// For how long a prop is announced before it comes into the picture in a cue, seconds; `None` when it does not,
/// or when the cue before announced it all along and says not for how long. What is there as the show begins has
/// been looked at in daylight.
fn lead_s(show: &Show, cue: usize, state: &CueProp) -> Option<f32> {
    let before = cue.checked_sub(1)?;
    let in_this_s = match state.presence {
        Presence::Coming if state.coming_ms == 0 => return None,
        Presence::Coming => state.coming_ms as f32 / 1000.0,
        Presence::Live | Presence::Leaving => 0.0,
    };
    let (last, now) = (show.cues.get(before)?, show.cues.get(cue)?);
    let was = show.props_in(last).iter().find(|s| s.prop == state.prop);
    match was.map(|s| (s.presence, s.coming_ms)) {
        Some((Presence::Coming, 0)) => Some(in_this_s + between_s(show, last, now)?),
        // It was in the picture, and it is: only a new announcement says that it comes again.
        Some(_) if in_this_s == 0.0 => None,
        None if takes_over(show, last, now, state) => None,
        _ => Some(in_this_s),
    }
}

/// Seconds from the start of a cue to that of the next, where timecode says both.
fn between_s(show: &Show, last: &Cue, now: &Cue) -> Option<f32> {
    let rate = show.frame_rate.num as f32 / show.frame_rate.den.max(1) as f32;
    let seconds = |t: Timecode| {
        let whole = (u32::from(t.hours) * 60 + u32::from(t.minutes)) * 60 + u32::from(t.seconds);
        whole as f32 + f32::from(t.frames) / rate
    };
    Some((seconds(now.at?) - seconds(last.at?)).max(0.0))
}

/// True for a prop that takes the place of one of the cue before that is gone now, with the same footprints:
/// people see no difference.
fn takes_over(show: &Show, last: &Cue, now: &Cue, state: &CueProp) -> bool {
    let Some(new) = footprints(show, now, state) else { return false };
    let is_gone = |s: &&CueProp| !show.props_in(now).iter().any(|n| n.prop == s.prop);
    show.props_in(last).iter().filter(is_gone).any(|s| footprints(show, last, s).is_some_and(|old| old == new))
}

/// Where a prop stands after a cue, and its parts without their layers.
fn footprints<'s>(show: &'s Show, cue: &Cue, state: &CueProp) -> Option<(Placement, Vec<Solid<'s>>)> {
    let prop = show.props.get(state.prop.index())?;
    let solid = |part: &'s Part| Solid { show, part };
    Some((Placement::after(show, cue, state.prop)?, bodily(show, prop).map(solid).collect()))
}

/// A part as bodies meet it.
struct Solid<'s> {
    show: &'s Show,
    part: &'s Part,
}

impl PartialEq for Solid<'_> {
    fn eq(&self, other: &Self) -> bool {
        use underfoot_core::show::PartShape::Polygon;
        let heights = |s: &Self| (s.part.bottom_m, s.part.top_m);
        let same_shape = match (self.part.shape, other.part.shape) {
            (Polygon(one), Polygon(two)) => one.of(&self.show.part_vertices) == two.of(&other.show.part_vertices),
            (one, two) => one == two,
        };
        heights(self) == heights(other) && same_shape
    }
}

/// The announcement that is long enough, tried on a copy.
fn announced(board: &Board<'_>, cue: usize, state: &CueProp) -> Option<String> {
    let needed_s = board.project.limits.reveal_s;
    let change = Change::Announce { cue, prop: state.prop, coming_ms: (needed_s * 1000.0).ceil() as u32 };
    let changed = change.applied(board.show())?;
    let (_, state) = states(&changed, cue).find(|(_, s)| s.prop == state.prop)?;
    let holds = lead_s(&changed, cue, state).is_none_or(|s| s >= needed_s);
    holds.then(|| format!("let it come for {needed_s} s: state = \"coming\", coming_s = {needed_s}"))
}
