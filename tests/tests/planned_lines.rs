//! Lines that a show file asks to be planned: among what, for whom, and what stands in the show afterwards.
//!
//! Lengths are held against the taut string round a disc, worked out beside each: two tangents and the arc between
//! them. Clearances are sampled along the way and measured to the props' centres, without any of the planner's code.

use approx::assert_abs_diff_eq;
use underfoot_core::geom::StagePoint;
use underfoot_core::limits::{PACK_BYTES, WALK_OBSTACLES};
use underfoot_core::pack::{self, ShowCode};
use underfoot_core::show::{CueId, Line, Show};
use underfoot_core::walk::{Path, WalkError};
use underfoot_sim::project::{self, Project};

/// A level floor of 8 by 8 m, two marks 4 m apart and two people. No survey: the allowance is nothing.
const STAGE: &str = r#"
[show]
title = "Ways"
frame_rate = 25
unit = "m"

[[canvas]]
name = "FLOOR"
size_px = [512, 512]

[[block]]
name = "FLOOR"
canvas = "FLOOR"
panels = [16, 16]
panel_mm = [500, 500]
panel_px = [32, 32]

[floor]
edges = { DS = "level", SL = "level", US = "level", SR = "open" }

[[entry]]
name = "SR DOOR"
at = [-4.05, 0.0]
width_m = 1.6

[[person]]
name = "Presenter"
height_m = 1.74

[[person]]
name = "Pair"
height_m = 1.70
role = "guided"

[[mark]]
name = "A"
at = [-2.0, 0.0]
person = "Presenter"

[[mark]]
name = "B"
at = [2.0, 0.0]
person = "Presenter"
"#;

fn post(name: &str, x: f32, y: f32, radius_m: f32) -> String {
    format!(
        "[[prop]]\nname = \"{name}\"\nat = [{x:?}, {y:?}]\n\
         part = [{{ shape = \"cylinder\", radius_m = {radius_m:?}, top_m = 1.5 }}]\n"
    )
}

fn wall(name: &str, x: f32, y: f32, length_m: f32) -> String {
    format!(
        "[[prop]]\nname = \"{name}\"\nat = [{x:?}, {y:?}]\n\
         part = [{{ shape = \"box\", size_m = [0.2, {length_m:?}], top_m = 1.5 }}]\n"
    )
}

/// A cue in which `who` walks line A-B past `props`.
fn cue(number: u32, who: &str, props: &[&str]) -> String {
    let props: Vec<String> = props.iter().map(|p| format!("\"{p}\"")).collect();
    format!(
        "[[cue]]\nnumber = {number}\nname = \"GO\"\nmode = \"standby\"\nprops = [{}]\n\
         places = [{{ person = \"{who}\", mark = \"B\", line = \"A-B\" }}]\n",
        props.join(", ")
    )
}

fn line(rest: &str) -> String {
    format!("[[line]]\nname = \"A-B\"\npoints = [\"A\", \"B\"]\nroute = \"shortest\"\n{rest}\n")
}

fn load(parts: &[String]) -> Project {
    let text = format!("{STAGE}\n{}", parts.join("\n"));
    project::parse("ways.toml", &text).unwrap_or_else(|errors| panic!("{errors}"))
}

fn way(show: &Show) -> (&Line, Path<'_>) {
    let line = &show.lines[0];
    (line, Path::new(show.points_of(line)))
}

/// Length of the taut string from `a` to `b` round the disc at `c`, on the side on which it is shorter.
fn taut(a: StagePoint, b: StagePoint, c: StagePoint, radius_m: f32) -> f32 {
    let (da, db) = (a.distance(c), b.distance(c));
    let between = ((a - c).dot(b - c) / (da * db)).acos();
    let arc = between - (radius_m / da).acos() - (radius_m / db).acos();
    (da * da - radius_m * radius_m).sqrt() + (db * db - radius_m * radius_m).sqrt() + radius_m * arc
}

/// Least distance of the way from `c`, sampled each millimetre.
fn least(path: Path<'_>, c: StagePoint) -> f32 {
    let steps = (path.length_m() * 1000.0) as u32;
    (0..=steps).map(|i| path.at(i as f32 / 1000.0).at.distance(c)).fold(f32::INFINITY, f32::min)
}

const A: StagePoint = StagePoint::new(-2.0, 0.0);
const B: StagePoint = StagePoint::new(2.0, 0.0);

