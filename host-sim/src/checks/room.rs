//! Room between people, and room for wheelchairs to turn.

use underfoot_core::geom::{Region, StagePoint, StageVector, segment};
use underfoot_core::props::physical;
use underfoot_core::props::reach::ADVISORY_M;
use underfoot_core::show::{Mark, MarkId, PersonId};
use underfoot_core::units::Angle;
use underfoot_core::walk::Path;

use super::board::{Board, distance};
use super::cast::{Cast, Stand};
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Radius of a wheelchair's turning circle, metres: ISO 21542 asks for 1500 mm across (from memory); the
/// 2010 ADA Standards, 304.3.1, for 1525 mm.
const TURN_M: f32 = 0.75;
/// The circle need not be centred on the seat: it may lie this far off, half a chair's width, metres.
const SHIFT_M: f32 = 0.35;
/// A bend this near to a point that people gave is sharp, metres.
const SHARP_M: f32 = 0.01;
/// A bend of a way is a turn from this angle on.
const TURN_DEG: f32 = 30.0;

impl Board<'_> {
    /// True when nobody else's mark of a cue that uses mark `id` is nearer to `p` than two bodies need.
    pub(super) fn far_from_others(&self, id: MarkId, p: StagePoint) -> bool {
        self.cast.iter().all(|cast| {
            let mine = cast.people.iter().filter(|s| s.mark == Some(id));
            mine.flat_map(|me| cast.people.iter().map(move |other| (me, other))).all(|(me, other)| {
                let at = other.mark.filter(|m| *m != id).and_then(|m| self.show().marks.get(m.index())).map(|m| m.at);
                at.is_none_or(|at| {
                    at.distance(p) >= self.radius_m(me.person) + self.radius_m(other.person) + ADVISORY_M
                })
            })
        })
    }
}

pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    let mut turns = 0;
    for cast in &board.cast {
        let standing: Vec<_> = cast.people.iter().filter_map(|s| standing(board, s)).collect();
        for (i, one) in standing.iter().enumerate() {
            for two in &standing[i + 1..] {
                shared(board, report, cast, one, two);
            }
            if is_chair(board, one.0.person) {
                turns += 1;
                at_mark(board, report, cast, one, &standing);
            }
        }
        for stand in cast.people.iter().filter(|s| is_chair(board, s.person)) {
            turns += on_line(board, report, cast, stand);
        }
    }
    report.checked.push(format!("room between people, and {turns} places where a wheelchair turns"));
}

type Standing<'p> = (Stand, MarkId, &'p Mark);

fn standing<'p>(board: &Board<'p>, stand: &Stand) -> Option<Standing<'p>> {
    let id = stand.mark?;
    Some((*stand, id, board.show().marks.get(id.index())?))
}

fn is_chair(board: &Board<'_>, person: PersonId) -> bool {
    board.class_of(person).is_some_and(|c| c.chair_m.is_some())
}

fn shared(board: &Board<'_>, report: &mut Report, cast: &Cast, one: &Standing<'_>, two: &Standing<'_>) {
    let bodies_m = board.radius_m(one.0.person) + board.radius_m(two.0.person);
    let figure = Figure::at_least(one.2.at.distance(two.2.at) - bodies_m, 0.0, Unit::Metres);
    let what = format!("mark {} to mark {}", one.2.name, two.2.name);
    let Some(figure) = report.measure(FindingId::MarkShared, Some(cast.number), what, figure) else { return };
    let what = format!("two people stand in one place (marks {} and {})", one.2.name, two.2.name);
    let mut finding = Finding::new(FindingId::MarkShared, Severity::Stop, one.2.name.to_string(), what);
    finding.figure = Some(figure);
    finding.who = Some(format!("{} and {}", board.person_name(one.0.person), board.person_name(two.0.person)));
    finding.cue = Some(cast.number);
    finding.place = Some(two.2.at);
    finding.things.push(two.2.name.to_string());
    finding.fix = Some(format!("move mark {} {:.2} m away", two.2.name, figure.miss()));
    report.add(board.at_line(finding, "marks", two.1.index()));
}

