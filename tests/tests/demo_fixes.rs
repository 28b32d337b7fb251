//! A fix that `check` prints for a picture is carried out on the show, as its words say, and the show is checked again:
//! the finding is gone, and no stop and no fix has come that was not there.

use underfoot_core::show::{Layer, Name, Presence, PropId, Show, Wall};
use underfoot_sim::findings::{Finding, FindingId, Report, Severity};
use underfoot_sim::project::Project;
use underfoot_tests::fix_words::{between, index, move_mark, number, place, project, report};

const PICTURES: [FindingId; 5] = [
    FindingId::PaintedOver,
    FindingId::HiddenInShot,
    FindingId::ShowsInFront,
    FindingId::OffWall,
    FindingId::CutByFrame,
];

/// What tells one fault from another, whatever its figure.
fn key(f: &Finding) -> (FindingId, &str, Option<u32>, Option<&str>, Option<&str>) {
    (f.id, &f.about, f.cue, f.who.as_deref(), f.shot.as_deref())
}

fn faults(report: &Report) -> impl Iterator<Item = &Finding> {
    report.findings.iter().filter(|f| f.severity != Severity::Note)
}

/// Carries out the first of the ways that a fix names; false for one that needs more than a number changed.
fn carry_out(project: &mut Project, finding: &Finding) -> bool {
    let fix = finding.fix.clone().unwrap_or_default();
    let first = fix.split(", or ").next().unwrap_or_default().to_owned();
    let way = [move_mark, change_layer, key_matte, leave_out, reframe, build_wall];
    way.iter().any(|way| way(project, finding, &first).is_some())
}

fn change_layer(project: &mut Project, finding: &Finding, fix: &str) -> Option<()> {
    let what = between(fix, "put ", " in the ")?;
    let layer = if fix.contains("in the screen layer") { Layer::Screen } else { Layer::Overlay };
    let (part, prop) = what.strip_prefix("the ").and_then(|w| w.split_once(" of ")).unwrap_or(("", what));
    let id = index(&project.show.props, prop, |p| &p.name);
    let id = if fix.contains("in this cue only") { twin(&mut project.show, id, finding.cue?)? } else { id };
    let run = project.show.props[id].parts;
    // A twin's parts have their original's names, in the same order.
    let named = project.show.props[index(&project.show.props, prop, |p| &p.name)].parts;
    for i in 0..usize::from(run.len) {
        if part.is_empty() || project.part_names[usize::from(named.first) + i] == part {
            project.show.parts[usize::from(run.first) + i].layer = layer;
        }
    }
    project.part_names.resize(project.show.parts.len(), part.to_owned());
    Some(())
}

/// A copy of a prop that stands in for it in one cue.
fn twin(show: &mut Show, id: usize, cue: u32) -> Option<usize> {
    let mut prop = show.props[id].clone();
    let parts = prop.parts.of(&show.parts).to_vec();
    prop.parts.first = show.parts.len() as u16;
    show.parts.extend(parts);
    show.props.push(prop).ok()?;
    let new = PropId(show.props.len() as u8 - 1);
    let props = show.cues.iter().find(|c| c.number == cue)?.props;
    for state in &mut show.cue_props[usize::from(props.first)..usize::from(props.first + props.len)] {
        if state.prop.index() == id {
            state.prop = new;
        }
    }
    Some(new.index())
}

fn key_matte(project: &mut Project, _: &Finding, fix: &str) -> Option<()> {
    let name = between(fix, "key a person matte on ", "")?;
    let camera = index(&project.show.cameras, name, |c| &c.name);
    project.show.cameras[camera].person_matte = true;
    Some(())
}

