//! The show file's document: its example loads, its CSV is read, its reference is the schema's.

use std::path::{Path, PathBuf};

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{Passage, StepOver};
use underfoot_core::walk::Path as Way;
use underfoot_sim::project::{self, Project};

const BEGIN: &str = "<!-- reference begins -->\n";
const END: &str = "<!-- reference ends -->\n";

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/docs/show-file.md")
}

fn document() -> String {
    std::fs::read_to_string(path()).expect("the document")
}

/// The fenced blocks in `language`, `N` of them.
fn blocks<const N: usize>(text: &str, language: &str) -> [String; N] {
    let fence = format!("```{language}\n");
    let found = text.split(&fence).skip(1).map(|rest| rest.split_once("```").expect("the block's end").0.to_owned());
    found.collect::<Vec<_>>().try_into().unwrap_or_else(|all: Vec<_>| panic!("{} blocks of {language}", all.len()))
}

/// The show of the document's first example, and that about walk lines.
fn examples() -> [Project; 2] {
    blocks(&document(), "toml")
        .map(|text| project::parse("show-file.md", &text).unwrap_or_else(|errors| panic!("{errors}")))
}

#[test]
fn the_example_loads() {
    let [project, _] = examples();
    let show = &project.show;
    assert_eq!((show.frame_rate.num, show.frame_rate.den), (30_000, 1001));
    // Eight panels and seven joints: 4.0035 m.
    assert!((show.floor.vertices[1].x - 2.001_75).abs() < 1e-4);
    assert_eq!((show.tile_faults[0].column, show.tile_faults[0].row), (0, 4));
    assert!((show.physicals[0].height_m - 0.9 / 12.0).abs() < 1e-6);
    assert_eq!(show.cues.len(), 4);
    assert_eq!(project.waivers[0].until.to_string(), "2031-05-09");
}

#[test]
fn the_example_of_walk_lines_is_planned_as_its_text_says() {
    let [_, project] = examples();
    let show = &project.show;
    assert_eq!(project.no_way, []);
    assert_eq!(show.entries.iter().map(|e| e.passage).collect::<Vec<_>>(), [Passage::In, Passage::Out]);
    assert_eq!(show.physicals[0].step_over, StepOver::Down);
    assert_eq!((project.limits.turn_s, project.limits.ramp_share), (2.0, 0.8));
    assert_eq!(project.line_turns_s, [None, Some(0.0)]);
    // The guest's way is round at corners, passes its stops, and keeps the globe's 0.5 m and half a corridor of 0.9 m.
    let way = Way::new(show.points_of(&show.lines[0]));
    let each_mm = || (0..=(way.length_m() * 1000.0) as u32).map(|i| way.at(i as f32 / 1000.0).at);
    assert!(show.lines[0].planned && way.points().iter().any(|p| p.bend_m > 0.0));
    let stops: Vec<_> = way.points().iter().filter(|p| p.bend_m == 0.0).map(|p| (p.at.x, p.at.y)).collect();
    assert_eq!(stops, [(-4.0, 0.5), (-1.5, -1.5), (2.2, 1.6)]);
    assert!(each_mm().all(|p| p.distance(StagePoint::new(-2.2, -0.3)) >= 0.95 - 0.001));
    // It gets onto the riser (x from 1.0 to 3.4, y from 0.6 to 2.6) from the ramp, whose top is 1.4 m wide round y = 1.6.
    let on = each_mm().find(|p| p.x > 1.0 && p.y > 0.6).expect("it ends on the riser");
    assert!((on.x - 1.0).abs() < 0.002 && (on.y - 1.6).abs() <= 0.7, "{on:?}");
}

#[test]
fn the_csv_is_read() {
    let [text] = blocks(&document(), "csv");
    let points = project::survey_csv::parse("show-file.md", &text).expect("two points");
    assert_eq!(
        points.iter().map(|p| (p.name.as_str(), p.quick)).collect::<Vec<_>>(),
        [("SR-DS", true), ("SL-DS", false)]
    );
}

#[test]
fn the_reference_is_the_schema() {
    let text = document();
    let (before, rest) = text.split_once(BEGIN).expect("the beginning mark");
    let (written, after) = rest.split_once(END).expect("the end mark");
    let fresh = format!("\n{}", project::reference());
    if std::env::var_os("UNDERFOOT_BLESS").is_some() {
        std::fs::write(path(), format!("{before}{BEGIN}{fresh}{END}{after}")).expect("the document written");
        return;
    }
    assert!(written == fresh, "host-sim/docs/show-file.md is older than the schema: bless it");
}

#[test]
fn the_schema_describes_every_key_and_closes_every_table() {
    fn walk(schema: &serde_json::Value, path: &str, faults: &mut Vec<String>) {
        if let Some(properties) = schema.get("properties").and_then(|p| p.as_object()) {
            if schema.get("additionalProperties") != Some(&serde_json::Value::Bool(false)) {
                faults.push(format!("{path} takes unknown keys"));
            }
            for (key, property) in properties {
                if property.get("description").and_then(|d| d.as_str()).is_none_or(str::is_empty) {
                    faults.push(format!("{path}.{key} has no description"));
                }
            }
        }
    }
    let schema = project::schema();
    let mut faults = Vec::new();
    walk(schema, "file", &mut faults);
    for (name, table) in schema["$defs"].as_object().expect("definitions") {
        walk(table, name, &mut faults);
    }
    assert!(faults.is_empty(), "{faults:?}");
    assert!(!schema.to_string().contains("\"null\""), "TOML has no null");
}