/// A chair on its mark: a turning circle near the seat must be clear of props, furniture and neighbours.
fn at_mark(board: &Board<'_>, report: &mut Report, cast: &Cast, one: &Standing<'_>, all: &[Standing<'_>]) {
    let others: Vec<_> = all.iter().filter(|s| s.1 != one.1).collect();
    let regions = regions(board, cast);
    let room_m = |centre: StagePoint| {
        let people = others.iter().map(|o| centre.distance(o.2.at) - board.radius_m(o.0.person) - ADVISORY_M);
        people.fold(room_m(board, &regions, centre), f32::min)
    };
    let best_m = shifts().map(|v| room_m(one.2.at + v)).fold(room_m(one.2.at), f32::max);
    let nearest = others.iter().min_by(|a, b| one.2.at.distance(a.2.at).total_cmp(&one.2.at.distance(b.2.at)));
    let beside =
        nearest.map_or(String::new(), |n| format!(", {:.2} m from mark {}", one.2.at.distance(n.2.at), n.2.name));
    let turn = Turn {
        person: one.0.person,
        at: one.2.at,
        where_it_is: format!("on mark {}{beside}", one.2.name),
        source: ("marks", one.1.index()),
        room_m: best_m,
    };
    report_turn(board, report, cast, &turn, "leave a gap beside the chair");
}

/// Ways to lay the turning circle off the seat: two rings of 24 directions.
fn shifts() -> impl Iterator<Item = StageVector> {
    (0..24).flat_map(|step| {
        let (sin, cos) = Angle::from_degrees(step as f32 * 15.0).sin_cos();
        [SHIFT_M / 2.0, SHIFT_M].map(|r| StageVector::new(cos, sin) * r)
    })
}

/// One place where a chair turns.
struct Turn {
    person: PersonId,
    at: StagePoint,
    where_it_is: String,
    source: (&'static str, usize),
    room_m: f32,
}

fn report_turn(board: &Board<'_>, report: &mut Report, cast: &Cast, turn: &Turn, fix: &str) {
    let who = board.person_name(turn.person);
    let figure = Figure::at_least(turn.room_m.min(1e3), TURN_M + board.allowance_m(), Unit::Metres);
    let what = format!("radius for {who} to turn {}", turn.where_it_is);
    let Some(figure) = report.measure(FindingId::TurningRoom, Some(cast.number), what, figure) else { return };
    let what = format!("no room for a wheelchair to turn {}", turn.where_it_is);
    let mut finding = Finding::new(FindingId::TurningRoom, Severity::Fix, "wheelchair", what);
    finding.figure = Some(figure);
    finding.who = Some(who);
    finding.cue = Some(cast.number);
    finding.place = Some(turn.at);
    finding.fix = Some(format!("{fix}: {:.2} m more", figure.miss()));
    report.add(board.at_line(finding, turn.source.0, turn.source.1));
}

/// A chair on a line turns at its bends: on the spot where the line is sharp.
fn on_line(board: &Board<'_>, report: &mut Report, cast: &Cast, stand: &Stand) -> usize {
    let Some(id) = stand.line else { return 0 };
    let Some(line) = board.show().lines.get(id.index()) else { return 0 };
    let props = cast.props.iter().map(|t| (board.prop_name(t.prop), regions_of(board, t)));
    let props: Vec<(String, Vec<Region>)> = props.collect();
    let points = board.show().points_of(line);
    let bends = Path::new(points).bends().filter(|b| b.turn_deg.abs() >= TURN_DEG);
    let bends: Vec<StagePoint> = bends.map(|b| b.at).collect();
    for &at in &bends {
        let nearest = props.iter().map(|(name, regions)| (name, distance(regions, at)));
        let nearest = nearest.min_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, d)| d.is_finite());
        let beside = nearest.map_or(String::new(), |(name, _)| format!(" beside {name}"));
        let all: Vec<Region> = props.iter().flat_map(|(_, r)| r.iter().cloned()).collect();
        // A round bend leaves the chair the choice where on it and beside it to turn.
        let is_sharp = points.iter().any(|p| p.is_stop() && p.at.distance(at) < SHARP_M);
        let at_m = room_m(board, &all, at);
        let beside_m = shifts().map(|v| room_m(board, &all, at + v)).fold(at_m, f32::max);
        let turn = Turn {
            person: stand.person,
            at,
            where_it_is: format!("on line {}{beside}", line.name),
            source: ("lines", id.index()),
            room_m: if is_sharp { at_m } else { beside_m },
        };
        report_turn(board, report, cast, &turn, "move the bend or the prop apart");
    }
    bends.len()
}

fn regions(board: &Board<'_>, cast: &Cast) -> Vec<Region> {
    cast.props.iter().flat_map(|t| regions_of(board, t)).collect()
}

fn regions_of(board: &Board<'_>, there: &super::cast::There) -> Vec<Region> {
    there.rests_at().map(|at| board.regions(there.prop, at)).unwrap_or_default()
}

/// Radius of the free disc round a place: to props, furniture, columns, walls and drops, metres.
fn room_m(board: &Board<'_>, regions: &[Region], centre: StagePoint) -> f32 {
    let things = board
        .show()
        .physicals
        .iter()
        .filter(|p| physical::stops_people(p.kind))
        .filter_map(|p| physical::rectangle(p).ok());
    let things = things.map(|a| a.signed_distance(centre)).fold(f32::INFINITY, f32::min);
    let walls = board.show().walls.iter().filter(|w| w.bottom_m < 0.5);
    let walls = walls.map(|w| segment::distance(centre, w.from, w.to)).fold(f32::INFINITY, f32::min);
    distance(regions, centre).min(things).min(walls).min(board.to_drop_m(centre))
}
