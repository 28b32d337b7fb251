//! No text makes the loader panic, and what it lets through is a valid show.

use std::path::Path;

use underfoot_sim::project;
use underfoot_tests::dice::Dice;

/// Two demos, and the document's example with planned lines, which has little beside what planning depends on.
fn demo_texts() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim");
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).expect("a text");
    let document = read("docs/show-file.md");
    let examples: Vec<&str> = document.split("```toml\n").skip(1).filter_map(|rest| rest.split("```").next()).collect();
    let planned = examples.iter().find(|text| text.contains("route = \"shortest\"")).expect("an example");
    vec![read("demos/clock-cabinet.toml"), read("demos/harbour-hour-clean.toml"), (*planned).to_owned()]
}

fn load(text: &str) -> bool {
    match project::parse("mutated.toml", text) {
        Ok(project) => {
            assert_eq!(project.show.validate(), Ok(()));
            true
        }
        Err(errors) => {
            assert!(errors.len() > 0 && errors.iter().all(|e| e.line >= 1 && e.column >= 1 && !e.remedy.is_empty()));
            // Schema and types are made from one source: nothing may fall between them.
            assert!(errors.iter().all(|e| !e.what.contains("the file cannot be read")), "{errors}");
            assert!(!errors.to_string().is_empty());
            false
        }
    }
}

#[test]
fn random_bytes() {
    let mut dice = Dice::new(11);
    for _ in 0..2000 {
        let length = dice.below(200);
        let bytes: Vec<u8> = (0..length).map(|_| dice.byte()).collect();
        load(&String::from_utf8_lossy(&bytes));
    }
}

#[test]
fn random_toml_characters() {
    const CHARACTERS: &[u8] = b"[]{}=\"'.,#\n -+_0123456789eainftruelsxobTZ:\\";
    let mut dice = Dice::new(12);
    for _ in 0..4000 {
        let length = dice.below(120);
        let bytes: Vec<u8> = (0..length).map(|_| CHARACTERS[dice.below(CHARACTERS.len())]).collect();
        load(&String::from_utf8_lossy(&bytes));
    }
}

#[test]
fn demo_shows_with_bytes_changed() {
    let mut dice = Dice::new(13);
    let (mut loaded, mut all) = (0, 0);
    for text in demo_texts() {
        for _ in 0..150 {
            all += 1;
            let mut bytes = text.clone().into_bytes();
            for _ in 0..=dice.below(3) {
                let at = dice.below(bytes.len());
                bytes[at] = dice.byte();
            }
            loaded += usize::from(load(&String::from_utf8_lossy(&bytes)));
        }
    }
    // Some changes fall into comments and names: both outcomes are seen.
    assert!(loaded > 0 && loaded < all, "{loaded} of {all} loaded");
}

#[test]
fn demo_shows_with_values_changed() {
    const VALUES: [&str; 16] = [
        "0",
        "-1",
        "1e38",
        "-1e38",
        "nan",
        "inf",
        "\"\"",
        "\"A\"",
        "[]",
        "[1]",
        "{}",
        "true",
        "2031-05-09",
        "9e-46",
        "9223372036854775807",
        "[[[[[[]]]]]]",
    ];
    let mut dice = Dice::new(14);
    for text in demo_texts() {
        let lines: Vec<&str> = text.lines().collect();
        for _ in 0..250 {
            let changed = dice.below(lines.len());
            let mut out = String::new();
            for (i, line) in lines.iter().enumerate() {
                match line.split_once(" = ") {
                    Some((key, _)) if i == changed => {
                        out.push_str(&format!("{key} = {}", VALUES[dice.below(VALUES.len())]))
                    }
                    _ if i == changed => {}
                    _ => out.push_str(line),
                }
                out.push('\n');
            }
            load(&out);
        }
    }
}

/// Places, sizes and counts at which ways get tight, impossible or long: they load or are refused, and end.
#[test]
fn planned_lines_among_numbers_at_random() {
    let mut dice = Dice::new(15);
    let planned = demo_texts().pop().expect("the example");
    let (mut loaded, mut barred) = (0, 0);
    for _ in 0..300 {
        let mut out = String::new();
        for line in planned.lines() {
            let changed = line.starts_with("at = [") || line.starts_with("size_m = [");
            match line.split_once(" = ") {
                Some((key, _)) if changed && dice.below(4) == 0 => {
                    let [x, y] = [dice.below(80), dice.below(60)].map(|n| n as f32 / 10.0);
                    let (x, y) = if key == "at" { (x - 4.0, y - 3.0) } else { (x / 2.0 + 0.1, y / 2.0 + 0.1) };
                    out.push_str(&format!("{key} = [{x:.1}, {y:.1}]"));
                }
                _ => out.push_str(line),
            }
            out.push('\n');
        }
        if load(&out) {
            loaded += 1;
            let project = project::parse("mutated.toml", &out).expect("it loaded");
            barred += project.no_way.len();
            for gone in &project.no_way {
                let points = project.show.points_of(&project.show.lines[gone.line.index()]);
                assert!(points.iter().all(|p| p.bend_m == 0.0), "a line without a way has corners");
            }
        }
    }
    assert!(loaded > 0 && barred > 0, "{loaded} loaded, {barred} without a way");
}

#[test]
fn demo_shows_cut_short() {
    for text in demo_texts() {
        for end in (0..text.len()).step_by(97) {
            load(&String::from_utf8_lossy(&text.as_bytes()[..end]));
        }
    }
}

#[test]
fn deep_nesting() {
    for (open, close) in [("[", "]"), ("{a=", "}")] {
        let text = format!("a = {}1{}", open.repeat(20_000), close.repeat(20_000));
        assert!(!load(&text));
    }
}
