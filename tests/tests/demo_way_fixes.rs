//! A remedy that `check` prints for a way is carried out on the show, as its words say, and the show is checked again:
//! the finding is gone, and no stop about ways has come that was not there.

use underfoot_core::geom::StageVector;
use underfoot_core::show::{LineId, MotionKind, Presence};
use underfoot_sim::findings::{Finding, FindingId, Report, Severity};
use underfoot_sim::project::{Project, parse, plan_line};
use underfoot_tests::fix_words::{between, index, move_mark, number, place, project, report};

const WAYS: [FindingId; 7] = [
    FindingId::PropMeetsPerson,
    FindingId::RevealLead,
    FindingId::WalkLate,
    FindingId::LineThroughProp,
    FindingId::LineNearProp,
    FindingId::LineBlocked,
    FindingId::RaisedEdge,
];

fn faults(report: &Report) -> impl Iterator<Item = &Finding> {
    report.findings.iter().filter(|f| f.severity != Severity::Note && WAYS.contains(&f.id))
}

/// What tells one fault from another, whatever its figure.
fn key(f: &Finding) -> (FindingId, &str, Option<u32>, Option<&str>) {
    (f.id, &f.about, f.cue, f.who.as_deref())
}

fn carry_out(project: &mut Project, finding: &Finding) -> bool {
    let fix = finding.fix.clone().unwrap_or_default();
    let ways = [move_mark, announce, give_time, move_later, plan];
    ways.iter().any(|way| way(project, finding, &fix).is_some())
}

fn announce(project: &mut Project, finding: &Finding, fix: &str) -> Option<()> {
    let seconds_s = number(between(fix, "let it come for ", " s:")?);
    let show = &mut project.show;
    let prop = index(&show.props, finding.who.as_deref()?, |p| &p.name);
    let props = show.cues.iter().find(|c| Some(c.number) == finding.cue)?.props;
    let states = &mut show.cue_props[usize::from(props.first)..usize::from(props.first + props.len)];
    states.iter_mut().filter(|s| s.prop.index() == prop).for_each(|s| {
        (s.presence, s.coming_ms) = (Presence::Coming, (seconds_s * 1000.0) as u32);
    });
    Some(())
}

fn give_time(project: &mut Project, finding: &Finding, fix: &str) -> Option<()> {
    let limit_s = number(between(fix, "set limit_s = ", " (")?);
    let cue = project.show.cues.iter_mut().find(|c| Some(c.number) == finding.cue)?;
    cue.time_limit_ms = (limit_s * 1000.0) as u32;
    Some(())
}

fn move_later(project: &mut Project, finding: &Finding, fix: &str) -> Option<()> {
    let (name, by) = between(fix, "let ", " later")?.split_once(" move ")?;
    let show = &mut project.show;
    let prop = index(&show.props, name, |p| &p.name);
    let cue = show.cues.iter().find(|c| Some(c.number) == finding.cue)?;
    let motion = show.props_in(cue).iter().find(|s| s.prop.index() == prop)?.motion?;
    let MotionKind::Keys { keys, .. } = show.motions[motion.index()].kind else { return None };
    for key in &mut show.motion_keys[usize::from(keys.first)..usize::from(keys.first + keys.len)] {
        key.at_s += number(by);
    }
    Some(())
}

/// Plans a drawn line anew, among all cues that use it, as loading the file with the changed key does.
fn plan(project: &mut Project, finding: &Finding, fix: &str) -> Option<()> {
    fix.starts_with("set route = \"shortest\"").then_some(())?;
    if let Some((_, limit)) = fix.split_once(", and set limit_s = ") {
        let cue = project.show.cues.iter_mut().find(|c| Some(c.number) == finding.cue)?;
        cue.time_limit_ms = (number(limit) * 1000.0) as u32;
    }
    let name = finding.things.first()?;
    let line = index(&project.show.lines, name, |l| &l.name);
    let wish = project.line_wishes[line];
    let points = plan_line(&project.show, LineId(line as u8), &wish).ok()?;
    let show = &mut project.show;
    // The planned points stand behind all others; nobody else needs the old ones.
    show.lines[line].points.first = show.line_points.len() as u16;
    show.lines[line].points.len = points.len() as u16;
    show.lines[line].planned = true;
    show.line_points.extend(points);
    Some(())
}

