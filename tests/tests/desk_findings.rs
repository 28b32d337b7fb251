//! What `check` must find in the demo shows, and that it finds none of it in their repaired variants.
//!
//! The expected figures are worked out by hand from the printed coordinates; the sums stand beside them.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use underfoot_sim::checks::check;
use underfoot_sim::cli::{Exit, Output, run, show_source};
use underfoot_sim::findings::{Finding, FindingId, Report, Severity, parse_day};

/// The report on a demo; each is made once.
fn report(demo: &'static str) -> Report {
    static MADE: Mutex<BTreeMap<&str, Report>> = Mutex::new(BTreeMap::new());
    let mut made = MADE.lock().unwrap_or_else(PoisonError::into_inner);
    let make = || {
        let project = show_source::load(demo).unwrap_or_else(|refusal| panic!("{refusal}"));
        check(&project, parse_day("2026-06-01").expect("a day"))
    };
    made.entry(demo).or_insert_with(make).clone()
}

fn found<'r>(report: &'r Report, id: FindingId, about: &str, cue: Option<u32>) -> &'r Finding {
    let mut all = report.findings.iter();
    all.find(|f| f.id == id && f.about == about && (cue.is_none() || f.cue == cue))
        .unwrap_or_else(|| panic!("no {id} about {about} in cue {cue:?}: {:#?}", report.findings))
}

fn call(arguments: &[&str]) -> (Exit, String) {
    let (mut data, mut talk) = (Vec::new(), Vec::new());
    let exit = run(["underfoot"].iter().chain(arguments), &mut Output::new(&mut data, &mut talk));
    (exit, String::from_utf8(data).expect("text") + &String::from_utf8(talk).expect("text"))
}

/// One fault that a demo holds.
struct Row {
    demo: &'static str,
    id: FindingId,
    about: &'static str,
    cue: Option<u32>,
    severity: Severity,
    value: f32,
    /// Half of the last digit that the sum beside it carries, or of the step in which ways are followed.
    within: f32,
}

#[rustfmt::skip]
const ROWS: &[Row] = &[
    // The stand-by pulse is set to 4 Hz, the line to one pixel of 3.90625 mm.
    Row { demo: "clock-cabinet", id: FindingId::PulseFast, about: "look", cue: None, severity: Severity::Stop, value: 4.0, within: 1e-6 },
    Row { demo: "clock-cabinet", id: FindingId::LineThin, about: "look", cue: None, severity: Severity::Fix, value: 1.0, within: 1e-4 },
    // Straight A (-0.90, 0.10) to C (0.75, -0.75) past WATCH (0.15, -0.35), r 0.35, body 0.25: the cross product of
    // (1.65, -0.85) and (1.05, -0.45) is 0.15, over the length 1.8561 is 0.0808; 0.0808 - 0.60 = -0.519.
    Row { demo: "clock-cabinet", id: FindingId::LineThroughProp, about: "WATCH", cue: Some(300), severity: Severity::Stop, value: -0.519, within: 0.005 },
    // C to WATCH: the square root of 0.60² + 0.40² is 0.7211; - 0.35 - 0.25 = 0.121.
    Row { demo: "clock-cabinet", id: FindingId::MarkNearProp, about: "WATCH", cue: Some(300), severity: Severity::Fix, value: 0.121, within: 0.0005 },
    // The bend (-1.9, 2.7) to LIGHTHOUSE (-2.8, 1.9), r 0.6: the square root of 0.9² + 0.8² is 1.2042; - 0.6 = 0.604.
    Row { demo: "harbour-hour", id: FindingId::TurningRoom, about: "wheelchair", cue: Some(600), severity: Severity::Fix, value: 0.604, within: 0.0005 },
];

#[test]
fn seeded_faults_are_found_with_their_figures() {
    for row in ROWS {
        let report = report(row.demo);
        let finding = found(&report, row.id, row.about, row.cue);
        let value = finding.figure.expect("a figure").value;
        assert!((value - row.value).abs() <= row.within, "{}: {} is {value}, not {}", row.demo, row.id, row.value);
        assert_eq!(finding.severity, row.severity, "{}: {}", row.demo, row.id);
        assert!(finding.line.is_some(), "{}: {} names no line", row.demo, row.id);
    }
}

#[test]
fn the_straight_way_passes_the_watch_at_0_08_m() {
    let report = report("clock-cabinet");
    let finding = found(&report, FindingId::LineThroughProp, "WATCH", Some(300));
    assert!(finding.what.contains("0.08 m from its centre"), "{}", finding.what);
}

