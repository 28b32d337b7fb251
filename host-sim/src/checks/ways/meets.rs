//! Props on their way, and the people whom they come too near to.

use underfoot_core::geom::StagePoint;
use underfoot_core::props::reach::{self, MOVING_M};
use underfoot_core::props::{Level, Reach, motion};
use underfoot_core::show::{CueProp, PersonId, PropId};
use underfoot_core::walk::{Meeting, first_within, least_gap, least_spare};

use super::fixes;
use super::going::Going;
use crate::checks::board::Board;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// A person and a prop that moves in one cue.
#[derive(Clone, Copy)]
pub(in crate::checks) struct Encounter<'b> {
    pub(in crate::checks) cue: usize,
    pub(in crate::checks) state: &'b CueProp,
    pub(in crate::checks) going: &'b Going,
}

/// What a moving prop and a person come to.
pub(in crate::checks) struct Outcome {
    /// The least room between them.
    gap: Meeting,
    /// The least of what is left over when the prop is carried on for as long as people need to notice.
    spare: Meeting,
}

/// The people whom moving props run into or come too near to, so that nobody is named twice for one fault: cue,
/// person, prop.
pub(in crate::checks) type Met = Vec<(usize, PersonId, PropId)>;

pub(super) fn check(board: &Board<'_>, report: &mut Report, cue: usize, all: &[Going]) -> (usize, Met) {
    let (mut pairs, mut met) = (0, Met::new());
    for state in moving(board, cue) {
        for going in all {
            let encounter = Encounter { cue, state, going };
            let Some(outcome) = outcome(board, &encounter) else { continue };
            pairs += 1;
            let Some(finding) = judge(board, report, &encounter, &outcome) else { continue };
            if finding.severity != Severity::Note {
                met.push((cue, going.stand.person, state.prop));
            }
            report.add(finding);
        }
    }
    (pairs, met)
}

/// The props of a cue that travel in it.
fn moving<'b>(board: &Board<'b>, cue: usize) -> Vec<&'b CueProp> {
    let there = board.cast.get(cue).map(|cast| cast.props.as_slice()).unwrap_or_default();
    there.iter().filter(|t| t.moves()).filter_map(|t| board.show().cue_props.get(t.index)).collect()
}

/// True when no prop that travels in the cue comes too near to somebody.
pub(super) fn meets_none(board: &Board<'_>, going: &Going) -> bool {
    let clear =
        |state| outcome(board, &Encounter { cue: going.cue, state, going }).is_none_or(|o| o.is_clear(board, going));
    moving(board, going.cue).into_iter().all(clear)
}

/// What the two come to; `None` when the prop has no part that a body could meet.
pub(in crate::checks) fn outcome(board: &Board<'_>, encounter: &Encounter<'_>) -> Option<Outcome> {
    let Encounter { cue, state, going } = encounter;
    let (show, walker) = (board.show(), going.walker(board));
    let cue = show.cues.get(*cue)?;
    let over = (0.0, ends_s(board, encounter));
    let gap = least_gap(show, cue, state, &walker, over).ok()??;
    let reach = Reach::of(show, board.class_of(going.stand.person)?, Level::Hard);
    let spare = least_spare(show, cue, state, &walker, &reach, over).ok()??;
    Some(Outcome { gap, spare })
}

/// When nothing new can happen: the move has ended, or the person is there and the prop has gone round once more.
fn ends_s(board: &Board<'_>, encounter: &Encounter<'_>) -> f32 {
    let show = board.show();
    match (motion::lasts_s(show, encounter.state), motion::period_s(show, encounter.state)) {
        (Some(lasts_s), _) => lasts_s,
        (None, Some(period_s)) => encounter.going.ends_s(board) + period_s,
        (None, None) => 0.0,
    }
}

impl Outcome {
    /// True when nobody is hit and the room is kept: 0.50 m (common practice), for people who walk as the prop's lead
    /// carries it on. Who stands where it never comes nearer than that need not get away.
    pub(in crate::checks) fn is_clear(&self, board: &Board<'_>, going: &Going) -> bool {
        let room_m = if going.walks() { self.spare.gap_m } else { self.gap.gap_m - needed_m(board) };
        self.gap.gap_m >= 0.0 && room_m >= 0.0
    }
}

/// Room to be kept beyond the body's edge, metres.
fn needed_m(board: &Board<'_>) -> f32 {
    MOVING_M + board.allowance_m()
}

fn judge(board: &Board<'_>, report: &mut Report, encounter: &Encounter<'_>, outcome: &Outcome) -> Option<Finding> {
    let Encounter { cue, state, going } = encounter;
    let (name, who) = (board.prop_name(state.prop), board.person_name(going.stand.person));
    let measured = format!("{who} {} to {name} as it moves", going.words);
    let number = Some(board.number(*cue));
    let gap = Figure::at_least(outcome.gap.gap_m, needed_m(board), Unit::Metres);
    let ahead = Figure { value: outcome.spare.gap_m + needed_m(board), ..gap };
    let gap = (report.measure(FindingId::PropMeetsPerson, number, measured.clone(), gap), &outcome.gap);
    let ahead = report.measure(FindingId::PropMeetsPerson, number, format!("{measured}, with its lead"), ahead);
    let (severity, what, figure, at) = match (gap, ahead) {
        ((Some(figure), meeting), _) if figure.value < 0.0 => {
            let what = format!("{} is run into by {name} on its way, first", going.words);
            (Severity::Stop, what, figure, first_s(board, encounter, meeting))
        }
        ((Some(figure), meeting), _) => {
            let what = format!("{} has {name} too near on its way, nearest", going.words);
            (Severity::Fix, what, figure, (meeting.at_s, meeting.place))
        }
        (_, Some(figure)) => {
            let lead_s = reach::REACTION_S + f32::from(board.show().latency_ms) / 1000.0;
            let what = format!("{} would be near {name} if that went straight on for {lead_s:.2} s", going.words);
            let severity = if going.walks() { Severity::Fix } else { Severity::Note };
            (severity, what, figure, (outcome.spare.at_s, outcome.spare.place))
        }
        _ => return None,
    };
    let mut finding = Finding::new(FindingId::PropMeetsPerson, severity, name, what);
    finding.figure = Some(figure);
    finding.who = Some(who);
    finding.cue = number;
    finding.moment_s = Some(at.0);
    finding.place = Some(at.1);
    finding.things.extend(going.mark_name(board).into_iter().chain(going.line_name(board)));
    finding.fix = (severity != Severity::Note).then(|| board.tried(|| fixes::words(board, encounter))).flatten();
    Some(board.at_line(finding, "cue_places", going.stand.index))
}

/// When and where a body is first touched.
fn first_s(board: &Board<'_>, encounter: &Encounter<'_>, worst: &Meeting) -> (f32, StagePoint) {
    let worst = (worst.at_s, worst.place);
    let Some(cue) = board.show().cues.get(encounter.cue) else { return worst };
    let walker = encounter.going.walker(board);
    let first = first_within(board.show(), cue, encounter.state, &walker, 0.0, (0.0, worst.0));
    first.ok().flatten().map_or(worst, |meeting| (meeting.at_s, meeting.place))
}
