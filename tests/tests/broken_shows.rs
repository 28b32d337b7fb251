//! Every broken show file gives one clear error: the right line, what is wrong, and what to do.
//!
//! The files are small shows with one slip each; the lines were written down when the slips were made.

use std::path::{Path, PathBuf};

use underfoot_sim::project;

struct Case {
    file: &'static str,
    line: usize,
    what: &'static str,
    remedy: &'static str,
}

#[rustfmt::skip]
const CASES: &[Case] = &[
    Case { file: "unknown-key", line: 27, what: "`focal_m` is not a key of shot `1-WIDE`", remedy: "did you mean `focal_mm`?" },
    Case { file: "unknown-table", line: 17, what: "`propp` is not a key of the file", remedy: "did you mean `prop`?" },
    Case { file: "unknown-key-far", line: 5, what: "`weather` is not a key of [show]", remedy: "known: `frame_rate`" },
    Case { file: "length-as-text", line: 20, what: "`radius_m` of part of prop `WATCH` is text; it must be a number", remedy: "write 3.5 without quotes or unit" },
    Case { file: "length-in-millimetres", line: 20, what: "is text; it must be a number", remedy: "write 0.35 without quotes or unit: `radius_m` is in metres" },
    Case { file: "length-in-feet", line: 19, what: "`at` of prop `WATCH` is text", remedy: "write a number of metres without quotes or unit" },
    Case { file: "key-of-another-unit", line: 20, what: "`radius_mm` is not a key of part of prop `WATCH`", remedy: "did you mean `radius_m`?" },
    Case { file: "frame-rate-missing", line: 1, what: "[show] has no `frame_rate`", remedy: "add `frame_rate`: Frames per second" },
    Case { file: "frame-rate-decimal", line: 3, what: "`frame_rate` of [show] is a number", remedy: "text like \"29.97\"" },
    Case { file: "frame-rate-unknown", line: 3, what: "`frame_rate` cannot be read", remedy: "\"29.97\" or \"30000/1001\"" },
    Case { file: "unit-missing", line: 1, what: "[show] has no `unit`", remedy: "add `unit`: The unit of every length" },
    Case { file: "unit-feet", line: 4, what: "`unit` of [show] cannot be \"ft\"", remedy: "write \"m\"" },
    Case { file: "key-twice", line: 5, what: "this is not TOML: duplicate key", remedy: "a key may stand once in a table" },
    Case { file: "quote-open", line: 2, what: "this is not TOML", remedy: "close the text with a quote mark" },
    Case { file: "list-open", line: 9, what: "this is not TOML", remedy: "close the list with `]`" },
    Case { file: "name-twice", line: 23, what: "there are two [[prop]] with the name `WATCH`; the first is on line 18", remedy: "give one of them another name" },
    Case { file: "camera-unknown", line: 25, what: "there is no camera `CAM2`", remedy: "did you mean `CAM1`?" },
    Case { file: "person-unknown", line: 24, what: "there is no person `Presentr`", remedy: "did you mean `Presenter`?" },
    Case { file: "prop-unknown", line: 26, what: "there is no prop `WACTH`", remedy: "did you mean `WATCH`?" },
    Case { file: "pattern-empty", line: 26, what: "there is no prop `LANTERN *`", remedy: "known: `WATCH`" },
    Case { file: "mark-unknown", line: 32, what: "there is no mark or entry `C`", remedy: "did you mean `A`?" },
    Case { file: "line-unknown", line: 34, what: "there is no line `A-B`", remedy: "none is declared" },
    Case { file: "canvas-unknown", line: 12, what: "there is no canvas `FLOR`", remedy: "did you mean `FLOOR`?" },
    Case { file: "class-unknown", line: 19, what: "there is no class `middle`", remedy: "known: `child`, `small`, `mid`" },
    Case { file: "motion-unknown", line: 26, what: "there is no motion `SWING`", remedy: "none is declared" },
    Case { file: "motion-of-another", line: 37, what: "motion `RISE` moves prop `DOME`, not `WATCH`", remedy: "name a motion of this prop" },
    Case { file: "not-a-number", line: 19, what: "`at` of prop `WATCH` is not a finite number", remedy: "write a number of metres" },
    Case { file: "endless", line: 20, what: "`top_m` of part of prop `WATCH` is not a finite number", remedy: "write a number of metres" },
    Case { file: "pulse-range", line: 18, what: "`pulse_hz` of [look] is 80, out of range", remedy: "from 0 to 50 hertz" },
    Case { file: "numbers-close", line: 8, what: "dance numbers 0.1 m apart would run into each other", remedy: "write 0.25 or more, or 0 for none" },
    Case { file: "numbers-range", line: 7, what: "`numbers_m` of [look] is 50, out of range", remedy: "from 0 to 10 metres" },
    Case { file: "ramp-pace-range", line: 7, what: "`ramp_pace_percent` of [limits] is 0.8, out of range", remedy: "from 10 to 100 percent" },
    Case { file: "turn-range", line: 7, what: "`turn_s` of [limits] is 90, out of range", remedy: "from 0 to 60 seconds" },
    Case { file: "reveal-range", line: 7, what: "`reveal_s` of [limits] is 3000, out of range", remedy: "from 0 to 60 seconds" },
    Case { file: "apart-range", line: 7, what: "`apart_m` of [limits] is 80, out of range", remedy: "from 0 to 10 metres" },
    Case { file: "far-away", line: 19, what: "`at` of prop `WATCH` is 900, out of range", remedy: "metres" },
    Case { file: "no-radius", line: 20, what: "`radius_m` of part of prop `WATCH` is 0, out of range", remedy: "from above 0 to" },
    Case { file: "polygon-dented", line: 20, what: "the polygon is not convex: it turns inward at corner 3", remedy: "split it into convex parts" },
    Case { file: "polygon-crossed", line: 20, what: "the polygon is not convex: its sides cross", remedy: "split it into convex parts" },
    Case { file: "polygon-long", line: 20, what: "`vertices` of part of prop `WATCH` has 17 items; the limit is 16", remedy: "take 1 out" },
    Case { file: "canvases-many", line: 45, what: "`canvas` has 9 items; the limit is 8", remedy: "take 1 out" },
    Case { file: "parts-many", line: 17, what: "98 parts over all props; the limit is 96", remedy: "take 2 out" },
    Case { file: "name-long", line: 18, what: "`name` of prop `THE VERY LARGE WATCH` is 20 bytes long; the limit is 16", remedy: "shorten it" },
    Case { file: "name-empty", line: 18, what: "is 0 bytes long; it needs 1", remedy: "write it out" },
    Case { file: "label-missing", line: 17, what: "mark `GUEST` has no `label`, and its name is longer than 3", remedy: "add `label`" },
    Case { file: "label-long", line: 19, what: "`label` of mark `GUEST` is 4 bytes long; the limit is 3", remedy: "shorten it" },
    Case { file: "label-strange", line: 19, what: "mark `GUEST` cannot show \"?!\"", remedy: "letters A to Z and digits" },
    Case { file: "size-and-joint", line: 17, what: "block `FLOOR` has both `size_m` and `joint_mm`", remedy: "keep the one that was measured" },
    Case { file: "as-built-off", line: 16, what: "3.100 m built but 3.000 m of panels: +3.3 %", remedy: "check `panels`, `panel_mm` and `size_m`" },
    Case { file: "block-off-canvas", line: 10, what: "block `FLOOR` reaches pixel 768 × 768, and canvas `FLOOR` is 700 × 768", remedy: "check `canvas_px`" },
    Case { file: "blocks-overlap", line: 17, what: "blocks `FLOOR` and `EXTRA` share pixels of canvas `FLOOR`", remedy: "move one with `canvas_px`" },
    Case { file: "tile-off-block", line: 18, what: "column 7 is off block `FLOOR`: it has 6", remedy: "count from 1 to 6" },
    Case { file: "tile-corner-missing", line: 17, what: "[tile] has no `count_from`", remedy: "add `count_from`: Corner that both are counted from" },
    Case { file: "tile-corner-unknown", line: 20, what: "`count_from` of [tile] cannot be \"DS-SR\"", remedy: "known: `SR-DS`" },
    Case { file: "tile-turned", line: 24, what: "block `FLOOR` is turned", remedy: "count_from = \"canvas\"" },
    Case { file: "entry-off-edge", line: 19, what: "entry `SL` is 0.30 m off the floor's edge", remedy: "put its middle on the edge" },
    Case { file: "entry-passage-unknown", line: 21, what: "`passage` of entry `SL` cannot be \"exit\"", remedy: "known: `both`, `in`, `out`" },
    Case { file: "floor-clockwise", line: 18, what: "the floor's outline runs clockwise", remedy: "counter-clockwise" },
    Case { file: "floor-sides-short", line: 19, what: "`sides` has 3 items, and the outline has 4 sides", remedy: "one for each side" },
    Case { file: "floor-not-one-rectangle", line: 6, what: "the floor blocks do not make up one rectangle", remedy: "`outline`" },
    Case { file: "ramp-direction", line: 17, what: "ramp `RAMP` needs one of `rises_to` and `rises_deg`", remedy: "rises_to = \"SL\"" },
    Case { file: "ramp-slope", line: 22, what: "`slope` of ramp `RAMP` cannot be \"steep\"", remedy: "slope = \"1:12\"" },
    Case { file: "ramp-two-heights", line: 22, what: "ramp `RAMP` is 0.4 m high, but its slope over 2.4 m gives 0.200 m", remedy: "keep one of `height_m` and `slope`" },
    Case { file: "riser-slope", line: 23, what: "`slope` does not belong to a riser", remedy: "take it out; a riser takes `height_m`" },
    Case { file: "step-over-unknown", line: 23, what: "`step_over` of physical `RISER` cannot be \"up\"", remedy: "known: `never`, `down`, `both`" },
    Case { file: "step-over-furniture", line: 23, what: "`step_over` does not belong to furniture", remedy: "take it out; furniture takes `height_m`" },
    Case { file: "wall-upside-down", line: 22, what: "wall `US` has its top at 2.5 m and its bottom at 3 m", remedy: "put the top above the bottom" },
    Case { file: "class-and-height", line: 17, what: "person `Presenter` needs one of `class` and `height_m`", remedy: "write `class = \"mid\"`" },
    Case { file: "eyes-above-head", line: 20, what: "class `giant` has its eyes at 2.1 m, above its height of 2 m", remedy: "put `eye_m` below `height_m`" },
    Case { file: "ring-inside-out", line: 20, what: "the ring's inner radius 2 m is not below its outer radius 1 m", remedy: "swap them" },
    Case { file: "ring-gap-lost", line: 20, what: "the ring's gap has a width or a direction, but not both", remedy: "`gap_faces`" },
    Case { file: "box-with-radius", line: 20, what: "`radius_m` does not belong to a box", remedy: "take it out; a box takes `size_m`" },
    Case { file: "cylinder-without-radius", line: 20, what: "a cylinder needs `radius_m`", remedy: "add `radius_m`" },
    Case { file: "part-upside-down", line: 20, what: "the part has its top at 0.85 m and its bottom at 1 m", remedy: "put the top above the bottom" },
    Case { file: "keys-out-of-order", line: 28, what: "key 2 is at 2 s, not after the one before at 4 s", remedy: "time order" },
    Case { file: "pendulum-drags", line: 26, what: "the pendulum is 1.7 m long and hangs from 1.5 m", remedy: "hang it higher" },
    Case { file: "motion-stray-key", line: 27, what: "`period_s` does not belong to growing", remedy: "take it out; growing takes `grow_s`" },
    Case { file: "shot-without-place", line: 22, what: "shot `1-WIDE` has no place: camera `CAM1` has no `at`", remedy: "add `from` to the shot" },
    Case { file: "shot-at-itself", line: 26, what: "shot `1-WIDE` looks at its own place", remedy: "in front of the camera" },
    Case { file: "shot-arm-without-jib", line: 23, what: "shot `1-WIDE` has an arm direction that cannot be used", remedy: "on a jib" },
    Case { file: "jib-without-arm", line: 17, what: "a jib needs `arm_m`", remedy: "add `arm_m`" },
    Case { file: "mark-two-facings", line: 27, what: "mark `A` has both `faces` and `facing_deg`", remedy: "keep one of them" },
    Case { file: "line-one-point", line: 19, what: "`points` of line `GO` has 1 items; it needs 2", remedy: "write 2 values" },
    Case { file: "line-route-unknown", line: 20, what: "`route` of line `GO` cannot be \"shortes\"", remedy: "did you mean `shortest`?" },
    Case { file: "line-stop-off-floor", line: 19, what: "line `GO` is to pass a place 0.40 m off the floor", remedy: "put it on the floor" },
    Case { file: "line-stop-in-furniture", line: 26, what: "line `GO` is to pass a place inside `SOFA`", remedy: "put it beside the thing, or move the thing" },
    Case { file: "line-name-twofold", line: 28, what: "`A` is a mark and an entry: which of them is meant?", remedy: "give one of the two another name" },
    Case { file: "line-to-prop", line: 24, what: "there is no mark or entry `WATCH`; `WATCH` is a prop", remedy: "none is declared" },
    Case { file: "cue-line-elsewhere", line: 41, what: "line `A-C` ends on mark `C`, not on `B`", remedy: "name the mark that it ends on, or a line that leads to this one" },
    Case { file: "line-points-planned", line: 49, what: "the way of line `GO` has 3 points, which makes 193 over all walk lines; the limit is 192", remedy: "give the lines fewer points, or take one out" },
    Case { file: "line-turns-negative", line: 20, what: "`turns_s` of line `GO` is -3, out of range", remedy: "from 0 to 86400 seconds" },
    Case { file: "cue-order", line: 23, what: "cue 1 stands after cue 2", remedy: "in the order of their numbers" },
    Case { file: "cue-decimals", line: 18, what: "cue 1.125 has more than two decimals", remedy: "write two at most" },
    Case { file: "cue-mode-unknown", line: 20, what: "`mode` of cue `1` cannot be \"onair\"", remedy: "known: `build`" },
    Case { file: "timecode-frames", line: 21, what: "\"10:00:05:25\" is not a timecode: frames are 00 to 24", remedy: "hh:mm:ss:ff" },
    Case { file: "timecode-order", line: 27, what: "cue 2 starts no later than the timecode cue before it", remedy: "timecodes rise" },
    Case { file: "cue-off-with-prop", line: 25, what: "cue 1 is `off` or `worklight`, and names props or people", remedy: "take them out" },
    Case { file: "cue-prop-twice", line: 26, what: "cue 1 names prop `WATCH` twice", remedy: "take one out" },
    Case { file: "cue-person-twice", line: 36, what: "cue 1 names person `Presenter` twice", remedy: "take one out" },
    Case { file: "cue-mark-for-nobody", line: 34, what: "mark `B` has no person of its own", remedy: "{ person = \"...\", mark = \"...\" }" },
    Case { file: "waiver-without-reason", line: 17, what: "[waiver] has no `reason`", remedy: "add `reason`: Why it is accepted" },
    Case { file: "waiver-day", line: 20, what: "\"2031-02-30\" is not a day", remedy: "year-month-day" },
    Case { file: "table-once", line: 17, what: "`prop` is a table; it must be a list", remedy: "write `[[prop]]` for each prop" },
    Case { file: "list-short", line: 19, what: "`at` of prop `WATCH` has 1 items; it needs 2", remedy: "write 2 values in metres" },
    Case { file: "flag-as-text", line: 22, what: "`recorded` of camera `CAM1` is text; it must be true or false", remedy: "write true or false" },
    Case { file: "layer-unknown", line: 20, what: "`layer` of prop `WATCH` cannot be \"over\"", remedy: "known: `overlay`" },
    Case { file: "universe-of-layer", line: 9, what: "`first_universe` does not belong to a canvas with the output `layer`", remedy: "output = \"direct\"" },
    Case { file: "survey-without-file", line: 1, what: "cannot be read", remedy: "check the path" },
    Case { file: "survey-point-twice", line: 20, what: "there are two [[survey.point]] with the name `P1`", remedy: "give one of them another name" },
    Case { file: "no-canvas", line: 1, what: "the file has no `canvas`", remedy: "add `canvas`: An output picture" },
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/broken")
}