#[test]
fn the_way_is_the_taut_string_round_what_the_cue_has_on_the_floor() {
    let project = load(&[post("POST", 0.0, 0.1, 0.4), line("person = \"Presenter\""), cue(1, "Presenter", &["POST"])]);
    let (line, path) = way(&project.show);
    assert!(line.planned && project.no_way.is_empty());
    // Half the corridor of 0.9 m is more than the body's 0.25 m and 0.15 m.
    assert_abs_diff_eq!(line.corridor_m, 0.9);
    let radius_m = 0.4 + 0.45;
    assert_abs_diff_eq!(path.length_m(), taut(A, B, StagePoint::new(0.0, 0.1), radius_m), epsilon = 0.002);
    assert_abs_diff_eq!(least(path, StagePoint::new(0.0, 0.1)), radius_m, epsilon = 0.001);
    // The post stands upstage of the straight way, so it is passed downstage.
    assert!(path.at(path.length_m() / 2.0).at.y < -0.7);
    // The stops stay what they are.
    let sharp: Vec<_> = path.points().iter().filter(|p| p.bend_m == 0.0).map(|p| p.at).collect();
    assert_eq!(sharp, [A, B]);
}

#[test]
fn a_line_that_nothing_bars_is_straight_and_so_is_one_that_no_cue_uses() {
    for parts in [
        vec![line(""), cue(1, "Presenter", &[])],
        vec![post("POST", 0.0, 0.0, 0.4), line("")],
        vec![post("POST", 0.0, 2.0, 0.4), line(""), cue(1, "Presenter", &["POST"])],
    ] {
        let project = load(&parts);
        let (line, path) = way(&project.show);
        assert_eq!(path.points().iter().map(|p| p.at).collect::<Vec<_>>(), [A, B]);
        assert!(line.planned && project.no_way.is_empty());
    }
}

#[test]
fn one_line_clears_what_any_of_its_cues_has_on_the_floor() {
    let posts = [post("ONE", -0.6, -0.3, 0.3), post("TWO", 0.8, 0.5, 0.3)];
    let (one, two) = (StagePoint::new(-0.6, -0.3), StagePoint::new(0.8, 0.5));
    let with = |cues: &[String]| load(&[&posts[..], &[line("person = \"Presenter\"")], cues].concat());
    let both = with(&[cue(1, "Presenter", &["ONE"]), cue(2, "Presenter", &["TWO"])]);
    let (_, path) = way(&both.show);
    for centre in [one, two] {
        assert!(least(path, centre) >= 0.75 - 0.001, "{} m from {centre:?}", least(path, centre));
    }
    // Either cue alone gives a way that the other cue's post bars.
    for (props, other) in [("ONE", two), ("TWO", one)] {
        let single = with(&[cue(1, "Presenter", &[props])]);
        let (_, path) = way(&single.show);
        assert!(least(path, other) < 0.74, "{props}");
    }
    // Together is one cue with both.
    let together = with(&[cue(1, "Presenter", &["ONE", "TWO"])]);
    assert_eq!(way(&together.show).1.points(), path.points());
}

#[test]
fn the_most_demanding_of_those_who_walk_it_decides() {
    let post = post("POST", 0.0, 0.1, 0.4);
    let centre = StagePoint::new(0.0, 0.1);
    let cues = [cue(1, "Presenter", &["POST"]), cue(2, "Pair", &["POST"])];
    let pair = load(&[post.clone(), line("person = \"Presenter\""), cues.concat()]);
    // Two abreast need 1.2 m: 0.6 m beside the post.
    assert_abs_diff_eq!(pair.show.lines[0].corridor_m, 1.2);
    assert_abs_diff_eq!(least(way(&pair.show).1, centre), 1.0, epsilon = 0.001);
    // A corridor that the file gives stays.
    let given = load(&[post, line("corridor_m = 1.0"), cues.concat()]);
    assert_abs_diff_eq!(given.show.lines[0].corridor_m, 1.0);
    assert_abs_diff_eq!(least(way(&given.show).1, centre), 0.9, epsilon = 0.001);
}

#[test]
fn what_has_no_way_loads_and_says_which_cues_bar_it() {
    // A wall from the downstage edge to y = 3, one from the upstage edge to y = -3, one from edge to edge.
    let walls = [wall("DS WALL", 0.0, -0.5, 7.0), wall("US WALL", 0.0, 0.5, 7.0), wall("ALL", 0.0, 0.0, 8.0)];
    let with = |cues: &[String]| load(&[&walls[..], &[line("person = \"Presenter\"")], cues].concat());
    let cues = |project: &Project| project.no_way.iter().map(|n| (n.line.index(), n.cues.clone())).collect::<Vec<_>>();
    let one = with(&[cue(1, "Presenter", &["DS WALL"])]);
    assert_eq!(cues(&one), []);
    let across = with(&[cue(1, "Presenter", &["DS WALL"]), cue(2, "Presenter", &["ALL"])]);
    assert_eq!(cues(&across), [(0, vec![CueId(1)])]);
    let together = with(&[cue(1, "Presenter", &["DS WALL"]), cue(2, "Presenter", &["US WALL"])]);
    assert_eq!(cues(&together), [(0, vec![CueId(0), CueId(1)])]);
    for project in [across, together] {
        assert!(matches!(project.no_way[0].error, WalkError::NoWay(_)), "{:?}", project.no_way);
        let (line, path) = way(&project.show);
        assert!(line.planned);
        assert_eq!(path.points().iter().map(|p| (p.at, p.bend_m)).collect::<Vec<_>>(), [(A, 0.0), (B, 0.0)]);
    }
}

