//! What a box finds again after marks and props were moved by hand, against the desk's checks of the same show: every figure
//! that the desk measures of the same thing, in all cues of the three demos; and lines that are planned anew, point by point.

use std::collections::BTreeMap;
use std::path::Path;

use underfoot_core::device::nudges::{FARTHEST_MM, Nudges};
use underfoot_core::device::recheck::{self, Measured, Room};
use underfoot_core::geom::{StagePoint, polygon, segment};
use underfoot_core::link::{Need, Nudge, Piece, Refusal, What};
use underfoot_core::show::{CueId, CuePlace, Edge, LineId, MarkId, PropId, Show};
use underfoot_sim::checks::check_room;
use underfoot_sim::findings::FindingId;
use underfoot_sim::project::{Project, load, plan_line};
use underfoot_tests::device::shows::DEMOS;
use underfoot_tests::dice::Dice;

/// Moved shows of each demo.
const SHOWS: usize = 12;
/// What rounding may make of a figure between two ways to the same sum, metres.
const SAME_M: f32 = 2e-4;

fn demo(name: &str) -> Project {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../host-sim/demos/{name}.toml"));
    load(&path).unwrap_or_else(|errors| panic!("{name}: {errors}"))
}

/// Steps of up to 150 mm for some marks and props.
fn steps(dice: &mut Dice, show: &Show) -> Vec<(Piece, (i16, i16))> {
    (0..4)
        .map(|_| {
            let piece = if dice.one_in(2) {
                Piece::Mark(MarkId(dice.below(show.marks.len()) as u8))
            } else {
                Piece::Prop(PropId(dice.below(show.props.len()) as u8))
            };
            let mut mm = || dice.between(-150.0, 150.0) as i16;
            (piece, (mm(), mm()))
        })
        .collect()
}

/// Plans all stale lines as the box does.
fn catch_up(show: &mut Show, nudges: &mut Nudges, room: &mut Room) -> Vec<(LineId, bool)> {
    let mut done = Vec::new();
    while let Some(line) = nudges.take_stale(|_| true) {
        let planned = recheck::plan(show, line, room).is_ok() && show.put_line(line, &room.points);
        done.push((line, planned));
    }
    done
}

/// The same measure under one key: the cue's number, who needs room, what takes it.
type Key = (u32, String, String);

/// All figures of the box; of parts of one prop the least.
fn box_figures(show: &Show, room: &mut Room) -> BTreeMap<Key, (f32, bool)> {
    let mut all = BTreeMap::new();
    for cue in 0..show.cues.len() as u8 {
        recheck::check(show, CueId(cue), room, &mut |one| {
            let Some((who, by)) = names(show, &one) else { return };
            let key = (show.cues[usize::from(cue)].number, who, by);
            let slot = all.entry(key).or_insert((f32::INFINITY, true));
            *slot = (slot.0.min(one.have_m), slot.1 && one.holds);
        });
    }
    all
}

/// The desk's words for who and what; `None` for what the desk tells otherwise.
fn names(show: &Show, one: &Measured) -> Option<(String, String)> {
    let cue = &show.cues[one.cue.index()];
    let mark = |id: MarkId| show.marks[id.index()].name.to_string();
    let by = match one.by {
        What::Part { prop, .. } => show.props[prop.index()].name.to_string(),
        What::Physical(i) => show.physicals[usize::from(i)].name.to_string(),
        What::Mark(other) => mark(other),
        _ => return None,
    };
    let who = match one.need {
        Need::Stand(id) => format!("on mark {}", mark(id)),
        Need::Walk(line) => format!("line {}", show.lines[usize::from(line)].name),
        Need::Way(to) => {
            let place = show.places_in(cue).iter().find(|p| p.mark == Some(to))?;
            format!("way to {} of {}", mark(to), show.people[place.person.index()].name)
        }
        Need::Prop(_) => return None,
    };
    Some((who, by))
}

/// The desk's figures under the same keys. Its words: "Guest 1 on mark A to WATCH", "Guest 1 on line A-C to WATCH",
/// "line A-C to SOFA", "mark A to mark B".
fn desk_figures(project: &Project) -> BTreeMap<Key, (f32, bool)> {
    let show = &project.show;
    let mut all = BTreeMap::new();
    for measure in check_room(project).measures {
        let Some(cue) = measure.cue else { continue };
        let Some((who, by)) = measure.what.rsplit_once(" to ") else { continue };
        let key = match measure.id {
            FindingId::MarkInProp | FindingId::MarkNearProp => {
                let Some((_, mark)) = who.split_once(" on mark ") else { continue };
                (cue, format!("on mark {mark}"), by.to_owned())
            }
            FindingId::LineThroughProp | FindingId::LineNearProp => match who.split_once(" on line ") {
                Some((_, line)) => (cue, format!("line {line}"), by.to_owned()),
                None => {
                    let Some((person, way)) = who.split_once(" on the straight way ") else { continue };
                    let Some((_, to)) = way.rsplit_once(" to ") else { continue };
                    (cue, format!("way to {to} of {person}"), by.to_owned())
                }
            },
            FindingId::MarkShared => {
                let (Some(one), Some(two)) = (who.strip_prefix("mark "), by.strip_prefix("mark ")) else { continue };
                // The box names the pair from its second.
                (cue, format!("on mark {two}"), one.to_owned())
            }
            _ => continue,
        };
        let figure = measure.figure;
        let slot = all.entry(key).or_insert((f32::INFINITY, true));
        *slot = (slot.0.min(figure.value), slot.1 && figure.holds());
    }
    assert!(!show.cues.is_empty());
    all
}

