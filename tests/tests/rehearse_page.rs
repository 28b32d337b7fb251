//! The rehearse page in a real browser: what a set lead does on it from opening it to keeping the show, and whether
//! everybody can read it. What the page must show and do is the brief's (2.3, features 16, 31 to 33); the rules of
//! reading are WCAG 2.2's, as axe-core checks them.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Once;

use underfoot_sim::rehearse::says::Ask;
use underfoot_tests::browser::{drive, rehearse};

static PLACE: Once = Once::new();

/// A new folder that the page keeps its files in: where the command is started.
fn folder() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("page-{}", std::process::id()));
    PLACE.call_once(|| {
        fs::create_dir_all(&folder).expect("a folder");
        std::env::set_current_dir(&folder).expect("its folder is there");
    });
    folder
}

fn pictures() -> String {
    let pictures = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/rehearse");
    fs::create_dir_all(&pictures).expect("a folder");
    pictures.to_string_lossy().into_owned()
}

#[test]
fn a_show_is_looked_at_changed_taken_back_and_kept() {
    let folder = folder();
    let address = rehearse(&["clock-cabinet"], 1);
    drive("edit.mjs", &[&address[0], &folder.to_string_lossy()]);
}

#[test]
fn what_the_readme_says_to_try_ends_in_a_changed_file() {
    let folder = folder();
    let address = rehearse(&[], 1);
    println!("{}", drive("first-path.mjs", &[&address[0], &folder.to_string_lossy()]));
}

#[test]
fn things_are_dragged_and_people_put_where_they_may_stand() {
    folder();
    let address = rehearse(&["clock-cabinet"], 1);
    drive("drag.mjs", &[&address[0]]);
}

#[test]
fn time_is_scrubbed_and_played_with_the_floors_pixels() {
    folder();
    let address = rehearse(&["clock-cabinet"], 1);
    drive("time.mjs", &[&address[0]]);
}

#[test]
fn a_finding_leads_to_its_cue_its_moment_and_its_place() {
    folder();
    let address = rehearse(&["clock-cabinet"], 1);
    drive("findings.mjs", &[&address[0]]);
}

#[test]
fn who_only_looks_sees_and_points_and_changes_nothing() {
    folder();
    let addresses = rehearse(&["clock-cabinet", "--share", "127.0.0.1"], 3);
    let addresses: Vec<&str> = addresses.iter().map(String::as_str).collect();
    drive("viewer.mjs", &addresses);
}

#[test]
fn keys_of_the_box_go_down_and_up() {
    folder();
    let address = rehearse(&["clock-cabinet-clean"], 1);
    drive("box.mjs", &[&address[0]]);
}

#[test]
fn everybody_can_read_it_in_both_schemes_and_on_a_phone() {
    folder();
    let address = rehearse(&["clock-cabinet"], 1);
    drive("reading.mjs", &[&address[0], &pictures()]);
}

/// Files of the page with their names.
fn files() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/assets/rehearse");
    let read = |entry: std::io::Result<fs::DirEntry>| {
        let path = entry.expect("an entry").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        (name, fs::read_to_string(path).expect("text"))
    };
    fs::read_dir(folder).expect("the page's files").map(read).collect()
}

/// No third party: all that a browser loads comes from the command itself. Names of formats are no addresses.
#[test]
fn nothing_is_fetched_from_elsewhere() {
    for (name, text) in files() {
        let text = text.replace("http://www.w3.org/2000/svg", "").replace("ws://${location.host}/live", "");
        for word in
            ["http://", "https://", "ws://", "wss://", "//cdn", "@import", "style=\"", "onclick", "innerHTML", "eval("]
        {
            assert!(!text.contains(word), "{name}: {word}");
        }
        let scripts = text.matches("<script").count();
        assert_eq!(
            scripts,
            text.matches("<script type=\"module\" src=\"/page/").count(),
            "{name}: a script in the page"
        );
    }
}

#[test]
fn files_are_short_and_say_what_they_are() {
    for (name, text) in files() {
        assert!(text.lines().count() <= 250, "{name} is too long");
        let starts = if name.ends_with(".js") {
            "// "
        } else if name.ends_with(".css") {
            "/* "
        } else {
            "<"
        };
        assert!(text.starts_with(starts), "{name} does not say what it is");
    }
}

/// The tests' own crates have `serde_json` keep numbers as they are written, and a browser writes fractions.
#[test]
fn asks_with_fractions_are_read_in_any_build() {
    for number in ["0.2", "-0.350", "2.80", "1e-3", "3"] {
        let text = format!(r#"{{"id":1,"ask":{{"do":"point","at":[{number},0.5]}}}}"#);
        let asked = underfoot_sim::rehearse::says::read(&text).expect(number);
        let wanted = number.parse::<f32>().expect("a number");
        assert!(matches!(asked.ask, Ask::Point { at } if at == [wanted, 0.5]), "{number}: {asked:?}");
    }
}
