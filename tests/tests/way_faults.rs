//! Faults of ways that no demo show holds: put into a copy of a repaired one, each is found with its figure and place.
//!
//! RISER of Harbour Hour reaches from (1.1, 1.7) to (4.7, 3.7) and is 0.20 m high; RAMP leads onto it from SR.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::Passage;
use underfoot_sim::checks::check;
use underfoot_sim::cli::show_source;
use underfoot_sim::findings::{Finding, FindingId, Report, Severity, parse_day};
use underfoot_sim::project::Project;

fn studio() -> Project {
    show_source::load("harbour-hour-clean").unwrap_or_else(|refusal| panic!("{refusal}"))
}

/// What was found of one kind in one cue; nothing of that kind is in the show before it is changed.
fn found(project: &Project, id: FindingId, cue: u32) -> Finding {
    let report = |project: &Project| -> Report { check(project, parse_day("2026-06-01").expect("a day")) };
    assert!(report(&studio()).findings.iter().all(|f| f.id != id), "{id} is there without the fault");
    let all = report(project).findings;
    all.iter().find(|f| f.id == id && f.cue == Some(cue)).cloned().unwrap_or_else(|| panic!("no {id}: {all:#?}"))
}

/// Moves points of a line; the first and the last are its ends.
fn bend(project: &mut Project, line: &str, moves: &[(usize, f32, f32)]) {
    let line = project.show.lines.iter().find(|l| l.name == line).expect("a line");
    let first = usize::from(line.points.first);
    for &(point, x, y) in moves {
        project.show.line_points[first + point].at = StagePoint::new(x, y);
    }
}

#[test]
fn a_wheelchair_over_the_side_of_a_riser() {
    let mut project = studio();
    // From the floor at (2.2, 0.6) straight upstage onto the riser, whose downstage side is at y 1.7.
    bend(&mut project, "W-RISER", &[(2, 0.5, 0.6), (3, 2.2, 0.6)]);
    let finding = found(&project, FindingId::RaisedEdge, 650);
    assert_eq!((finding.severity, finding.about.as_str()), (Severity::Stop, "RISER"));
    let place = finding.place.expect("a place");
    assert!((place.x - 2.2).abs() < 0.01 && (place.y - 1.7).abs() < 0.01, "{place:?}");
}

#[test]
fn a_wheelchair_along_the_side_of_a_riser() {
    let mut project = studio();
    // From (0.9, 1.5) to (0.9, 2.7), 0.20 m beside RISER and then onto RAMP over its downstage side at y 2.2: the chair
    // is 0.70 m wide, so it reaches 0.35 m out. Over is worse than along.
    bend(&mut project, "W-RISER", &[(2, 0.9, 1.5), (3, 0.9, 2.7)]);
    let finding = found(&project, FindingId::RaisedEdge, 650);
    assert_eq!((finding.severity, finding.about.as_str()), (Severity::Stop, "RAMP"));
    // Up RAMP, but 0.20 m from its downstage side, which is more than 20 mm high from x -1.06 on.
    bend(&mut project, "W-RISER", &[(2, -1.9, 2.4), (3, 0.0, 2.4)]);
    let finding = found(&project, FindingId::RaisedEdge, 650);
    assert_eq!((finding.severity, finding.about.as_str()), (Severity::Fix, "RAMP"));
    let figure = finding.figure.expect("a figure");
    assert!((figure.value - 0.20).abs() < 0.002 && (figure.limit - 0.35).abs() < 1e-4, "{figure:?}");
}

#[test]
fn out_through_an_entry_that_only_lets_people_in() {
    let mut project = studio();
    let door = project.show.entries.iter_mut().find(|e| e.name == "SL DOOR").expect("an entry");
    door.passage = Passage::In;
    let cue = project.show.cues.iter().find(|cue| {
        let lines = project.show.places_in(cue).iter().filter_map(|p| p.line);
        lines.into_iter().any(|l| project.show.lines[l.index()].name == "P2-OFF")
    });
    let finding = found(&project, FindingId::EntryWrongWay, cue.expect("a cue").number);
    assert_eq!((finding.severity, finding.about.as_str()), (Severity::Fix, "SL DOOR"));
    let fix = finding.fix.expect("a fix");
    assert!(fix.contains("SR DOOR") && fix.contains("passage = \"both\""), "{fix}");
    // As the fix says.
    let door = project.show.entries.iter_mut().find(|e| e.name == "SL DOOR").expect("an entry");
    door.passage = Passage::Both;
    let again = check(&project, parse_day("2026-06-01").expect("a day"));
    assert!(again.findings.iter().all(|f| f.id != FindingId::EntryWrongWay));
}

#[test]
fn a_line_through_the_sofa() {
    let mut project = studio();
    // SOFA reaches from (2.9, 2.7) to (4.5, 3.5): a point in its middle, 1.2 m or more before the line's end at its edge.
    bend(&mut project, "V-RISER", &[(3, 4.4, 3.4)]);
    let finding = found(&project, FindingId::LineBlocked, 600);
    assert_eq!((finding.severity, finding.about.as_str()), (Severity::Stop, "SOFA"));
    assert!(finding.figure.expect("a figure").value < -0.25, "{finding:?}");
}

#[test]
fn a_corridor_that_a_prop_pinches() {
    let mut project = studio();
    // W's leg along x -1.9 with LIGHTHOUSE, r 0.6, at x -3.05: 1.15 - 0.6 = 0.55 m to that side, so 1.10 m are free of
    // the corridor's 1.20 m; the chair needs 0.35 + 0.15 m, which it has. The survey may be wrong on both sides.
    let lighthouse = project.show.props.iter_mut().find(|p| p.name == "LIGHTHOUSE").expect("a prop");
    lighthouse.at = StagePoint::new(-3.05, 1.7);
    let finding = found(&project, FindingId::LinePinched, 650);
    assert_eq!((finding.severity, finding.about.as_str()), (Severity::Note, "LIGHTHOUSE"));
    let figure = finding.figure.expect("a figure");
    let free_m = 1.10 - 2.0 * project.show.survey_allowance_m;
    assert!((figure.value - free_m).abs() < 1e-3 && (figure.limit - 1.20).abs() < 1e-4, "{figure:?}");
}