/// The box finds what the desk finds between people, props and ways; whatever is nearest at the end of a way is the mark's own
/// figure and the box does not tell it twice.
fn compare(name: &str, project: &Project, room: &mut Room) -> (usize, usize) {
    let (mut there, desk) = (box_figures(&project.show, room), desk_figures(project));
    let (mut same, mut short) = (0, 0);
    for (key, (value, holds)) in &desk {
        let Some((have, kept)) = there.remove(key) else {
            assert!(key.1.starts_with("line ") || key.1.starts_with("way "), "{name}: the box does not tell {key:?}");
            continue;
        };
        // Two lines of one name in one cue, or two people on one mark, are told once.
        assert!((have - value).abs() < SAME_M || (have < *value && !kept), "{name}: {key:?}: {have} and {value}");
        if (value - have).abs() < SAME_M {
            same += 1;
            let at_limit = key.1.starts_with("on mark") && holds != &kept;
            assert!(!at_limit, "{name}: {key:?}: {holds} and {kept} at {value}");
        }
        short += usize::from(!holds);
    }
    (same, short)
}

#[test]
fn the_box_measures_what_the_desk_measures_after_random_moves() {
    let (mut dice, mut room) = (Dice::new(0x0D6E), Box::new(Room::new()));
    for name in DEMOS {
        let stored = demo(name);
        let (mut same, mut short) = (0, 0);
        for _ in 0..SHOWS {
            let (mut project, mut nudges) = (stored.clone(), Nudges::new());
            for (piece, by) in steps(&mut dice, &stored.show) {
                // The same thing again and again may be too far.
                let _ = nudges.step(&mut project.show, piece, by);
            }
            catch_up(&mut project.show, &mut nudges, &mut room);
            let (equal, missed) = compare(name, &project, &mut room);
            same += equal;
            short += missed;
        }
        println!("{name}: {same} figures are the desk's, {short} of them short");
        assert!(same > 10 * SHOWS && short > 0, "{name}: {same} {short}");
    }
}

/// Brute force in f64, with nothing of the core but the polygons of the floor: people on marks, the floor's end and its open
/// sides.
#[test]
fn floors_and_edges_under_marks_by_sums_of_their_own() {
    let (mut dice, mut room) = (Dice::new(0xF100), Box::new(Room::new()));
    let (mut seen, mut short) = (0, 0);
    for name in DEMOS {
        let stored = demo(name);
        for _ in 0..SHOWS {
            let (mut show, mut nudges) = (stored.show.clone(), Nudges::new());
            // The demos keep well away from the floor's ends: here some marks stand in the band and some beyond it.
            for mark in &mut show.marks {
                let out = dice.between(0.8, 1.8) as f32;
                mark.at = StagePoint::new(mark.at.x * out, mark.at.y * out);
            }
            for mark in 0..show.marks.len().min(16) as u8 {
                let mut mm = || dice.between(-340.0, 340.0) as i16;
                let by = (mm(), mm());
                nudges.step(&mut show, Piece::Mark(MarkId(mark)), by).expect("within 0.5 m");
            }
            for cue in 0..show.cues.len() as u8 {
                let mut told = Vec::new();
                recheck::check(&show, CueId(cue), &mut room, &mut |one| told.push(one));
                let edges = told.iter().filter(|one| matches!(one.by, What::OffFloor | What::Side(_)));
                for one in edges {
                    let Need::Stand(mark) = one.need else { continue };
                    let at = show.marks[mark.index()].at;
                    let Some(due_m) = due(&show, at, one.by) else { continue };
                    assert!((due_m - one.have_m).abs() < 1e-3, "{name} {one:?}: {due_m}");
                    seen += 1;
                    short += usize::from(!one.holds);
                }
            }
        }
    }
    println!("{seen} figures, {short} short");
    assert!(seen > 1000 && short > 10);
}

/// The distance to a side, or inwards from the floor's end; walls are measured from the mark's form and left out.
fn due(show: &Show, at: StagePoint, by: What) -> Option<f32> {
    let sides: Vec<(StagePoint, StagePoint)> = polygon::sides(&show.floor.vertices).collect();
    let to = |(a, b): (StagePoint, StagePoint)| {
        let (ax, ay, bx, by) = (f64::from(a.x), f64::from(a.y), f64::from(b.x), f64::from(b.y));
        let (x, y) = (f64::from(at.x), f64::from(at.y));
        let share = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax).powi(2) + (by - ay).powi(2));
        let share = share.clamp(0.0, 1.0);
        (x - ax - share * (bx - ax)).hypot(y - ay - share * (by - ay)) as f32
    };
    match by {
        What::OffFloor => {
            let least = sides.iter().map(|&side| to(side)).fold(f32::INFINITY, f32::min);
            Some(if polygon::contains(&show.floor.vertices, at) { least } else { -least })
        }
        What::Side(i) if show.floor.edges[usize::from(i)] == Edge::Open => {
            let side = sides[usize::from(i)];
            // The core's own segment is asked by the same name only here, to be sure of the side.
            assert!((segment::distance(at, side.0, side.1) - to(side)).abs() < 1e-3);
            Some(to(side))
        }
        _ => None,
    }
}

