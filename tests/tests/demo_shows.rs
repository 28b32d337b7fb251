//! The six demo show files hold the numbers of the invented shows that they were typed from.
//!
//! The expected values were copied from the shows' description by hand, and where a value is computed
//! the formula stands beside it.

use std::path::{Path, PathBuf};
use std::time::Instant;

use approx::assert_abs_diff_eq;
use underfoot_core::geom::{StagePoint, StagePoint3};
use underfoot_core::show::{CameraKind, Edge, Layer, MotionKind, PartShape, Show, TileState, Timecode, Who};
use underfoot_sim::demos::DEMOS;
use underfoot_sim::project::{self, Hot, Mount, Places, Project};

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos").join(name)
}

fn demo(name: &str) -> Project {
    project::load(&path(name).with_extension("toml")).unwrap_or_else(|errors| panic!("{errors}"))
}

fn index<T>(list: &[T], name: &str, of: impl Fn(&T) -> &str) -> usize {
    list.iter().position(|item| of(item) == name).unwrap_or_else(|| panic!("{name} is not there"))
}

fn mark(show: &Show, name: &str) -> StagePoint {
    show.marks[index(&show.marks, name, |m| &m.name)].at
}

fn prop<'s>(show: &'s Show, name: &str) -> &'s underfoot_core::show::Prop {
    &show.props[index(&show.props, name, |p| &p.name)]
}

fn key(show: &Show, shot: &str, k: usize) -> underfoot_core::show::ShotKey {
    let shot = &show.shots[index(&show.shots, shot, |s| &s.name)];
    shot.keys.of(&show.shot_keys)[k]
}

fn length(show: &Show, line: &str) -> f32 {
    let line = &show.lines[index(&show.lines, line, |l| &l.name)];
    underfoot_core::walk::Path::new(show.points_of(line)).length_m()
}

fn near(a: StagePoint, x: f32, y: f32) {
    assert!(a.distance(StagePoint::new(x, y)) < 0.001, "{a:?} is not ({x}, {y})");
}

fn near3(a: StagePoint3, [x, y, z]: [f32; 3]) {
    assert!((a.x - x).abs() < 0.006 && (a.y - y).abs() < 0.006 && (a.z - z).abs() < 0.006, "{a:?} is not {x} {y} {z}");
}

#[test]
fn all_six_load_and_validate_in_time() {
    for (name, _) in DEMOS {
        demo(name);
        let start = Instant::now();
        let project = demo(name);
        let took = start.elapsed();
        assert_eq!(project.show.validate(), Ok(()), "{name}");
        // The bound of 50 ms is for a desk's release build; debug builds with checks are let off lightly.
        assert!(took.as_millis() < if cfg!(debug_assertions) { 500 } else { 50 }, "{name} took {took:?}");
        assert_eq!(project.part_names.len(), project.show.parts.len());
        assert_eq!(project.motion_names.len(), project.show.motions.len());
        assert_eq!(project.line_turns_s.len(), project.show.lines.len());
        assert_eq!(project.cameras.len(), project.show.cameras.len());
        assert_eq!(project.floor_blocks.len(), project.show.blocks.len());
    }
}

#[test]
fn clock_cabinet_stage() {
    let project = demo("clock-cabinet");
    let show = &project.show;
    assert_eq!((show.frame_rate.num, show.frame_rate.den), (50, 1));
    let block = &show.blocks[0];
    assert_eq!((block.width_px, block.height_px, block.panels()), (768, 768, (6, 6)));
    assert_abs_diff_eq!(block.pitch_m(), 0.003_906_25, epsilon = 1e-8);
    // Canvas right is stage left, canvas up is upstage: the top left pixel lies at SR-US.
    near(block.corners()[0], -1.5, 1.5);
    near(block.corners()[2], 1.5, -1.5);
    assert_eq!(show.floor.vertices.len(), 4);
    near(show.floor.vertices[0], -1.5, -1.5);
    assert_eq!(show.floor.edges, [Edge::Open, Edge::Open, Edge::Wall, Edge::Wall]);
    assert_abs_diff_eq!(show.floor.step_m, 0.12);
    assert_abs_diff_eq!(show.walls[0].from.y, 1.52);
    assert_abs_diff_eq!(show.walls[1].from.x, -1.52);
    assert_eq!(show.walls.iter().map(|w| w.top_m).collect::<Vec<_>>(), [2.5, 2.5]);
    near(show.entries[0].at, 1.5, 0.4);
    assert_abs_diff_eq!(show.entries[0].width_m, 0.6);
    assert_eq!((project.light.key_lux, project.light.floor_white_nits, project.light.gamma), (600.0, 900.0, 2.4));
    assert_abs_diff_eq!(project.light.reflectance, 0.05);
    assert_eq!((project.cell_mm, project.rig_height_m, project.show.control.hot), (20.0, Some(2.6), Hot::All));
    let fit = project.survey.fit().expect("a survey");
    // On the floor plan; with heights it is 1.9 mm.
    assert_abs_diff_eq!(fit.plan_rms_m, 0.0017, epsilon = 0.0001);
    assert_eq!(show.survey_allowance_m, fit.worst_m);
}