#[test]
fn each_gives_one_clear_error() {
    let mut wrong = Vec::new();
    for case in CASES {
        let path = folder().join(case.file).with_extension("toml");
        let errors = match project::load(&path) {
            Ok(_) => {
                wrong.push(format!("{}: loaded", case.file));
                continue;
            }
            Err(errors) => errors,
        };
        let fits = errors.len() == 1
            && errors.iter().all(|e| {
                e.line == case.line
                    && e.column >= 1
                    && e.what.contains(case.what)
                    && e.remedy.contains(case.remedy)
                    && !e.file.is_empty()
            });
        if !fits {
            wrong.push(format!(
                "{}: wanted line {}, {:?}, {:?}; got\n{errors}",
                case.file, case.line, case.what, case.remedy
            ));
        }
    }
    assert!(wrong.is_empty(), "{} of {} cases:\n{}", wrong.len(), CASES.len(), wrong.join("\n"));
}

#[test]
fn every_file_has_its_case() {
    let mut files: Vec<String> = std::fs::read_dir(folder())
        .expect("the folder of broken shows")
        .map(|entry| entry.expect("an entry").path().file_stem().expect("a name").to_string_lossy().into_owned())
        .collect();
    files.sort();
    let mut cases: Vec<&str> = CASES.iter().map(|c| c.file).collect();
    cases.sort_unstable();
    assert_eq!(files, cases);
    assert!(cases.len() >= 40, "{} cases", cases.len());
}

