//! The worked numbers of `core/docs/zones.md`, traced again.

use std::fs;
use std::path::Path;

use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::props::Limit;
use underfoot_core::zones::{Bound, Outline, SHRINK_M, Task, Zone, ZoneStore, trace_set};
use underfoot_sim::project::load;
use underfoot_tests::zone_case::ZoneCase;

fn root() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn document() -> String {
    fs::read_to_string(root().join("core/docs/zones.md")).expect("the document")
}

/// The areas of the table whose first words are `what`.
fn area_in_table(what: &str) -> f32 {
    let text = document();
    let row = text.lines().find(|line| line.starts_with(&format!("| {what} |"))).unwrap_or_else(|| panic!("{what}"));
    row.split('|').nth(2).expect("a second column").trim().parse().expect("an area")
}

fn traced_area(inside: impl Fn(f32, f32) -> bool) -> f32 {
    let bound = Bound::Limit(Limit::OffFloor);
    let test = |p: StagePoint| if inside(p.x, p.y) { Ok(()) } else { Err(bound) };
    let floor = [(-2.2, -2.2), (2.2, -2.2), (2.2, 2.2), (-2.2, 2.2)].map(|(x, y)| StagePoint::new(x, y));
    let task = Task { floor: &floor, shrink_m: SHRINK_M, mark: StagePoint::new(0.0, 0.1) };
    let (mut store, mut outline) = (Box::new(ZoneStore::new()), Outline::<1024>::new());
    match trace_set(&test, &task, &mut store, &mut outline) {
        Ok(Zone::Piece(piece)) => piece.area_m2,
        other => panic!("{other:?}"),
    }
}

#[test]
fn sets_whose_zones_follow_from_a_formula() {
    let pi = std::f32::consts::PI;
    let column = |x: f32, y: f32| (x - 1.0).hypot(y) > 0.3;
    let rows: [(&str, f32, f32); 3] = [
        ("disc of 1 m", pi * 0.85 * 0.85, traced_area(|x, y| x.hypot(y) <= 1.0)),
        ("square of 2 m", 1.7 * 1.7, traced_area(|x, y| x.abs().max(y.abs()) <= 1.0)),
        (
            "square of 4 m round a column of 0.3 m",
            3.7 * 3.7 - pi * 0.45 * 0.45,
            traced_area(|x, y| x.abs().max(y.abs()) <= 2.0 && column(x, y)),
        ),
    ];
    for (what, formula, traced) in rows {
        assert!((area_in_table(what) - formula).abs() < 6e-4, "{what}: {formula}");
        // The outline may be a millimetre off: so much area for each metre of it, at most 16 m.
        assert!((traced - formula).abs() < 0.016, "{what}: {traced}");
    }
}

#[test]
fn the_zones_of_the_small_demo_have_the_areas_of_the_table() {
    let show = *load(&root().join("host-sim/demos/clock-cabinet-clean.toml")).unwrap_or_else(|e| panic!("{e:?}")).show;
    for (number, mark) in [(2, "A"), (3, "C2"), (4, "C2")] {
        let cue = show.cues.iter().find(|cue| cue.number == number * 100).expect("the cue");
        let class = &show.classes[show.people.iter().find(|p| p.name == "Presenter").expect("a person").class.index()];
        let at = show.marks.iter().find(|m| m.name == mark).expect("the mark").at;
        let case = ZoneCase::new(&show, cue, class, at, cue.shots.of(&show.cue_shots));
        let area = case.trace().expect("a zone").outline.area_m2();
        let listed = area_in_table(&format!("cue {number}, Presenter, mark {mark}"));
        assert!((area - listed).abs() < 0.002, "cue {number}: {area}, listed {listed}");
    }
}

#[test]
fn the_memory_is_what_the_document_says() {
    let words = document().replace(',', "");
    for bytes in [size_of::<ZoneStore>(), size_of::<Outline<{ limits::ZONE_POINTS }>>()] {
        assert!(words.contains(&format!("{bytes} bytes")), "{bytes}");
    }
}