/// Formation 1, no. n = 1 + i + 6j at (-6.25 + 2.5 i, -7 + 2 j), beside a ring of 3.6 to 4.2 m round (-8, -2):
/// 7 is at (-6.25, -5), 3.473 m from the centre, so its body of 0.25 m reaches the wall at 3.6 m; 14 at (-3.75, -3)
/// is 4.366 m, 20 at (-3.75, -1) likewise; 13 and 19 at 2.016 m are inside, clear.
#[test]
fn three_performers_stand_in_the_fountain_wall_and_two_are_clear_of_it() {
    let report = report("lantern-field");
    let in_wall = report.findings.iter().filter(|f| f.id == FindingId::MarkInProp && f.about == "FOUNTAIN");
    let mut who: Vec<&str> = in_wall.filter(|f| f.cue == Some(100)).filter_map(|f| f.who.as_deref()).collect();
    who.sort_by_key(|n| n.parse::<u32>().unwrap_or(0));
    assert_eq!(who, ["7", "14", "20"]);
}

#[test]
fn wheelchairs_lack_room_in_formation_2_only() {
    let report = report("lantern-field");
    let tight = || report.findings.iter().filter(|f| f.id == FindingId::TurningRoom);
    for who in ["3", "22"] {
        assert!(tight().any(|f| f.who.as_deref() == Some(who) && f.cue == Some(500)), "{who}");
    }
    assert!(tight().all(|f| f.cue >= Some(500)), "formation 1 has 2 m");
}

#[test]
fn letters_that_rhyme_are_noted_in_the_arena() {
    let report = report("lantern-field");
    let finding = found(&report, FindingId::SoundAlike, "grid letters", None);
    assert!(["D", "E"].iter().all(|letter| finding.things.iter().any(|t| t == letter)), "{:?}", finding.things);
}

#[test]
fn repaired_shows_have_no_stop_and_no_fix() {
    for demo in ["clock-cabinet-clean", "harbour-hour-clean", "lantern-field-clean"] {
        let report = report(demo);
        let open: Vec<_> = report.findings.iter().filter(|f| f.severity != Severity::Note).collect();
        assert!(open.is_empty(), "{demo}: {open:#?}");
        assert!(report.measures.len() > 50, "{demo} was hardly looked at: {} figures", report.measures.len());
    }
}

#[test]
fn survey_faults_are_named() {
    let csv = |name: &str| format!("{}/../host-sim/demos/{name}", env!("CARGO_MANIFEST_DIR"));
    let (exit, text) = call(&["survey", "clock-cabinet"]);
    assert_eq!(exit, Exit::Fine, "{text}");
    assert!(text.contains("1.7 mm on plan") && text.contains("yaw 12.39 deg"), "{text}");
    let (exit, text) = call(&["survey", &csv("clock-cabinet-survey-s1.csv")]);
    assert_eq!(exit, Exit::Faults);
    assert!(text.contains("ODD is the bad reading"), "{text}");
    let (exit, text) = call(&["survey", &csv("clock-cabinet-survey-s2.csv")]);
    assert_eq!(exit, Exit::Faults);
    assert!(text.contains("mirrored"), "{text}");
}

#[test]
fn json_carries_every_figure_and_the_good_ones_too() {
    let (exit, text) = call(&["check", "clock-cabinet", "--json"]);
    assert_eq!(exit, Exit::Faults);
    let value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(value["shape"], 1);
    assert_eq!(value["counts"]["stop"], report("clock-cabinet").count(Severity::Stop));
    let measured = value["measured"].as_array().expect("a list");
    assert!(measured.iter().any(|m| m["holds"] == true) && measured.iter().any(|m| m["holds"] == false));
    for m in measured {
        let limit = m.get("at_least").or(m.get("at_most"));
        assert!(m["value"].is_number() && limit.is_some_and(|l| l.is_number()) && m["what"].is_string(), "{m}");
    }
    for field in ["severity", "id", "about", "who", "cue", "place_m", "what", "figure", "fix", "line"] {
        assert!(value["findings"][0].get(field).is_some(), "{field}");
    }
    assert!(!value["not_checked"].as_array().expect("a list").is_empty());
}

#[test]
fn no_report_gives_a_verdict() {
    for demo in ["clock-cabinet", "clock-cabinet-clean", "harbour-hour-clean", "lantern-field-clean"] {
        let (_, text) = call(&["check", demo, "--all"]);
        assert!(text.contains("NOT checked"), "{demo}");
        assert!(!text.to_lowercase().replace("not a safety device", "").contains("safe"), "{demo}: {text}");
    }
}