#[test]
fn the_printed_error_shows_the_line_and_points_at_the_value() {
    let errors = project::load(&folder().join("unknown-key.toml")).expect_err("a broken show");
    let text = errors.to_string();
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines[0].ends_with("unknown-key.toml:27:1: `focal_m` is not a key of shot `1-WIDE`"), "{text}");
    assert_eq!(lines[1], "   27 | focal_m = 7.5");
    assert_eq!(lines[2], "      | ^^^^^^^");
    assert_eq!(lines[3], "      = did you mean `focal_mm`?");
    assert_eq!(lines[4], "1 fault; nothing was loaded");
}

#[test]
fn all_faults_of_a_file_are_reported_at_once() {
    let text = std::fs::read_to_string(folder().join("unknown-key.toml")).expect("a broken show");
    let text = text.replace("unit = \"m\"", "unit = \"ft\"").replace("at = [0, -4, 1.5]", "at = [0, -4]");
    let errors = project::parse("three.toml", &text).expect_err("three faults");
    let lines: Vec<usize> = errors.iter().map(|e| e.line).collect();
    assert_eq!(lines, [4, 20, 27], "{errors}");
}

#[test]
fn what_is_no_text_at_all_is_refused() {
    let missing = project::load(Path::new("no/such/show.toml")).expect_err("no file");
    assert!(missing.to_string().contains("cannot be read"), "{missing}");
    let folder = project::load(&folder()).expect_err("a folder");
    assert!(folder.to_string().contains("is not a file"), "{folder}");
    for text in ["", "\u{feff}", "\0", "[[[[", "a = 1e999", "a = 99999999999999999999", "show = 5"] {
        assert!(project::parse("x.toml", text).is_err(), "{text:?}");
    }
}