#[test]
fn an_entry_beside_the_edge_is_reached_on_the_edge() {
    let text = "[[line]]\nname = \"IN\"\npoints = [\"SR DOOR\", [-3.0, 0.5], \"A\"]\nroute = \"shortest\"";
    let project = load(&[text.to_owned()]);
    assert_eq!(project.no_way, []);
    let (_, path) = way(&project.show);
    let stops: Vec<_> = path.points().iter().map(|p| (p.at.x, p.at.y)).collect();
    assert_eq!(stops, [(-4.0, 0.0), (-3.0, 0.5), (-2.0, 0.0)]);
    // A line that is drawn keeps the place as it is written.
    let drawn = load(&[text.replace("shortest", "drawn")]);
    assert_eq!(way(&drawn.show).1.points()[0].at, StagePoint::new(-4.05, 0.0));
}

#[test]
fn an_entry_is_taken_only_in_the_direction_that_the_file_gives() {
    let onto = "[[line]]\nname = \"IN\"\npoints = [\"SR DOOR\", \"A\"]\nroute = \"shortest\"\n";
    let off = "[[line]]\nname = \"OUT\"\npoints = [\"B\", \"SR DOOR\"]\nroute = \"shortest\"\n";
    let barred = |passage: &str| {
        let stage = STAGE.replace("width_m = 1.6", &format!("width_m = 1.6\npassage = \"{passage}\""));
        let project = project::parse("ways.toml", &format!("{stage}\n{onto}\n{off}")).expect("a show");
        assert!(project.no_way.iter().all(|n| n.cues.is_empty() && matches!(n.error, WalkError::Stop { .. })));
        project.no_way.iter().map(|n| n.line.index()).collect::<Vec<_>>()
    };
    assert_eq!(barred("both"), Vec::<usize>::new());
    assert_eq!(barred("in"), [1_usize]);
    assert_eq!(barred("out"), [0_usize]);
}

#[test]
fn the_show_code_is_that_of_the_planned_way() {
    let parts = |route: &str| {
        [post("POST", 0.0, 0.1, 0.4), line("").replace("shortest", route), cue(1, "Presenter", &["POST"])]
    };
    let code = |route: &str| {
        let show = load(&parts(route)).show;
        let mut bytes = vec![0; PACK_BYTES];
        let length = pack::encode(&show, &mut bytes).expect("it fits");
        ShowCode::of_pack(&bytes[..length]).expect("a code")
    };
    assert_eq!(code("shortest"), code("shortest"));
    assert_ne!(code("shortest"), code("drawn"));
}

#[test]
fn a_floor_with_too_much_on_it_is_refused_with_the_line_and_the_limit() {
    // Each of 24 props has three parts that travel three legs: 216 swept places, more than a plan goes round.
    let part = r#"{ shape = "cylinder", radius_m = 0.1, top_m = 1.5 }"#;
    let crowd: String = (0..24)
        .map(|i| {
            let y = f64::from(i) * 0.1 + 1.0;
            format!(
                "[[prop]]\nname = \"P{i}\"\nat = [1.0, {y:?}]\npart = [{part}, {part}, {part}]\n\
                 [[motion]]\nname = \"M{i}\"\nprop = \"P{i}\"\nkind = \"keys\"\nkey = [\
                 {{ at_s = 0, at = [1, {y:?}] }}, {{ at_s = 1, at = [2, {y:?}] }}, \
                 {{ at_s = 2, at = [2, 3.5] }}, {{ at_s = 3, at = [1, 3.5] }}]\n"
            )
        })
        .collect();
    let props: String = (0..24).map(|i| format!("{{ prop = \"P{i}\", motion = \"M{i}\" }}, ")).collect();
    let cue = cue(1, "Presenter", &[]).replace("props = []", &format!("props = [{props}]"));
    let text = [STAGE.to_owned(), crowd, line(""), cue].join("\n");
    let errors = project::parse("ways.toml", &text).expect_err("too much");
    let what = format!("line `A-B` cannot be planned: there are more than {WALK_OBSTACLES} things to go round");
    let row = text.lines().position(|l| l.starts_with("route")).expect("the line's route") + 1;
    assert_eq!(errors.iter().map(|e| (e.line, e.what.as_str())).collect::<Vec<_>>(), [(row, what.as_str())]);
}
