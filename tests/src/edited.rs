//! Changes of a show file's text, and what another reader of TOML sees of them.

use std::io::Write;
use std::process::Stdio;

use underfoot_sim::project::Project;
use underfoot_sim::rehearse::draft::edit::Change;

use crate::python;

/// A difference of two files: where, what stood there, what stands there now. Places in lists count from 0.
pub type Difference = (String, Option<f64>, Option<f64>);

/// Prints what differs between each two texts of a list, read by Python's own `tomllib` (Python 3.11 and later).
const READER: &str = r#"
import json, sys, tomllib

def flat(value, path=""):
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from flat(inner, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from flat(inner, f"{path}.{index}")
    else:
        yield path, value

number = lambda value: float(value) if isinstance(value, (int, float)) else None
for old, new in json.load(sys.stdin):
    old, new = dict(flat(tomllib.loads(old))), dict(flat(tomllib.loads(new)))
    paths = [path for path in {**old, **new} if old.get(path) != new.get(path)]
    print(json.dumps([(path, number(old.get(path)), number(new.get(path))) for path in paths]))
"#;

/// What differs between each two texts.
///
/// # Panics
/// When there is no such Python, or it cannot read a text.
pub fn differences(pairs: &[(String, String)]) -> Vec<Vec<Difference>> {
    let mut python = python::with("tomllib");
    let python = python.args(["-c", READER]).stdin(Stdio::piped()).stdout(Stdio::piped());
    let mut running = python.spawn().expect("Python runs");
    let asked = serde_json::to_vec(pairs).expect("texts");
    let mut input = running.stdin.take().expect("a pipe");
    let writer = std::thread::spawn(move || input.write_all(&asked));
    let output = running.wait_with_output().expect("Python ends");
    writer.join().expect("a thread").expect("Python reads");
    assert!(output.status.success(), "Python cannot read a text that was changed");
    let lines = String::from_utf8(output.stdout).expect("text");
    lines.lines().map(|line| serde_json::from_str(line).expect("differences")).collect()
}

/// Every change of every kind that a show has something for, each by an odd amount.
pub fn every_change(project: &Project) -> Vec<Change> {
    let show = &project.show;
    let near = |x: f32, y: f32| [f64::from(x) + 0.137, f64::from(y) - 0.05];
    let mut all = Vec::new();
    for prop in &show.props {
        all.push(Change::MoveProp { name: prop.name.to_string(), to: near(prop.at.x, prop.at.y) });
        all.push(Change::TurnProp { name: prop.name.to_string(), deg: 12.5 });
    }
    for mark in &show.marks {
        all.push(Change::MoveMark { name: mark.name.to_string(), to: near(mark.at.x, mark.at.y) });
        all.push(Change::TurnMark { name: mark.name.to_string(), deg: 211.0 });
    }
    for thing in &show.physicals {
        all.push(Change::MovePhysical { name: thing.name.to_string(), to: near(thing.centre.x, thing.centre.y) });
        all.push(Change::TurnPhysical { name: thing.name.to_string(), deg: 30.0 });
    }
    for line in &show.lines {
        for (point, at) in show.points_of(line).iter().enumerate() {
            all.push(Change::MovePoint { name: line.name.to_string(), point, to: near(at.at.x, at.at.y) });
            all.push(Change::AddPoint { name: line.name.to_string(), after: point, to: near(at.at.x, at.at.y) });
        }
    }
    all.extend(pictures(project));
    for cue in &show.cues {
        let number = underfoot_sim::findings::cue_number(cue.number);
        all.push(Change::LimitCue { number, seconds: 17.5 });
    }
    all
}

fn pictures(project: &Project) -> Vec<Change> {
    let show = &project.show;
    let mut all = Vec::new();
    for (index, camera) in show.cameras.iter().enumerate() {
        let at = project.cameras[index].at.unwrap_or_default();
        let to = [f64::from(at.x) - 0.21, f64::from(at.y) + 0.5];
        all.push(Change::MoveCamera { name: camera.name.to_string(), to, z: None });
        all.push(Change::MoveCamera { name: camera.name.to_string(), to, z: Some(1.725) });
    }
    for shot in &show.shots {
        let first = &shot.keys.of(&show.shot_keys)[0];
        let look = [first.look.x, first.look.y, first.look.z].map(|m| f64::from(m) + 0.083);
        all.push(Change::AimShot { name: shot.name.to_string(), look, key: None });
        all.push(Change::AimShot { name: shot.name.to_string(), look, key: Some(1) });
        all.push(Change::ZoomShot { name: shot.name.to_string(), focal_mm: 33.3, key: None });
    }
    all
}