#[test]
fn clock_cabinet_survey_faults() {
    let read = |name: &str| {
        let mut survey = demo("clock-cabinet").survey;
        survey.points = project::survey_csv::read(&path(name)).unwrap_or_else(|errors| panic!("{errors}"));
        survey
    };
    assert_eq!(read("clock-cabinet-survey.csv").readings(), demo("clock-cabinet").survey.readings());
    let bad = read("clock-cabinet-survey-s1.csv").fit().expect("a fit");
    assert_abs_diff_eq!(bad.plan_rms_m, 0.0135, epsilon = 0.0001);
    assert_eq!(bad.worst, 5);
    let mirrored = read("clock-cabinet-survey-s2.csv").fit();
    assert!(format!("{mirrored:?}").contains("Mirrored"), "{mirrored:?}");
}

#[test]
fn clock_cabinet_cameras_people_and_marks() {
    let show = demo("clock-cabinet").show;
    near3(key(&show, "1-WIDE", 0).from, [1.6, -3.8, 1.45]);
    near3(key(&show, "2-MID-B", 0).look, [0.75, 0.55, 1.3]);
    assert_eq!((key(&show, "2-MID-B", 0).focal_mm, key(&show, "3-LOW", 0).focal_mm), (20.0, 6.0));
    assert_eq!(show.cameras[2].kind, CameraKind::TrackedHandHeld);
    let lens = show.cameras[0].lens;
    assert_eq!((lens.sensor_width_mm, lens.sensor_height_mm), (9.59, 5.39));
    let stature = |i: usize| show.classes[show.people[i].class.index()].height_m;
    assert_eq!([stature(0), stature(1), stature(2)], [1.74, 1.52, 1.96]);
    for (name, x, y) in [("A", -0.90, 0.10), ("B", 0.75, 0.55), ("C", 0.75, -0.75), ("C2", -1.10, -0.90)] {
        near(mark(&show, name), x, y);
    }
    // From A to CAM1: atan2(-3.9, 2.5) = -57.34 degrees.
    assert_abs_diff_eq!(show.marks[0].facing_deg, 360.0 - 57.34, epsilon = 0.01);
    assert_abs_diff_eq!(length(&show, "A-C"), 1.86, epsilon = 0.005);
    assert_eq!(show.cues.iter().map(|c| c.number).collect::<Vec<_>>(), [100, 200, 300, 400, 500, 600, 650, 700, 800]);
    assert_eq!((show.cues[2].time_limit_ms, show.cues[7].time_limit_ms), (3500, 45_000));
    assert_eq!(show.cue_props[show.cues[1].props.first as usize].coming_ms, 3000);
    // Faults: pulse 4 Hz, line one pixel wide.
    assert_eq!((show.look.pulse_hz, show.look.line_m), (4.0, 0.003_906_25));
}

#[test]
fn clock_cabinet_props() {
    let show = demo("clock-cabinet").show;
    let watch = prop(&show, "WATCH");
    near(watch.at, 0.15, -0.35);
    let part = show.parts_of(watch)[0];
    assert_eq!((part.shape, part.top_m), (PartShape::Disc { at: StagePoint::default(), radius_m: 0.35 }, 0.85));
    assert!(show.parts_of(prop(&show, "DOME"))[0].transparent);
    let gear = show.parts_of(prop(&show, "GEAR"))[0];
    assert_eq!((gear.bottom_m, gear.top_m, gear.layer), (2.35, 2.50, Layer::Overlay));
    let MotionKind::Pendulum { pivot, pivot_m, length_m, swing_deg, period_s, .. } = show.motions[0].kind else {
        panic!("not a pendulum")
    };
    near(pivot, 0.6, -0.9);
    assert_eq!((pivot_m, length_m, swing_deg, period_s), (2.6, 1.7, 25.0, 2.62));
    // The bob's end: 0.6 + 1.7 sin 25 = 1.318; it rises by 1.7 (1 - cos 25) = 0.159 to 1.239.
    let (sin, cos) = 25f32.to_radians().sin_cos();
    assert_abs_diff_eq!(pivot.x + length_m * sin, 1.32, epsilon = 0.005);
    let bob = show.parts_of(prop(&show, "PENDULUM"))[0];
    assert_abs_diff_eq!(bob.bottom_m, 0.72);
    assert_abs_diff_eq!(bob.top_m + length_m * (1.0 - cos), 1.24, epsilon = 0.005);
}