#[test]
fn lines_are_planned_anew_as_the_desk_plans_them() {
    let (mut dice, mut room) = (Dice::new(0x11E5), Box::new(Room::new()));
    let (mut planned, mut changed, mut barred) = (0, 0, 0);
    for name in DEMOS {
        let mut stored = demo(name);
        // The demos' lines lead as people drew them; here all of them ask for the shortest way.
        stored.show.lines.iter_mut().for_each(|line| line.planned = true);
        for _ in 0..3 * SHOWS {
            let (mut project, mut nudges) = (stored.clone(), Nudges::new());
            for (piece, by) in steps(&mut dice, &stored.show) {
                // The same thing again and again may be too far.
                let _ = nudges.step(&mut project.show, piece, by);
            }
            for (line, done) in catch_up(&mut project.show, &mut nudges, &mut room) {
                let wish = project.line_wishes.get(line.index()).copied().unwrap_or_default();
                if wish.person.is_some() && !sent(&project.show, line) {
                    continue;
                }
                match plan_line(&project.show, line, &wish) {
                    Ok(points) => {
                        assert!(done, "{name}: line {}", line.0);
                        let there = project.show.points_of(&project.show.lines[line.index()]);
                        assert_eq!(there, points, "{name}: line {}", line.0);
                        let before = stored.show.points_of(&stored.show.lines[line.index()]);
                        changed += usize::from(before != there);
                        planned += 1;
                    }
                    Err(_) => {
                        assert!(!done, "{name}: line {}", line.0);
                        barred += 1;
                    }
                }
            }
        }
    }
    println!("{planned} lines planned anew, {changed} of them other than before, {barred} without a way");
    assert!(planned > 30 && changed > 20);
}

/// True when cues send people along a line whose classes the box knows too.
fn sent(show: &Show, line: LineId) -> bool {
    show.cue_places.iter().any(|place: &CuePlace| place.line == Some(line))
}

#[test]
fn many_steps_and_back_is_the_stored_show() {
    let (mut dice, mut room) = (Dice::new(0xBACC), Box::new(Room::new()));
    for name in DEMOS {
        let stored = demo(name).show;
        let (mut show, mut nudges) = (stored.clone(), Nudges::new());
        catch_up(&mut show, &mut nudges, &mut room);
        let walk: Vec<(Piece, (i16, i16))> = (0..3).flat_map(|_| steps(&mut dice, &stored)).collect();
        let mut taken = Vec::new();
        for (piece, by) in walk {
            if nudges.step(&mut show, piece, by).is_ok() {
                taken.push((piece, by));
            }
        }
        assert_ne!(show, stored);
        assert!(nudges.told().list.iter().flatten().count() > 2);
        for (piece, (dx, dy)) in taken {
            nudges.step(&mut show, piece, (-dx, -dy)).expect("a step back");
        }
        assert_eq!(nudges.told().list, [None; 16]);
        catch_up(&mut show, &mut nudges, &mut room);
        for (mark, was) in show.marks.iter().zip(&stored.marks) {
            assert_eq!(mark, was, "{name}");
        }
        assert_eq!(show.props, stored.props, "{name}");
        assert_eq!(show.lines, stored.lines, "{name}");
        for (point, was) in show.line_points.iter().zip(&stored.line_points) {
            assert!(point.at.distance(was.at) < 1e-5 && (point.bend_m - was.bend_m).abs() < 1e-5, "{name}");
        }
    }
}

#[test]
fn half_a_metre_is_the_end_and_both_numbers_are_told() {
    let mut show = demo(DEMOS[0]).show;
    let (mut nudges, mark) = (Nudges::new(), Piece::Mark(MarkId(0)));
    let home = show.marks[0].at;
    assert_eq!(nudges.step(&mut show, mark, (300, 400)), Ok((300, 400)));
    let there = show.marks[0].at;
    assert!((there.distance(home) - 0.5).abs() < 1e-5);
    let too_far = Refusal::TooFar { asked_mm: 501, limit_mm: FARTHEST_MM.into() };
    assert_eq!(nudges.step(&mut show, mark, (1, 0)), Err(too_far));
    assert_eq!(show.marks[0].at, there, "and nothing has moved");
    assert_eq!(nudges.told().list[0], Some(Nudge { what: mark, dx_mm: 300, dy_mm: 400 }));
    assert_eq!(nudges.step(&mut show, Piece::Mark(MarkId(99)), (1, 0)), Err(Refusal::NoSuch));
    nudges.back(&mut show, Some(mark));
    assert_eq!((show.marks[0].at, nudges.told().list[0]), (home, None));
}
