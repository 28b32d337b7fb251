//! Every form that a show file may have.

use super::Change;

/// The same show in tables, in lists of tables in braces, and with tables under tables.
const TABLES: &str = r#"# head
[[prop]] # a prop
  name = "BALL" # its name
  at = [-1.0, -0.80] # where
  part = [{ shape = "cylinder", radius_m = 0.3, top_m = 0.6 }]

[[motion]]
name = "ROLL"
prop = "BALL"
kind = "keys"
[[motion.key]]
at_s = 0
at = [
    -1.0, # across
    -0.8,
]
[[motion.key]]
at_s = 4
at = [1, -0.8]

[[mark]]
name = "A"
at = [0.5, 0]
faces = "CAM1" # the audience

[[line]]
name = "IN"
points = [[2.0, 0.0], [0.50, 0.0]]

[[cue]]
number = 2.50
name = "GO"
mode = "standby"
"#;
const BRACES: &str = r#"prop = [{ name = "BALL", at = [-1.0, -0.80], part = [] }] # in one line
motion = [{ name = "ROLL", prop = 'BALL', key = [{ at_s = 0, at = [-1.0, -0.8] }, { at_s = 4, at = [1, -0.8] }] }]
mark = [{ name = "A", at = [0.5, 0] }]
line = [{ name = "IN", points = [[2.0, 0.0], [0.50, 0.0]] }]
cue = [{ number = 2.5, name = "GO", mode = "standby" }]"#;

/// The text with some pieces in the place of others, each of which it has once.
fn with(text: &str, pieces: &[(&str, &str)]) -> String {
    pieces.iter().fold(text.to_owned(), |text, (old, new)| {
        assert_eq!(text.matches(old).count(), 1, "{old}");
        text.replacen(old, new, 1)
    })
}

fn assert_becomes(text: &str, change: &Change, pieces: &[(&str, &str)]) {
    let changed = change.apply(text);
    assert_eq!(changed, Ok(with(text, pieces)), "{change:?}");
}

#[test]
fn a_prop_takes_its_keys_along_however_they_are_written() {
    let change = Change::MoveProp { name: "BALL".into(), to: [-0.75, -0.8] };
    let keys = [("    -1.0, # across", "    -0.75, # across"), ("[1, -0.8]", "[1.25, -0.8]")];
    assert_becomes(TABLES, &change, &[&[("[-1.0, -0.80]", "[-0.75, -0.80]")][..], &keys].concat());
    let keys = [("[-1.0, -0.8] }", "[-0.75, -0.8] }"), ("[1, -0.8]", "[1.25, -0.8]")];
    assert_becomes(BRACES, &change, &[&[("[-1.0, -0.80]", "[-0.75, -0.80]")][..], &keys].concat());
}

#[test]
fn a_key_that_was_left_out_stands_beside_its_neighbour() {
    let change = Change::TurnProp { name: "BALL".into(), deg: -30.04 };
    assert_becomes(TABLES, &change, &[("-0.80] # where\n", "-0.80] # where\n  turn_deg = 330\n")]);
    assert_becomes(BRACES, &change, &[("-0.80], part", "-0.80], turn_deg = 330, part")]);
    // Nothing is turned by nothing.
    assert_becomes(TABLES, &Change::TurnProp { name: "BALL".into(), deg: 360.0 }, &[]);
    let change = Change::LimitCue { number: "2.5".into(), seconds: 8.0 };
    assert_becomes(TABLES, &change, &[("mode = \"standby\"\n", "mode = \"standby\"\nlimit_s = 8\n")]);
    assert_becomes(TABLES.trim_end(), &change, &[("\"standby\"", "\"standby\"\nlimit_s = 8")]);
    assert_becomes(BRACES, &change, &[("\"standby\"", "\"standby\", limit_s = 8")]);
}

#[test]
fn a_mark_that_is_turned_faces_nobody_and_one_that_is_moved_takes_line_ends_along() {
    let change = Change::TurnMark { name: "A".into(), deg: 92.25 };
    assert_becomes(TABLES, &change, &[("faces = \"CAM1\" # the", "facing_deg = 92.30 # the")]);
    assert_becomes(BRACES, &change, &[("[0.5, 0] }", "[0.5, 0], facing_deg = 92.30 }")]);
    let change = Change::MoveMark { name: "A".into(), to: [0.6, 0.0] };
    for text in [TABLES, BRACES] {
        assert_becomes(text, &change, &[("at = [0.5, 0]", "at = [0.6, 0]"), ("[0.50, 0.0]", "[0.60, 0.0]")]);
    }
}

#[test]
fn a_point_of_a_line_moves_or_comes_between() {
    let change = Change::MovePoint { name: "IN".into(), point: 0, to: [2.125, 0.0] };
    assert_becomes(TABLES, &change, &[("[[2.0, 0.0]", "[[2.125, 0.0]")]);
    let change = Change::AddPoint { name: "IN".into(), after: 0, to: [1.0, 0.3] };
    assert_becomes(TABLES, &change, &[("[[2.0, 0.0],", "[[2.0, 0.0], [1, 0.30],")]);
    assert!(Change::AddPoint { name: "IN".into(), after: 1, to: [1.0, 0.3] }.apply(TABLES).is_err());
    assert!(Change::MovePoint { name: "IN".into(), point: 2, to: [1.0, 0.3] }.apply(TABLES).is_err());
}

#[test]
fn what_is_not_there_is_said() {
    for change in [
        Change::MoveProp { name: "CUBE".into(), to: [0.0, 0.0] },
        Change::MoveMark { name: "B".into(), to: [0.0, 0.0] },
        Change::LimitCue { number: "3".into(), seconds: 8.0 },
        Change::MoveCamera { name: "CAM1".into(), to: [0.0, 0.0], z: None },
    ] {
        assert!(change.apply(TABLES).is_err_and(|words| words.starts_with("there is no")), "{change:?}");
    }
    let far = Change::MoveProp { name: "BALL".into(), to: [f64::NAN, 0.0] };
    assert!(far.apply(TABLES).is_err());
    assert!(Change::TurnProp { name: "BALL".into(), deg: f64::INFINITY }.apply(TABLES).is_err());
    assert!(Change::LimitCue { number: "2.5".into(), seconds: 1.0 }.apply("cue = [").is_err());
}