fn leave_out(project: &mut Project, finding: &Finding, fix: &str) -> Option<()> {
    let name = between(fix, "take ", " out of this cue")?;
    let prop = index(&project.show.props, name, |p| &p.name);
    let props = project.show.cues.iter().find(|c| Some(c.number) == finding.cue)?.props;
    let states = &mut project.show.cue_props[usize::from(props.first)..usize::from(props.first + props.len)];
    // Announced for ever: never in the picture.
    states.iter_mut().filter(|s| s.prop.index() == prop).for_each(|s| {
        (s.presence, s.coming_ms) = (Presence::Coming, 0);
    });
    Some(())
}

fn reframe(project: &mut Project, finding: &Finding, fix: &str) -> Option<()> {
    let show = &mut project.show;
    let shot = index(&show.shots, finding.shot.as_deref()?, |s| &s.name);
    let key = usize::from(show.shots[shot].keys.first);
    let (look, lens) = (between(fix, "(to ", " m)"), between(fix, "use ", " mm"));
    if let Some(height) = look {
        show.shot_keys[key].look.z = number(height);
    }
    if let Some(focal) = lens {
        show.shot_keys[key].focal_mm = number(focal);
    }
    look.or(lens).map(|_| ())
}

fn build_wall(project: &mut Project, _: &Finding, fix: &str) -> Option<()> {
    if let Some((name, top)) = between(fix, "build wall ", "").and_then(|w| w.split_once(" up to ")) {
        let wall = index(&project.show.walls, name, |w| &w.name);
        project.show.walls[wall].top_m = number(top);
        return Some(());
    }
    let (from, to) = between(fix, "add an LED wall from ", " m high")?.split_once(" to ")?;
    let (to, top) = to.rsplit_once(", ")?;
    let wall = Wall { name: Name::new(), from: place(from), to: place(to), bottom_m: 0.0, top_m: number(top) };
    project.show.walls.push(wall).ok()
}

/// Carries out the distinct fixes of a demo, `each` of every way, and checks after each.
fn fixes_hold(demo: &str, each: usize) -> usize {
    let before = report(&project(demo));
    let mut done: Vec<(FindingId, String)> = Vec::new();
    for finding in faults(&before).filter(|f| PICTURES.contains(&f.id)) {
        let fix = finding.fix.clone().unwrap_or_default();
        let way: String = fix.split_whitespace().take(1).collect();
        let alike = done.iter().filter(|(id, known)| *id == finding.id && known.starts_with(&way)).count();
        if fix.starts_with("none found") || alike >= each || done.iter().any(|(_, known)| *known == fix) {
            continue;
        }
        let mut changed = project(demo);
        assert!(carry_out(&mut changed, finding), "{demo}: nobody can carry out: {fix}");
        let after = report(&changed);
        assert!(!faults(&after).any(|f| key(f) == key(finding)), "{demo}: still there after: {fix}: {finding:#?}");
        let new: Vec<_> = faults(&after).filter(|f| is_new(f, &before)).collect();
        assert!(new.is_empty(), "{demo}: new after: {fix}: {new:#?}");
        done.push((finding.id, fix));
    }
    done.len()
}

/// A fault about a picture that was not there, by whatever prop; others count when they are about a mark.
fn is_new(fault: &Finding, before: &Report) -> bool {
    let alike = |f: &Finding| (f.id, f.cue, f.who.clone(), f.shot.clone());
    let watched = PICTURES.contains(&fault.id)
        || matches!(fault.id, FindingId::MarkInProp | FindingId::MarkNearProp | FindingId::MarkInEdgeBand);
    watched && !faults(before).any(|f| alike(f) == alike(fault))
}

#[test]
fn fixes_of_the_clock_cabinet_hold() {
    let done = fixes_hold("clock-cabinet", usize::MAX);
    assert!(done >= 6, "{done}");
}

#[test]
fn fixes_of_the_harbour_hold() {
    let done = fixes_hold("harbour-hour", 2);
    assert!(done >= 7, "{done}");
}

#[test]
fn a_fix_of_each_kind_holds_in_the_lantern_field() {
    let done = fixes_hold("lantern-field", 1);
    assert!(done >= 3, "{done}");
}
