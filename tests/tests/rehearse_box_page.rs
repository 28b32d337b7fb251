//! The pages beside the main one, in a real browser: the floor manager's box in one hand, and the floor for people who
//! stand on it. What they must do is the brief's (2.4 to 2.6, features 6 to 8, 11 to 15, 20, 21, trust tests 17, 18);
//! the rules of reading are WCAG 2.2's, as axe-core checks them.

use std::fs;
use std::path::Path;

use underfoot_sim::demos::text_of;
use underfoot_tests::browser::{drive, rehearse};

fn pictures() -> String {
    let pictures = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/rehearse");
    fs::create_dir_all(&pictures).expect("a folder");
    pictures.to_string_lossy().into_owned()
}

/// A small show whose boxes have an on-air light wired.
fn wired() -> String {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("clock-cabinet-wired.toml");
    let text = text_of("clock-cabinet").expect("a demo");
    assert!(!text.contains("[control]"), "the demo has none");
    fs::write(&path, format!("{text}\n[control]\non_air_contact = true\n")).expect("a file");
    path.to_string_lossy().into_owned()
}

/// The boxes of two runs: each begins in OFF.
#[test]
fn a_show_runs_by_keyboard_alone_from_its_first_cue_to_off() {
    let (main, hand) = (rehearse(&["clock-cabinet"], 1), rehearse(&["clock-cabinet"], 1));
    drive("keyboard-run.mjs", &[&main[0], &hand[0]]);
}

#[test]
fn keys_in_the_hand_go_down_and_up_with_fingers_and_lines() {
    let address = rehearse(&["clock-cabinet"], 1);
    drive("hand.mjs", &[&address[0], &pictures()]);
}

#[test]
fn one_of_three_drives_and_who_takes_nothing_in_holds_up_nobody() {
    let addresses = rehearse(&["clock-cabinet", "--share", "127.0.0.1"], 3);
    let addresses: Vec<&str> = addresses.iter().map(String::as_str).collect();
    drive("handover.mjs", &addresses);
}

#[test]
fn who_stands_on_the_floor_finds_sign_way_and_view() {
    let address = rehearse(&["clock-cabinet"], 1);
    drive("talent.mjs", &[&address[0], &pictures()]);
}

#[test]
fn what_is_pulled_out_is_told_with_what_follows() {
    let (wired, plain) = (rehearse(&[&wired()], 1), rehearse(&["clock-cabinet"], 1));
    drive("faults.mjs", &[&wired[0], &plain[0], &pictures()]);
}

/// Trust test 18 asks eight people; this asks the pixels.
#[test]
fn signs_and_states_differ_by_form_for_every_eye() {
    let address = rehearse(&["clock-cabinet"], 1);
    drive("colours.mjs", &[&address[0], &pictures()]);
}
