//! What `check` must find of the demo shows' ways: who meets what moves, who is late, who passes whom.
//!
//! The expected figures are worked out by hand from the coordinates and times in the shows; the sums stand beside them.

use underfoot_sim::checks::check;
use underfoot_sim::cli::show_source;
use underfoot_sim::findings::{Finding, FindingId, Measure, Report, Severity, parse_day};
use underfoot_sim::project::Project;

fn project(demo: &str) -> Project {
    show_source::load(demo).unwrap_or_else(|refusal| panic!("{refusal}"))
}

fn report(project: &Project) -> Report {
    check(project, parse_day("2026-06-01").expect("a day"))
}

fn of_demo(demo: &str) -> Report {
    report(&project(demo))
}

fn found<'r>(report: &'r Report, id: FindingId, cue: u32, who: &str) -> Option<&'r Finding> {
    report.findings.iter().find(|f| f.id == id && f.cue == Some(cue) && f.who.as_deref() == Some(who))
}

fn value(finding: &Finding) -> f32 {
    finding.figure.expect("a figure").value
}

fn near(is: f32, should: f32, within: f32) {
    assert!((is - should).abs() <= within, "{is} is not {should}");
}

fn measured<'r>(report: &'r Report, id: FindingId, cue: u32, what: &str) -> &'r Measure {
    let mut all = report.measures.iter().filter(|m| m.id == id && m.cue == Some(cue));
    all.find(|m| m.what.contains(what)).unwrap_or_else(|| panic!("nothing measured of {what} in cue {cue}"))
}

/// The bob, r 0.18, swings 25 degrees on 1.7 m about (0.60, -0.90): C (0.75, -0.75), body 0.25, lies 0.15 m beside its
/// way, 0.15 - 0.18 - 0.25 = -0.28. It starts at its end SL of C and first touches where it is √(0.43² - 0.15²) =
/// 0.403 m SL of C, at x 1.153: sin a = 0.553 / 1.7, a = 18.98 degrees = 25 cos(2π t / 2.62), t = 0.296 s.
#[test]
fn the_pendulum_sweeps_the_presenter_on_c() {
    let report = of_demo("clock-cabinet");
    let finding = found(&report, FindingId::PropMeetsPerson, 400, "Presenter").expect("it is found");
    assert_eq!((finding.severity, finding.about.as_str()), (Severity::Stop, "PENDULUM"));
    near(value(finding), -0.28, 0.0015);
    near(finding.moment_s.expect("a moment"), 0.296, 0.002);
    let place = finding.place.expect("a place");
    near(place.x, 0.75, 1e-4);
}

/// BOAT goes from x -7 to 0.2 in 8 s as half a cosine wave. The corner of its far hull, 1.80 m SL and 0.70 m US of its
/// middle at y -0.90, goes along y -0.20, on which P1 (-1.3, -0.2) stands with a body of 0.25 m: it touches at x -1.55,
/// when the middle is at -3.35: (1 - cos(π t / 8)) / 2 = 3.65 / 7.2, t = 4.035 s.
#[test]
fn the_boats_bow_reaches_p1_after_four_seconds() {
    let report = of_demo("harbour-hour");
    let finding = found(&report, FindingId::PropMeetsPerson, 300, "P1").expect("it is found");
    assert_eq!((finding.severity, finding.about.as_str()), (Severity::Stop, "BOAT"));
    near(finding.moment_s.expect("a moment"), 4.035, 0.002);
}

/// At (-1.3, 0.6) P1's body is 0.8 - 0.25 = 0.55 m from the far hull's upstage side at y -0.20.
#[test]
fn the_repaired_mark_of_p1_is_clear_of_the_boat() {
    let report = of_demo("harbour-hour-clean");
    let measure = measured(&report, FindingId::PropMeetsPerson, 300, "P1 on mark P1 to BOAT EMPTY as it moves");
    near(measure.figure.value, 0.55, 0.0015);
    assert!(measure.figure.holds() && measure.figure.limit >= 0.50, "{measure:?}");
}

