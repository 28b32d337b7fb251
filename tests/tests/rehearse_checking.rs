//! Findings after a change, while people wait: what is told soon is what is told at last, but for fixes.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use underfoot_sim::checks::{Effort, check, check_until};
use underfoot_sim::demos::DEMOS;
use underfoot_sim::findings::{Finding, Report, json as written, today};
use underfoot_sim::project::{Project, load, parse};
use underfoot_sim::rehearse::House;
use underfoot_sim::rehearse::door::{Door, Hosts};
use underfoot_sim::rehearse::draft::Draft;
use underfoot_sim::rehearse::notices::Kind;
use underfoot_sim::rehearse::people::Right;

fn quick(project: &Project) -> Report {
    check_until(project, today(), Effort::Figures, &AtomicBool::new(false)).expect("nobody stops it")
}

/// Findings without what a fix is.
fn bare(findings: &[Finding]) -> Vec<Finding> {
    findings.iter().map(|f| Finding { fix: None, ..f.clone() }).collect()
}

fn assert_same(project: &Project, what: &str) {
    let (soon, late) = (quick(project), check(project, today()));
    assert_eq!(bare(&soon.findings), bare(&late.findings), "{what}");
    assert_eq!(soon.measures, late.measures, "{what}");
    assert_eq!(soon.waived.len(), late.waived.len(), "{what}");
    assert_eq!(soon.code, late.code, "{what}");
}

#[test]
fn what_is_found_soon_is_what_is_found_at_last() {
    for (name, text) in DEMOS {
        let project = parse(name, text).expect("a demo");
        assert_same(&project, name);
    }
}

#[test]
fn what_is_stopped_says_nothing() {
    let (name, text) = DEMOS[0];
    let project = parse(name, text).expect("a demo");
    for effort in [Effort::Figures, Effort::Fixes] {
        assert_eq!(check_until(&project, today(), effort, &AtomicBool::new(true)), None);
    }
}

fn house(draft: Draft) -> (Arc<House>, u64) {
    let house = Arc::new(House::new(Door::new(Hosts::new(1, &[])).expect("keys"), draft).expect("a house"));
    house.start().expect("threads");
    let id = house.come(Right::Drive);
    (house, id)
}

fn ask(house: &House, id: u64, ask: Value) -> Result<Value, String> {
    house.take(id, serde_json::from_value(ask).expect("an ask"))
}

/// The notice of a kind that is pinned now.
fn pinned(house: &House, kind: Kind) -> Value {
    let board = house.notices.watch().0;
    let standing = board.borrow();
    standing.get(&kind).map_or(Value::Null, |(_, text)| serde_json::from_str(text).expect("JSON"))
}

/// Every different notice of findings until the whole check of a revision is done.
fn told_until_whole(house: &House, revision: u64) -> Vec<Value> {
    let (mut all, start) = (vec![Value::Null], Instant::now());
    while start.elapsed() < Duration::from_secs(120) {
        let now = pinned(house, Kind::Findings);
        if all.last() != Some(&now) {
            all.push(now.clone());
        }
        if now["revision"] == revision && now["state"] == "whole" {
            return all;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    panic!("no whole check of revision {revision} in two minutes");
}

#[test]
fn after_an_edit_findings_are_told_soon_then_whole_and_of_the_newest_show() {
    let (name, text) = DEMOS[0];
    let (house, id) = house(Draft::new(parse(name, text).expect("a demo"), None));
    told_until_whole(&house, 1);
    for x in [0.2, 0.3] {
        let change = json!({ "what": "move-prop", "name": "WATCH", "to": [x, -0.35] });
        ask(&house, id, json!({ "do": "edit", "change": change })).expect("a change");
    }
    let told = told_until_whole(&house, 3);
    let steps = told.iter().filter(|t| t["revision"] == 3).map(|t| t["state"].as_str().unwrap_or_default());
    let steps: Vec<&str> = steps.collect();
    assert!("checking quick whole".ends_with(&steps.join(" ")) && steps.len() > 1, "{steps:?}");
    let report = check(&house.revision().project, today());
    let last = told.last().expect("a notice");
    assert_eq!((&last["counts"], &last["findings"]), (&written::counts(&report), &written::findings(&report)));
    assert_eq!((&last["of"], &last["told"]), (&json!(3), &json!("findings")));
    assert!(told.iter().filter(|t| t["state"] == "quick").all(|t| t["of"] == t["revision"]));
    // What is taken back is found again.
    ask(&house, id, json!({ "do": "undo" })).expect("a step");
    let told = told_until_whole(&house, 4);
    let report = check(&parse(name, text).expect("a demo"), today());
    assert_eq!(told.last().expect("a notice")["counts"], written::counts(&report), "both nudges are one step");
}

#[test]
fn everybody_is_told_when_somebody_else_changes_the_file() {
    let path = std::env::temp_dir().join(format!("underfoot-watched-{}.toml", std::process::id()));
    std::fs::write(&path, DEMOS[0].1).expect("a file");
    let (house, id) = house(Draft::new(load(&path).expect("a show"), Some(path.clone())));
    let changed = |house: &House| pinned(house, Kind::Show)["changed_on_disk"].clone();
    house.look_at_file();
    assert_eq!(changed(&house), false);
    std::fs::write(&path, DEMOS[1].1).expect("they write");
    house.look_at_file();
    assert_eq!(changed(&house), true);
    assert!(ask(&house, id, json!({ "do": "keep" })).is_err());
    ask(&house, id, json!({ "do": "reload" })).expect("theirs is a show");
    let told = pinned(&house, Kind::Show);
    assert_eq!((&told["changed_on_disk"], &told["undo"], &told["unkept"]), (&json!(false), &json!(1), &json!(false)));
    let _ = std::fs::remove_file(&path);
}