#[test]
fn clock_cabinet_fixes() {
    let show = demo("clock-cabinet-clean").show;
    assert!(show.marks.iter().all(|m| m.name != "C"));
    assert_abs_diff_eq!(length(&show, "A-C2"), 1.02, epsilon = 0.005);
    assert_eq!(show.parts_of(prop(&show, "DOME"))[0].layer, Layer::Screen);
    assert_abs_diff_eq!(key(&show, "2-MID-B", 0).look.z, 1.42);
    assert_eq!((key(&show, "2-MID-B", 0).focal_mm, show.look.pulse_hz, show.look.line_m), (16.0, 1.0, 0.05));
}

#[test]
fn harbour_hour_stage() {
    let project = demo("harbour-hour");
    let show = &project.show;
    let floor = &show.blocks[0];
    assert_eq!((floor.width_px, floor.height_px, floor.panels()), (2560, 2048, (20, 16)));
    assert_abs_diff_eq!(floor.corners()[1].x - floor.corners()[0].x, 10.010, epsilon = 1e-5);
    assert_eq!((show.canvases[1].width_px, show.canvases[1].height_px), (300, 1));
    assert_eq!(project.floor_blocks, [true, false]);
    assert_eq!((show.control.slots_universe, show.control.on_air_contact), (20, true));
    assert!(show.control.backup);
    // Column 9 and row 7 from SR-DS are canvas column 8 and row 16 - 7 = 9, both from 0.
    let tile = show.tile_faults[0];
    assert_eq!((tile.block, tile.column, tile.row, tile.state), (0, 8, 9, TileState::Dead));
    // The panel's middle: -5 + 8.5 panels and -4 + 6.5 panels of half a metre.
    let middle = underfoot_core::geom::PixelPoint::new(8.5 * 128.0, 9.5 * 128.0);
    near(floor.map.to_stage(middle), -0.75 * 1.001, -0.75 * 1.001);
    let ramp = &show.physicals[1];
    assert_abs_diff_eq!(ramp.height_m, 0.20, epsilon = 1e-6);
    assert_eq!(ramp.kind, underfoot_core::show::PhysicalKind::Ramp { rises_deg: 0.0 });
    assert_eq!(project.survey.points.iter().filter(|p| p.quick).count(), 3);
    assert!(project.survey.fit().expect("a survey").rms_m < 0.005);
}

#[test]
fn harbour_hour_cameras_and_people() {
    let project = demo("harbour-hour");
    let show = &project.show;
    near3(key(show, "J-LOW", 0).from, [2.19, -2.51, 1.06]);
    near3(key(show, "J-HIGH", 0).from, [5.10, -1.15, 4.37]);
    near3(key(show, "J-MOVE", 0).from, [2.19, -2.51, 1.06]);
    assert_eq!(key(show, "J-MOVE", 1).at_s, 12.0);
    assert_eq!(project.cameras[2].mount, Mount::Jib);
    assert_eq!((show.cameras[3].kind, show.cameras[3].recorded), (CameraKind::Untracked, false));
    let wheelchair = &show.classes[show.people[2].class.index()];
    assert_eq!((wheelchair.height_m, wheelchair.chair_m, wheelchair.pace_mps), (1.33, Some((0.70, 1.20)), 0.8));
    let guided = &show.classes[show.people[3].class.index()];
    assert_eq!((guided.height_m, guided.pace_mps, guided.walk_width_m), (1.70, 0.6, 1.2));
    assert_eq!(show.people[3].who, Who::MagentaDiamond);
    near(mark(show, "P1"), -1.3, -0.2);
    near(mark(show, "W"), 2.2, 2.6);
    assert_abs_diff_eq!(length(show, "W-RISER"), 9.33, epsilon = 0.005);
}

