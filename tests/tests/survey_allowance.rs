//! The survey allowance is one number: what the loader puts into the show is what the checks add to every clearance.
//!
//! The expected residuals are worked out by hand from the readings.

use approx::assert_abs_diff_eq;
use underfoot_sim::checks::check;
use underfoot_sim::demos::text_of;
use underfoot_sim::findings::{FindingId, parse_day};
use underfoot_sim::project::{Project, parse};

/// Room that is never given up, metres (common practice), before the allowance.
const HARD_M: f32 = 0.15;
/// Clear radius of a wheelchair's turn, metres, before the allowance: half of the 1500 mm of ISO 21542 (from memory).
const TURN_M: f32 = 0.75;

/// A demo with another survey.
fn surveyed(demo: &str, survey: &str) -> Project {
    let text = text_of(demo).expect("a demo");
    let start = text.find("[survey]").expect("a survey");
    let end = text[start..].find("\n[[").map_or(text.len(), |at| start + at);
    parse(demo, &format!("{}{survey}{}", &text[..start], &text[end..])).unwrap_or_else(|errors| panic!("{errors}"))
}

/// The limits that figures of one kind are held against.
fn limits(project: &Project, id: FindingId) -> Vec<f32> {
    let report = check(project, parse_day("2026-06-01").expect("a day"));
    report.measures.iter().filter(|m| m.id == id).map(|m| m.figure.limit).collect()
}

fn corners(tracking: impl Fn(f32, f32) -> [f32; 3]) -> String {
    let rows = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y): (f32, f32)| {
        let [tx, ty, tz] = tracking(x, y);
        format!("    {{ name = \"{x} {y}\", stage = [{x}, {y}], tracking = [{tx}, {ty}, {tz}] }},\n")
    });
    format!("point = [\n{}]\n", rows.concat())
}

fn assert_one_truth(project: &Project, allowance_m: f32) {
    assert_abs_diff_eq!(project.show.survey_allowance_m, allowance_m, epsilon = 2e-6);
    let held = limits(project, FindingId::MarkNearProp);
    assert!(!held.is_empty());
    for limit in held {
        assert_eq!(limit, HARD_M + project.show.survey_allowance_m);
    }
}

/// Heights of +4, -4, +4, -4 mm at the corners of a square: by symmetry no turn and no lift makes any of them less, so
/// the worst residual is 4 mm.
#[test]
fn without_a_written_allowance_it_is_the_worst_residual() {
    let saddle = corners(|x, y| [x, y, 0.004 * x * y]);
    assert_one_truth(&surveyed("clock-cabinet", &format!("[survey]\n{saddle}")), 0.004);
}

/// The same readings; the file says 20 mm.
#[test]
fn a_written_allowance_counts() {
    let saddle = corners(|x, y| [x, y, 0.004 * x * y]);
    let project = surveyed("clock-cabinet", &format!("[survey]\nallowance_mm = 20\n{saddle}"));
    assert_one_truth(&project, 0.020);
}

/// Tracking reads 0.1 % long. The corners lie 1.4142 m from the middle: 1.414 mm each for a rigid fit, nothing when one
/// scale may be fitted.
#[test]
fn the_fit_is_the_one_that_the_file_asks_for() {
    let long = corners(|x, y| [1.001 * x, 1.001 * y, 0.0]);
    let fixed = surveyed("clock-cabinet", &format!("[survey]\n{long}"));
    assert_one_truth(&fixed, 0.001_414_2);
    let common = surveyed("clock-cabinet", &format!("[survey]\nscale = \"common\"\n{long}"));
    assert_one_truth(&common, 0.0);
}

#[test]
fn no_survey_adds_nothing() {
    assert_one_truth(&surveyed("clock-cabinet", ""), 0.0);
}

/// A clear radius grows by it too.
#[test]
fn turning_room_grows_by_it() {
    let project = surveyed("harbour-hour", "[survey]\nallowance_mm = 30\n");
    let held = limits(&project, FindingId::TurningRoom);
    assert!(!held.is_empty());
    for limit in held {
        assert_abs_diff_eq!(limit, TURN_M + 0.030, epsilon = 1e-6);
    }
}
