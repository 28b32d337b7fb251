//! The show file's document: its example loads, its CSV is read, its reference is the schema's.

use std::path::{Path, PathBuf};

use underfoot_sim::project;

const BEGIN: &str = "<!-- reference begins -->\n";
const END: &str = "<!-- reference ends -->\n";

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/docs/show-file.md")
}

fn document() -> String {
    std::fs::read_to_string(path()).expect("the document")
}

/// The only fenced block in `language`.
fn block(text: &str, language: &str) -> String {
    let fence = format!("```{language}\n");
    assert_eq!(text.matches(&fence).count(), 1, "blocks of {language}");
    text.split_once(&fence).and_then(|(_, rest)| rest.split_once("```")).expect("a block").0.to_owned()
}

#[test]
fn the_example_loads() {
    let project = project::parse("show-file.md", &block(&document(), "toml")).unwrap_or_else(|e| panic!("{e}"));
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
fn the_csv_is_read() {
    let points = project::survey_csv::parse("show-file.md", &block(&document(), "csv")).expect("two points");
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