#[test]
fn harbour_hour_boat() {
    let project = demo("harbour-hour");
    let show = &project.show;
    let boat = prop(show, "BOAT");
    assert_eq!(boat.parts.len, 6);
    let (mut low, mut high) = ([f32::INFINITY; 2], [f32::NEG_INFINITY; 2]);
    for part in show.parts_of(boat) {
        let PartShape::Polygon(run) = part.shape else { panic!("not a box") };
        for v in run.of(&show.part_vertices) {
            low = [low[0].min(v.x), low[1].min(v.y)];
            high = [high[0].max(v.x), high[1].max(v.y)];
        }
    }
    assert_abs_diff_eq!(high[0] - low[0], 3.6, epsilon = 1e-5);
    assert_abs_diff_eq!(high[1] - low[1], 1.4, epsilon = 1e-5);
    let names = boat.parts.of(&project.part_names);
    assert_eq!(names.iter().filter(|n| *n == "far hull").count(), 3);
    let MotionKind::Keys { keys, ease } = show.motions[0].kind else { panic!("not keyed") };
    let keys = keys.of(&show.motion_keys);
    near(keys[0].place, -7.0, -0.9);
    near(keys[1].place, 0.2, -0.9);
    assert!(ease);
    // Cosine ease peaks at half pi times the mean: 1.5708 × 7.2 m / 8 s = 1.41 m/s.
    assert_abs_diff_eq!(std::f32::consts::FRAC_PI_2 * 7.2 / keys[1].at_s, 1.41, epsilon = 0.005);
}

#[test]
fn harbour_hour_fixes() {
    let project = demo("harbour-hour-clean");
    let show = &project.show;
    near(mark(show, "P1"), -1.3, 0.6);
    near(prop(show, "LIGHTHOUSE").at, -3.4, 1.7);
    let layers: Vec<Layer> = show.parts_of(prop(show, "LIGHTHOUSE")).iter().map(|p| p.layer).collect();
    assert_eq!(layers, [Layer::Screen, Layer::Extension]);
    let wall = &show.walls[1];
    assert_eq!((wall.from.x, wall.from.y, wall.to.y, wall.top_m), (-5.02, 1.0, 4.0, 4.0));
    let parts = prop(show, "BOAT").parts;
    for (part, name) in parts.of(&show.parts).iter().zip(parts.of(&project.part_names)) {
        assert_eq!(part.layer == Layer::Screen, name == "far hull");
    }
}

#[test]
fn lantern_field_stage_and_cameras() {
    let project = demo("lantern-field");
    let show = &project.show;
    assert_eq!((show.frame_rate.num, project.naming.places, project.naming.grid_m), (25, Places::Grid, 5.0));
    for block in &show.blocks[..4] {
        assert_eq!((block.width_px, block.height_px), (1440, 960));
    }
    assert_eq!(show.canvases.iter().map(|c| c.controller).collect::<Vec<_>>(), [1, 2, 3, 4, 0]);
    near(show.blocks[0].corners()[0], -15.015, 10.010);
    near(show.blocks[3].corners()[2], 15.015, -10.010);
    near(show.floor.vertices[2], 15.015, 10.010);
    let tape: u32 = show.blocks[4..].iter().map(|b| u32::from(b.width_px)).sum();
    // 170 pixels of three bytes fill the 512 slots of a universe: 3000 / 170 = 17.6.
    assert_eq!((tape, tape.div_ceil(170)), (3000, 18));
    near3(key(show, "3-CABLE", 1).from, [0.0, -12.0, 6.0]);
    assert_eq!(key(show, "3-CABLE", 2).at_s, 9.0);
    assert_abs_diff_eq!(28.0 / key(show, "4-RAIL", 1).at_s, 1.5, epsilon = 0.001);
    assert!(show.cameras[5].recorded && project.show.control.hot == Hot::ProgramPreviewRecorded);
    assert_eq!(show.cameras[0].lens.sensor_width_mm, 24.9);
}

