//! Who goes where in a cue: everybody's way, and when they are where on it.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{Cue, LineId, LinePoint, MarkId};
use underfoot_core::walk::{Path, Schedule, Timing, Walker, Way};

use crate::checks::board::Board;
use crate::checks::cast::Stand;
use crate::findings::{Finding, FindingId, Severity};

/// One person in one cue: on the spot, or on a way.
#[derive(Clone, Debug)]
pub(in crate::checks) struct Going {
    /// Index of the cue.
    pub(in crate::checks) cue: usize,
    /// Who, from which mark, to which, on which line.
    pub(in crate::checks) stand: Stand,
    /// Words for it: "on mark C", "on line A-C", "on the straight way F1-4 to F2-4".
    pub(in crate::checks) words: String,
    /// The points of the way; one for somebody who stands.
    pub(in crate::checks) points: Vec<LinePoint>,
    /// From the start of the cue to the first step, seconds.
    pub(in crate::checks) start_s: f32,
}

/// Everybody of a cue whose place is known.
pub(in crate::checks) fn everybody(board: &Board<'_>, cue: usize) -> Vec<Going> {
    let people = board.cast.get(cue).map(|cast| cast.people.as_slice()).unwrap_or_default();
    people.iter().filter_map(|stand| Going::of(board, cue, stand)).collect()
}

impl Going {
    fn of(board: &Board<'_>, cue: usize, stand: &Stand) -> Option<Self> {
        let show = board.show();
        let mark = |id: Option<MarkId>| id.and_then(|m| show.marks.get(m.index()));
        let (words, points) =
            match (stand.line.and_then(|l| show.lines.get(l.index())), mark(stand.from), mark(stand.mark)) {
                (Some(line), ..) => (format!("on line {}", line.name), show.points_of(line).to_vec()),
                (None, Some(from), Some(to)) if from.at != to.at => (
                    format!("on the straight way {} to {}", from.name, to.name),
                    [from.at, to.at].map(LinePoint::sharp).to_vec(),
                ),
                (None, _, Some(to)) => (format!("on mark {}", to.name), vec![LinePoint::sharp(to.at)]),
                (None, ..) => return None,
            };
        Some(Self { cue, stand: *stand, words, points, start_s: board.project.limits.start_delay_s })
    }

    /// The person for whom the file draws a line that no cue uses, as if a cue did; `None` where it names nobody.
    pub(in crate::checks) fn unused(board: &Board<'_>, cue: usize, line: LineId) -> Option<Self> {
        let person = board.project.line_wishes.get(line.index())?.person?;
        let drawn = board.show().lines.get(line.index())?;
        let stand = Stand { person, mark: None, from: None, line: Some(line), index: 0 };
        let words = format!("on line {}, which no cue uses,", drawn.name);
        let points = board.show().points_of(drawn).to_vec();
        Some(Self { cue, stand, words, points, start_s: board.project.limits.start_delay_s })
    }

    /// True for somebody who gets from one place to another.
    pub(in crate::checks) fn walks(&self) -> bool {
        self.points.len() > 1
    }

    /// True for somebody whom no line leads, so that the way is even and straight where the cue gives a time.
    pub(in crate::checks) fn is_even(&self, board: &Board<'_>) -> bool {
        self.stand.line.is_none() && self.limit_s(board).is_some()
    }

