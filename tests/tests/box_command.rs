//! The box at the desk by its command: scripts, memory that outlives it, refusals. What is expected is what the brief
//! asks of the floor manager's box (absolute GO, lockout, two deliberate steps out of OFF, BACK held, HELD after power).

use std::fs;
use std::path::{Path, PathBuf};

use underfoot_sim::cli::{self, Exit};
use underfoot_tests::golden::decode;

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("box-{name}-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder");
    folder
}

/// Exit, data and talk of `underfoot box` with these arguments and a script.
fn run(name: &str, script: &str, arguments: &[&str]) -> (Exit, String, String) {
    let file = folder(name).join("script.txt");
    fs::write(&file, script).expect("a script");
    let mut all = vec!["underfoot", "box"];
    all.extend(arguments);
    let file = file.to_string_lossy();
    all.extend(["--script", &file]);
    let (mut data, mut talk) = (Vec::new(), Vec::new());
    let exit = cli::run(all, &mut cli::Output::new(&mut data, &mut talk));
    (exit, String::from_utf8_lossy(&data).into_owned(), String::from_utf8_lossy(&talk).into_owned())
}

fn says(name: &str, script: &str) -> String {
    let (exit, data, talk) = run(name, script, &["clock-cabinet-clean"]);
    assert_eq!(exit, Exit::Fine, "{talk}");
    data
}

const LIGHT: &str = "hold hold 700\ngo\nwait 500\n";

#[test]
fn it_wakes_in_off_and_says_what_to_press() {
    let data = says("wakes", "show\ngo\nhold hold 300\nshow");
    assert_eq!(data.matches("HOLD till tick, then GO").count(), 2, "{data}");
    assert_eq!(data.matches("two ticks: refused").count(), 2, "{data}");
}

#[test]
fn two_deliberate_steps_light_the_first_cue() {
    let data = says("steps", &format!("{LIGHT}show"));
    assert!(data.contains("GO for 80 ms: one tick: taken") && data.contains("NOW 1 "), "{data}");
    assert!(data.contains("lamp steady"), "{data}");
}

/// The brief's question 13: five presses in a second are one advance.
#[test]
fn five_presses_in_a_second_are_one_advance() {
    let data = says("five", &format!("{LIGHT}hold go 35\nhold go 35\nhold go 35\nhold go 35\nshow"));
    assert!(data.contains("NOW 2 "), "{data}");
    assert_eq!(data.matches("GO for 35 ms: one tick: taken").count(), 1, "{data}");
}

#[test]
fn off_stop_and_power_leave_the_floor_dark() {
    for (name, step, expected) in
        [("off", "off", "OFF · all marks are off"), ("stop", "stop on", "OFF STOP · the house asks for dark")]
    {
        let floor = folder(name).join("floor.png");
        let data = says(name, &format!("{LIGHT}{step}\nwait 100\nshow\nfloor {}", floor.display()));
        assert!(data.contains(expected) && data.contains("0 pixels lit"), "{data}");
        let (_, _, samples) = decode(&fs::read(&floor).expect("a picture"));
        assert!(samples.iter().all(|&sample| sample == 0));
    }
}

#[test]
fn the_floor_is_written_as_the_box_paints_it() {
    let name = "floor";
    let floor = folder(name).join("floor.png");
    let (exit, _, talk) = run(name, LIGHT, &["clock-cabinet-clean", "--floor", floor.to_str().expect("a path")]);
    assert_eq!(exit, Exit::Fine, "{talk}");
    let (wide, tall, samples) = decode(&fs::read(&floor).expect("a picture"));
    assert!(wide >= 384 && tall >= 384, "{wide} x {tall}");
    assert!(samples.iter().any(|&sample| sample > 100));
}

#[test]
fn its_memory_outlives_it() {
    let name = "flash";
    let flash = folder(name).join("flash.bin");
    let _ = fs::remove_file(&flash);
    let flash = flash.to_str().expect("a path");
    let (_, first, _) = run(name, "show", &["clock-cabinet-clean", "--flash", flash]);
    let (exit, second, talk) = run(name, &format!("show\n{LIGHT}show"), &["--flash", flash]);
    assert_eq!(exit, Exit::Fine, "{talk}");
    let code = first.lines().nth(4).expect("the line with the show code");
    assert!(second.contains(code) && second.contains("NOW 1 "), "{first}{second}");
}

#[test]
fn without_a_show_it_says_so() {
    let (exit, data, _) = run("none", "show\nhold hold 700", &[]);
    assert_eq!(exit, Exit::Fine);
    assert!(data.contains("NO SHOW") && data.contains("send one from the desk"), "{data}");
    assert!(data.contains("two ticks: refused"), "{data}");
}

#[test]
fn the_same_script_says_the_same_every_time() {
    let script = format!("{LIGHT}show\npicture\nhold back 700\nwait 1234\ngo\nshow");
    assert_eq!(says("again-1", &script), says("again-2", &script));
}

#[test]
fn what_cannot_run_ends_with_2_and_a_reason() {
    let short = folder("short").join("flash.bin");
    fs::write(&short, [0xFF; 100]).expect("a file");
    let short = short.to_str().expect("a path");
    for (script, arguments, expected) in [
        ("go\nleap", vec!["clock-cabinet-clean"], "line 2 of the script"),
        ("show", vec!["clock-cabinet-clean", "--flash", short], "it has 100 bytes"),
        ("show", vec!["no-such-show"], "no-such-show"),
    ] {
        let (exit, data, talk) = run("refused", script, &arguments);
        assert_eq!((exit, data.as_str()), (Exit::CouldNotRun, ""), "{arguments:?}");
        assert!(talk.contains(expected), "{talk}");
    }
    assert_eq!(fs::read(short).expect("the file").len(), 100, "a file that is no memory of a box is not touched");
}