#[test]
fn lantern_field_people_and_formations() {
    let show = demo("lantern-field").show;
    assert_eq!((show.people.len(), show.props.len()), (26, 28));
    let class = |i: usize| &show.classes[show.people[i].class.index()];
    let statures: Vec<f32> = (0..24).map(|i| class(i).height_m).collect();
    assert!(statures.contains(&1.55) && statures.contains(&1.90));
    let seated: Vec<usize> = (0..24).filter(|&i| class(i).chair_m.is_some()).map(|i| i + 1).collect();
    assert_eq!(seated, [3, 22]);
    assert_eq!((class(10).pace_mps, class(24).height_m, class(25).height_m), (0.6, 1.78, 1.64));
    for j in 0..4 {
        for i in 0..6 {
            let at = mark(&show, &format!("F1-{}", 1 + i + 6 * j));
            near(at, -6.25 + 2.5 * i as f32, -7.0 + 2.0 * j as f32);
        }
    }
    for k in 0..24 {
        let (sin, cos) = (15.0 * k as f32).to_radians().sin_cos();
        near(mark(&show, &format!("F2-{}", k + 1)), 5.0 + 4.5 * sin, -4.0 + 4.5 * cos);
    }
    assert_abs_diff_eq!(mark(&show, "F2-4").distance(mark(&show, "F2-5")), 1.17, epsilon = 0.006);
    assert_abs_diff_eq!(length(&show, "X1-K"), 15.69, epsilon = 0.005);
    near(mark(&show, "M"), 0.4, 3.8);
    // Nos. 7, 14 and 20 stand in the fountain's wall; 13 and 19 inside it.
    let from_fountain = |n: usize| mark(&show, &format!("F1-{n}")).distance(prop(&show, "FOUNTAIN").at);
    let reached = |n: &usize| (3.6 - 0.25..=4.2 + 0.25).contains(&from_fountain(*n));
    assert_eq!((1..=24).filter(reached).collect::<Vec<_>>(), [7, 14, 20]);
    assert!(from_fountain(13) < 3.35 && from_fountain(19) < 3.35);
}

#[test]
fn lantern_field_cues() {
    let show = demo("lantern-field").show;
    let at = |i: usize| show.cues[i].at.map(|t: Timecode| (t.hours, t.minutes, t.seconds, t.frames));
    assert_eq!(at(0), Some((10, 0, 5, 0)));
    assert_eq!(at(4), Some((10, 1, 30, 0)));
    assert_eq!(at(7), Some((10, 2, 40, 0)));
    assert_eq!(show.cues[2].time_limit_ms, 12_000);
    assert_eq!(show.places_in(&show.cues[0]).len(), 25);
    assert_eq!(show.places_in(&show.cues[4]).len(), 26);
    // Each lantern follows with its own motion.
    for state in show.props_in(&show.cues[0]).iter().filter(|s| s.motion.is_some()) {
        let motion = show.motions[state.motion.unwrap().index()];
        assert_eq!((motion.prop, motion.kind), (state.prop, MotionKind::Presence));
    }
    let tower = show.props_in(&show.cues[1]).iter().find_map(|s| s.motion).expect("the tower grows");
    assert_eq!(show.motions[tower.index()].kind, MotionKind::Grow { seconds_s: 6.0 });
}

#[test]
fn lantern_field_fixes() {
    let project = demo("lantern-field-clean");
    let show = &project.show;
    near(prop(show, "FOUNTAIN").at, -10.0, 3.0);
    near(prop(show, "CRANE").at, 13.0, 6.0);
    assert_eq!(show.cues[2].time_limit_ms, 20_000);
    assert!(show.cameras.iter().all(|c| c.person_matte));
    for n in [2, 3, 21, 22] {
        let gap = mark(show, &format!("F2-{n}")).distance(mark(show, &format!("F2-{}", n + 1)));
        assert_abs_diff_eq!(gap, 1.8, epsilon = 0.002);
    }
    // The change in 12 s, and the one person whose way it makes too long.
    assert_eq!(
        project.waivers.iter().map(|w| w.finding.as_str()).collect::<Vec<_>>(),
        ["formation-crossing", "walk-late"]
    );
}

#[test]
fn items_know_their_lines() {
    let project = demo("clock-cabinet");
    let line_of = |text: &str| project.source.lines().position(|l| l == text).expect("the line") + 1;
    let place = |list: &str, index: usize| project.places.of(list, index).expect("a place").line;
    // A table's place is its header, which stands above its name.
    assert_eq!(place("props", 2) + 1, line_of("name = \"GEAR\""));
    assert_eq!(place("shots", 4) + 1, line_of("name = \"3-LOW\""));
    assert_eq!(place("cues", 6) + 1, line_of("number = 6.5"));
    assert_eq!(place("look", 0), line_of("[look]"));
    assert!(project.places.of("props", 99).is_none() && project.places.of("nonsense", 0).is_none());
}
