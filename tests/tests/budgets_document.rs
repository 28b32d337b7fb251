//! The table of capacities in core/docs/budgets.md against the core, and its dependencies against the manifest.

use std::fs;
use std::path::Path;

use underfoot_core::limits;
use underfoot_core::pack::usage;
use underfoot_core::show::Show;

fn read(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)).expect("the file")
}

#[test]
#[cfg(target_pointer_width = "64")]
fn every_capacity_stands_in_the_document_with_its_bytes() {
    let document = read("core/docs/budgets.md");
    let rows: Vec<String> = usage(&Show::default())
        .iter()
        .map(|u| format!("| {} | {} | {} | {} |", u.field, u.capacity, u.item_bytes, u.capacity * u.item_bytes))
        .collect();
    let missing: Vec<&String> = rows.iter().filter(|row| !document.contains(*row)).collect();
    assert!(missing.is_empty(), "core/docs/budgets.md should have these rows:\n{}", rows.join("\n"));
}

#[test]
fn every_dependency_of_the_core_has_its_line() {
    let (document, manifest) = (read("core/docs/budgets.md"), read("core/Cargo.toml"));
    let section = manifest.split("[dependencies]").nth(1).expect("dependencies").split("\n[").next().unwrap_or("");
    let names: Vec<&str> =
        section.lines().filter_map(|l| l.split(['.', ' ', '=']).next()).filter(|n| !n.is_empty()).collect();
    assert!(names.len() >= 7, "{names:?}");
    for name in names {
        assert!(document.contains(&format!("| {name} ")), "{name} has no line in core/docs/budgets.md");
    }
}

#[test]
fn the_boxs_lists_stand_in_the_document_with_their_capacities() {
    let document = read("core/docs/budgets.md");
    let lists = [
        ("BOX_POINTS", limits::BOX_POINTS),
        ("BOX_CONTOURS", limits::BOX_CONTOURS),
        ("BOX_SHAPES", limits::BOX_SHAPES),
        ("BOX_CHAINS", limits::BOX_CHAINS),
        ("BOX_ACTIVE", limits::BOX_ACTIVE),
        ("BOX_EVENTS", limits::BOX_EVENTS),
    ];
    for (name, capacity) in lists {
        assert!(document.contains(&format!("| {name} | {capacity} |")), "{name} is {capacity}");
    }
}