/// Carries out the distinct remedies of a demo and checks after each; gives how many.
fn fixes_hold(demo: &str, most: usize) -> usize {
    let before = report(&project(demo));
    let mut done: Vec<String> = Vec::new();
    for finding in faults(&before) {
        let fix = finding.fix.clone().unwrap_or_default();
        // What people do, and what needs a new line in the file, is not a change of a number.
        let by_people = fix.contains(" start ")
            || fix.starts_with("draw a line")
            || fix.starts_with("lead it round")
            || fix.starts_with("none found");
        let alike = done.iter().filter(|known| known.get(..9) == fix.get(..9)).count();
        if by_people || alike >= most || done.contains(&fix) {
            continue;
        }
        let mut changed = project(demo);
        assert!(carry_out(&mut changed, finding), "{demo}: nobody can carry out: {fix}");
        let after = report(&changed);
        assert!(!faults(&after).any(|f| key(f) == key(finding)), "{demo}: still there after: {fix}: {finding:#?}");
        let new = faults(&after).find(|f| f.severity == Severity::Stop && !faults(&before).any(|b| key(b) == key(f)));
        assert!(new.is_none(), "{demo}: new after: {fix}: {new:#?}");
        done.push(fix);
    }
    done.len()
}

#[test]
fn remedies_for_ways_hold_in_the_clock_cabinet() {
    let done = fixes_hold("clock-cabinet", 2);
    assert!(done >= 3, "{done}");
}

#[test]
fn remedies_for_ways_hold_in_the_harbour() {
    let done = fixes_hold("harbour-hour", 2);
    assert!(done >= 4, "{done}");
}

/// A floor of 8 by 8 m, and a wall across it from its DS edge to y 3.35: 0.35 m are left to the band of the open US edge.
const BARRED: &str = r#"
show = { title = "Barred", frame_rate = 25, unit = "m" }
floor = { edges = { DS = "level", SL = "level", US = "open", SR = "level" } }
canvas = [{ name = "FLOOR", size_px = [512, 512] }]
block = [{ name = "FLOOR", canvas = "FLOOR", panels = [16, 16], panel_mm = [500, 500], panel_px = [32, 32] }]
person = [{ name = "Presenter", height_m = 1.74 }]
mark = [{ name = "A", at = [-2.0, 0.0] }, { name = "B", at = [2.0, 0.0] }]
line = [{ name = "A-B", points = ["A", "B"], route = "shortest", corridor_m = 0.9 }]

[[prop]]
name = "SCREEN"
at = [0.0, -0.325]
part = [{ shape = "box", size_m = [0.2, 7.35], top_m = 1.5 }]

[[cue]]
number = 1
name = "GO"
mode = "standby"
props = ["SCREEN"]
places = [{ person = "Presenter", mark = "B", line = "A-B" }]
"#;

/// Half a corridor, 0.45 m, does not fit into 0.35 m: 0.10 m are missing, and a wall that much farther DS opens a way.
#[test]
fn a_barred_line_names_what_bars_it_and_a_move_that_opens_it() {
    let mut project = parse("barred.toml", BARRED).unwrap_or_else(|errors| panic!("{errors}"));
    let report = report(&project);
    let finding = report.findings.iter().find(|f| f.id == FindingId::NoWay).expect("it is found");
    assert_eq!((finding.severity, finding.cue, finding.who.as_deref()), (Severity::Stop, Some(100), Some("Presenter")));
    assert!(finding.what.contains("SCREEN") && finding.line.is_some(), "{finding:#?}");
    let missing_m = -finding.figure.unwrap_or_else(|| panic!("no figure: {finding:#?}")).value;
    assert!((missing_m - 0.10).abs() < 0.003, "{finding:#?}");
    let fix = finding.fix.clone().expect("a remedy");
    let to = place(between(&fix, "(to ", " of the centre").expect("a move"));
    let by: StageVector = to - project.show.props[0].at;
    assert!(fix.starts_with("move SCREEN") && (0.09..0.22).contains(&by.length()), "a small move is enough: {fix}");
    project.show.props[0].at = to;
    let wish = project.line_wishes[0];
    assert!(plan_line(&project.show, LineId(0), &wish).is_ok(), "{fix}");
}