    /// The way.
    pub(in crate::checks) fn path(&self) -> Path<'_> {
        Path::new(&self.points)
    }

    /// The cue's time for it, seconds.
    pub(in crate::checks) fn limit_s(&self, board: &Board<'_>) -> Option<f32> {
        let limit_ms = cue(board, self.cue).map_or(0, |c| c.time_limit_ms);
        (limit_ms > 0).then_some(limit_ms as f32 / 1000.0)
    }

    /// Seconds until the person stands on the mark at their own pace.
    pub(in crate::checks) fn usual_s(&self, board: &Board<'_>) -> f32 {
        self.at_pace_s(board, board.pace_mps(self.stand.person))
    }

    /// Seconds until the person stands on the mark at a pace.
    pub(in crate::checks) fn at_pace_s(&self, board: &Board<'_>, pace_mps: f32) -> f32 {
        Schedule::of(self.path(), board.show(), self.timing(board, pace_mps)).total_s()
    }

    /// The pace that the cue's time asks for; `None` without a time, infinite when it is up before the first step.
    pub(in crate::checks) fn needed_mps(&self, board: &Board<'_>) -> Option<f32> {
        let limit_s = self.limit_s(board).filter(|_| self.walks())?;
        if self.is_even(board) {
            return Some(self.path().length_m() / (limit_s - self.late_s(board)).max(0.0));
        }
        let own_mps = board.pace_mps(self.stand.person);
        let schedule = Schedule::of(self.path(), board.show(), self.timing(board, own_mps));
        Some(schedule.needed_pace(limit_s).unwrap_or(f32::INFINITY))
    }

    /// Where the person is when: as fast as they walk by themselves, or as the cue's time asks, within what may be asked.
    pub(in crate::checks) fn walker<'g>(&'g self, board: &Board<'g>) -> Walker<'g> {
        let body_m = board.radius_m(self.stand.person);
        let way = match (self.points.as_slice(), self.limit_s(board)) {
            ([only], _) => Way::Stands(only.at),
            ([from, to], Some(limit_s)) if self.stand.line.is_none() && self.late_s(board) == 0.0 => {
                Way::Evenly { from: from.at, to: to.at, over_s: limit_s }
            }
            ([_, _], Some(_)) if self.stand.line.is_none() => {
                // Even in what is left of the time: no delay but the wait, and no time to settle.
                let pace_mps = self.needed_mps(board).unwrap_or(0.0).min(board.fastest_mps(self.stand.person));
                let timing = Timing { start_s: self.late_s(board), settle_s: 0.0, ..self.timing(board, pace_mps) };
                Way::Along(Schedule::of(self.path(), board.show(), timing))
            }
            _ => {
                let own_mps = board.pace_mps(self.stand.person);
                let pace_mps =
                    self.needed_mps(board).unwrap_or(0.0).min(board.fastest_mps(self.stand.person)).max(own_mps);
                Way::Along(Schedule::of(self.path(), board.show(), self.timing(board, pace_mps)))
            }
        };
        Walker { way, body_m }
    }

    /// When the person is there and stands, seconds after the start of the cue.
    pub(in crate::checks) fn ends_s(&self, board: &Board<'_>) -> f32 {
        self.walker(board).rests_s()
    }

    /// "line A-C", "the straight way A to C".
    pub(in crate::checks) fn way_name(&self) -> &str {
        self.words.strip_prefix("on ").unwrap_or(&self.words)
    }

    /// The name of the line that leads the person.
    pub(in crate::checks) fn line_name(&self, board: &Board<'_>) -> Option<String> {
        let line = self.stand.line.and_then(|l| board.show().lines.get(l.index()));
        line.map(|l| l.name.to_string())
    }

    /// The name of the mark on which the person ends.
    pub(in crate::checks) fn mark_name(&self, board: &Board<'_>) -> Option<String> {
        let mark = self.stand.mark.and_then(|m| board.show().marks.get(m.index()));
        mark.map(|m| m.name.to_string())
    }

    /// A finding about the way, at a place on it, with the line of the file that asks for it.
    pub(in crate::checks) fn finding(
        &self,
        board: &Board<'_>,
        (kind, severity, about, clause): (FindingId, Severity, String, String),
        place: StagePoint,
    ) -> Finding {
        let mut finding = Finding::new(kind, severity, about, clause);
        finding.who = Some(board.person_name(self.stand.person));
        finding.cue = Some(board.number(self.cue));
        finding.place = Some(place);
        finding.things.extend(self.line_name(board).or_else(|| Some(self.way_name().to_owned())));
        match self.stand.line {
            Some(line) => board.at_line(finding, "lines", line.index()),
            None => board.at_line(finding, "cue_places", self.stand.index),
        }
    }

    /// By how much the first step is later than usual, seconds.
    fn late_s(&self, board: &Board<'_>) -> f32 {
        self.start_s - board.project.limits.start_delay_s
    }

    fn timing(&self, board: &Board<'_>, pace_mps: f32) -> Timing {
        let class = board.class_of(self.stand.person);
        Timing { start_s: self.start_s, ..board.project.timing(self.stand.line, class, pace_mps) }
    }
}

fn cue<'p>(board: &Board<'p>, index: usize) -> Option<&'p Cue> {
    board.show().cues.get(index)
}