/// BUOY, r 0.45, goes from (1.8, -1.2) to (2.9, 0.4); P2 stands on (2.3, -0.45). At its start it is
/// √(0.5² + 0.75²) - 0.70 = 0.20 m away, at its end √(0.6² + 0.85²) - 0.70 = 0.34 m; its middle passes P2 at
/// |1.1 · 0.75 - 1.6 · 0.5| / √(1.1² + 1.6²) = 0.013 m: 0.013 - 0.70 = -0.687.
#[test]
fn the_buoy_is_clear_at_both_ends_and_sweeps_through_p2() {
    let report = of_demo("harbour-hour");
    let finding = found(&report, FindingId::PropMeetsPerson, 500, "P2").filter(|f| f.about == "BUOY").expect("found");
    near(value(finding), -0.687, 0.0015);
    assert_eq!(finding.severity, Severity::Stop);
    let at_rest = measured(&report, FindingId::MarkNearProp, 600, "P2 on mark P2 to BUOY");
    near(at_rest.figure.value, 0.340, 0.001);
}

/// CRANE, 4 m wide, goes along x 11: 9 to 13. Nos. k + 1 of formation 2 stand at 5 + 4.5 sin(15 k degrees): 7 at 9.5,
/// 6 and 8 at 9.347, 5 and 9 at 8.897, 4 and 10 at 8.182. With a body of 0.25 m those from 8.75 on are hit, 7 by
/// 0.5 + 0.25 m, 5 and 9 by 0.25 - 0.103 m.
#[test]
fn the_crane_runs_into_numbers_5_to_9() {
    let report = of_demo("lantern-field");
    let hit = report.findings.iter().filter(|f| f.id == FindingId::PropMeetsPerson && f.severity == Severity::Stop);
    let mut who: Vec<&str> = hit.filter(|f| f.about == "CRANE").filter_map(|f| f.who.as_deref()).collect();
    who.sort_unstable();
    assert_eq!(who, ["5", "6", "7", "8", "9"]);
    for (who, gap_m) in [("7", -0.75), ("5", -0.147), ("9", -0.147)] {
        near(value(found(&report, FindingId::PropMeetsPerson, 600, who).expect("found")), gap_m, 0.0015);
    }
}

/// A (-0.90, 0.10) to C (0.75, -0.75) is √(1.65² + 0.85²) = 1.856 m. Of 3.5 s 1.7 s go for the start and the end:
/// 1.856 / 1.8 = 1.031 m/s, more than the presenter's 0.9 and less than 1.2. Of 3.0 s it is 1.856 / 1.3 = 1.428.
#[test]
fn the_walk_to_c_is_hasty_in_3_5_s_and_too_much_in_3_0_s() {
    let mut project = project("clock-cabinet");
    let hasty = report(&project);
    let finding = found(&hasty, FindingId::WalkLate, 300, "Presenter").expect("a note");
    assert_eq!(finding.severity, Severity::Note);
    near(value(finding), 1.031, 0.001);
    project.show.cues[2].time_limit_ms = 3000;
    let late = report(&project);
    let finding = found(&late, FindingId::WalkLate, 300, "Presenter").expect("a stop");
    assert_eq!(finding.severity, Severity::Stop);
    near(value(finding), 1.428, 0.001);
    // 1.856 / 1.2 + 1.7 = 3.25 s: the next half second.
    assert!(finding.fix.as_deref().is_some_and(|fix| fix.contains("limit_s = 3.5")), "{finding:?}");
}

/// X1 from (-13, -9) to K (1.5, -3): √(14.5² + 6²) = 15.692 m in 12 - 1.7 s: 1.5236 m/s.
#[test]
fn x1_cannot_be_there_in_12_s() {
    let report = of_demo("lantern-field");
    let finding = found(&report, FindingId::WalkLate, 300, "X1").expect("it is found");
    assert_eq!(finding.severity, Severity::Stop);
    near(value(finding), 1.5236, 0.0005);
    assert!(finding.what.contains("15.69 m in 12.0 s"), "{}", finding.what);
}

