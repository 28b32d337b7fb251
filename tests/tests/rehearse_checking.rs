//! Findings after a change, while people wait: what is told soon is what is told at last, but for fixes.

use std::sync::atomic::AtomicBool;
use std::time::Instant;

use underfoot_sim::checks::{Effort, check, check_until};
use underfoot_sim::demos::DEMOS;
use underfoot_sim::findings::{Finding, Report, today};
use underfoot_sim::project::{Project, parse};
use underfoot_sim::rehearse::draft::edit::Change;

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

/// One change of each kind that people wait for.
fn changes(project: &Project) -> Vec<(&'static str, Change)> {
    let show = &project.show;
    let by = |x: f32, y: f32| [f64::from(x) + 0.05, f64::from(y) + 0.05];
    let (prop, mark) = (&show.props[0], &show.marks[0]);
    let camera = project.cameras.iter().position(|c| c.at.is_some()).expect("a camera with a place");
    let at = project.cameras[camera].at.expect("its place");
    vec![
        ("prop", Change::MoveProp { name: prop.name.to_string(), to: by(prop.at.x, prop.at.y) }),
        ("mark", Change::MoveMark { name: mark.name.to_string(), to: by(mark.at.x, mark.at.y) }),
        ("camera", Change::MoveCamera { name: show.cameras[camera].name.to_string(), to: by(at.x, at.y), z: None }),
    ]
}

#[test]
fn what_is_found_soon_is_what_is_found_at_last() {
    for (name, text) in DEMOS {
        let project = parse(name, text).expect("a demo");
        assert_same(&project, name);
    }
}

#[test]
#[ignore = "a table for people"]
fn how_long_people_wait() {
    for (name, text) in DEMOS {
        let project = parse(name, text).expect("a demo");
        for (what, change) in changes(&project) {
            let start = Instant::now();
            let text = change.apply(text).expect("a change");
            let applied = start.elapsed();
            let project = parse(name, &text).expect("a show");
            let loaded = start.elapsed();
            let report = quick(&project);
            let soon = start.elapsed();
            let whole = check(&project, today());
            let late = start.elapsed();
            println!(
                "{name:22} {what:7} edit {:5.0} ms, load {:5.0} ms, quick {:5.0} ms, all {:5.0} ms, whole {:5.0} ms, {} {}",
                applied.as_secs_f64() * 1e3,
                (loaded - applied).as_secs_f64() * 1e3,
                (soon - loaded).as_secs_f64() * 1e3,
                soon.as_secs_f64() * 1e3,
                (late - soon).as_secs_f64() * 1e3,
                report.findings.len(),
                whole.findings.len()
            );
        }
    }
}