/// W: (-5, 0.2), (-1.9, 0.6), (-1.9, 2.7), (1.1, 2.7), (2.2, 2.6): 3.126 + 2.1 + 3 + 1.105 = 9.330 m at 0.8 m/s, 3 s for
/// turns and 1.7 s: 16.36 s. V goes on to (3.3, 2.7), 2.2 m instead of 1.105: 10.426 m at 0.6 m/s and 1.7 s: 19.08 s,
/// which asks for 10.426 / 16.3 = 0.640 m/s of the 18 s.
#[test]
fn w_is_in_time_and_v_has_to_hurry() {
    let report = of_demo("harbour-hour");
    let time = |cue, who| measured(&report, FindingId::WalkLate, cue, &format!("time of {who}")).figure;
    near(time(600, "W").value, 16.36, 0.02);
    near(time(650, "V").value, 19.08, 0.02);
    assert!(found(&report, FindingId::WalkLate, 600, "W").is_none());
    let finding = found(&report, FindingId::WalkLate, 650, "V").expect("a note");
    assert_eq!(finding.severity, Severity::Note);
    near(value(finding), 0.640, 0.001);
}

/// Nos. 4 and 10 stand at (1.25, -7) and (1.25, -5) and go to (5 + 4.5 sin 45, -4 + 4.5 cos 45) and (5 + 4.5 sin 135,
/// -4 + 4.5 cos 135), both x 8.182: on the way they have the same x, and 2 m between their y become -6.364 m: they
/// pass through each other after 2 / 8.364 of 12 s, 2.87 s. The 32 pairs were counted by stepping through the walk.
#[test]
fn thirty_two_pairs_of_performers_pass_under_0_8_m() {
    let report = of_demo("lantern-field");
    let all = report.findings.iter().filter(|f| f.id == FindingId::FormationCrossing && f.cue == Some(500));
    let passes: Vec<&Finding> = all.filter(|f| !f.who.as_deref().unwrap_or_default().contains('X')).collect();
    assert_eq!(passes.len(), 32);
    let worst = passes.iter().min_by(|a, b| value(a).total_cmp(&value(b))).expect("some");
    assert_eq!(worst.who.as_deref(), Some("4 and 10"));
    near(value(worst), 0.0, 0.0015);
    near(worst.moment_s.expect("a moment"), 2.870, 0.01);
}

/// A change of formation is one line of a report, and so is a prop on its way through people.
#[test]
fn a_change_is_one_line() {
    let report = of_demo("lantern-field");
    for (id, cue) in [(FindingId::FormationCrossing, 500), (FindingId::PropMeetsPerson, 600)] {
        let groups = report.groups();
        assert_eq!(groups.iter().filter(|g| g[0].id == id && g[0].cue == Some(cue)).count(), 1, "{id}");
    }
}

/// W, in a chair 0.70 m wide, on the line from (-5, 0.6) to (-1.9, 2.7) past LIGHTHOUSE (-2.8, 1.9), r 0.6: the middle line passes at
/// |3.1 · 1.3 - 2.1 · 2.2| / √(3.1² + 2.1²) = 0.158 m; 0.158 - 0.6 is -0.44 for a point, and -0.79 with half a chair.
#[test]
fn a_line_that_no_cue_uses_is_looked_at_too() {
    let report = of_demo("harbour-hour");
    let through = report.findings.iter().find(|f| f.id == FindingId::LineThroughProp && f.what.contains("DIRECT"));
    let finding = through.expect("it is found");
    assert_eq!((finding.severity, finding.about.as_str()), (Severity::Stop, "LIGHTHOUSE"));
    near(value(finding), 0.158 - 0.6 - 0.35, 0.001);
}

/// What appears without 3 s of notice: PENDULUM in cue 4 and DOME in cue 5; WATCH is there when the show begins.
#[test]
fn appearances_without_notice_are_found() {
    let report = of_demo("clock-cabinet");
    let who: Vec<&str> =
        report.findings.iter().filter(|f| f.id == FindingId::RevealLead).filter_map(|f| f.who.as_deref()).collect();
    assert_eq!(who, ["PENDULUM", "DOME"]);
}

/// Bodies come before pictures among what is as bad.
#[test]
fn walks_are_not_buried_under_pictures() {
    for demo in ["clock-cabinet", "harbour-hour", "lantern-field"] {
        let report = of_demo(demo);
        let stops = report.findings.iter().filter(|f| f.severity == Severity::Stop).map(|f| f.id.is_bodily());
        assert!(stops.is_sorted_by(|a, b| a >= b), "{demo}");
    }
}
