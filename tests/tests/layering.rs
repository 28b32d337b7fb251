//! The import rules of DEVELOPERS.md, read from the `use` lines and paths of each core module.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Core module, and the core modules that it may name. `floor` and `show` name each other's plain data:
/// a block carries the crew's name, a show carries blocks.
const RULES: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("limits", &[]),
    ("checksum", &[]),
    ("geom", &["units", "limits"]),
    ("floor", &["geom", "units", "limits", "show"]),
    ("show", &["floor", "geom", "units", "limits"]),
    ("props", &["show", "floor", "geom", "units", "limits"]),
    ("cameras", &["props", "show", "floor", "geom", "units", "limits"]),
    ("walk", &["props", "show", "floor", "geom", "units", "limits"]),
    ("occupancy", &["walk", "props", "show", "floor", "geom", "units", "limits"]),
    ("zones", &["cameras", "props", "show", "floor", "geom", "units", "limits"]),
    ("paint", &["floor", "geom", "units", "limits"]),
    ("look", &["paint", "walk", "props", "show", "floor", "geom", "units", "limits"]),
    ("checksum", &[]),
    ("pack", &["checksum", "show", "floor", "geom", "units", "limits"]),
    ("engine", &["look", "walk", "props", "show", "floor", "geom", "units", "limits"]),
    ("crew", &["engine", "checksum", "show", "units", "limits"]),
    ("panel", &["engine", "show", "units", "limits"]),
    ("ports", &["panel", "paint", "show", "units"]),
    ("link", &["engine", "checksum", "show", "units", "limits"]),
    ("sacn", &["engine", "show", "floor", "ports", "paint", "units", "limits"]),
    ("store", &["ports", "checksum", "units", "limits"]),
    (
        "device",
        &[
            "engine",
            "crew",
            "panel",
            "link",
            "store",
            "sacn",
            "ports",
            "pack",
            "checksum",
            "look",
            "paint",
            "occupancy",
            "walk",
            "cameras",
            "props",
            "show",
            "floor",
            "geom",
            "units",
            "limits",
        ],
    ),
];

/// What `floor` may take from `show`: words and numbers, nothing that computes.
const FLOOR_FROM_SHOW: &[&str] = &["Name"];
/// What `show` may take from `floor`.
const SHOW_FROM_FLOOR: &[&str] = &["Block", "Canvas"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace root").to_path_buf()
}

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a readable folder") {
        let path = entry.expect("a readable entry").path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// The code without comments, strings' contents kept, and without what only tests see.
fn code_of(text: &str) -> String {
    let mut code = String::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let bare = line.split("//").next().unwrap_or("");
        if line.trim() != "#[cfg(test)]" {
            code.push_str(bare);
            code.push('\n');
            continue;
        }
        // Skip the item: to its semicolon, or to the brace that closes it.
        let mut depth = 0i32;
        for inner in lines.by_ref() {
            depth += inner.matches('{').count() as i32 - inner.matches('}').count() as i32;
            let closed = inner.trim_end().ends_with(['}', ';']);
            if depth <= 0 && closed {
                break;
            }
        }
    }
    code
}

/// Paths that start at the crate: `crate::a::b`, and each of `crate::{a::b, c}`, as (first, second) segments.
/// `supers` is the number of `super::` that leave the top-level module.
fn crate_paths(code: &str, supers: usize) -> Vec<(String, String)> {
    let escape = "super::".repeat(supers);
    let mut paths = Vec::new();
    for (start, prefix) in
        ["crate::", escape.as_str()].iter().filter(|p| !p.is_empty()).flat_map(|prefix| code.match_indices(prefix))
    {
        let before = code[..start].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':' || c == '$') {
            continue;
        }
        let rest = &code[start + prefix.len()..];
        if rest.starts_with("super::") {
            continue;
        }
        match rest.strip_prefix('{') {
            Some(group) => paths.extend(group_members(group).iter().flat_map(|member| segments(member))),
            None => paths.extend(segments(rest)),
        }
    }
    paths
}

/// The members of a `{...}` group, split at its own commas.
fn group_members(group: &str) -> Vec<String> {
    let (mut depth, mut members, mut member) = (0, Vec::new(), String::new());
    for c in group.chars() {
        match c {
            '}' if depth == 0 => break,
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                members.push(std::mem::take(&mut member));
                continue;
            }
            _ => {}
        }
        member.push(c);
    }
    members.push(member);
    members.retain(|m| !m.trim().is_empty());
    members
}

/// First and second segment of a path; one pair for each member when the second is a group.
fn segments(path: &str) -> Vec<(String, String)> {
    let word = |text: &str| text.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let path = path.trim_start();
    let first = word(path);
    let rest = path[first.len()..].trim_start().strip_prefix("::").unwrap_or("");
    match rest.trim_start().strip_prefix('{') {
        Some(group) => group_members(group).iter().map(|m| (first.clone(), word(m))).collect(),
        None => vec![(first, word(rest))],
    }
}

fn broken_rule(module: &str, (first, second): &(String, String)) -> Option<String> {
    let Some((_, allowed)) = RULES.iter().find(|(name, _)| *name == module) else {
        return Some(format!("module `{module}` has no rule: add it to the table and to DEVELOPERS.md"));
    };
    if first == module {
        return None;
    }
    if !RULES.iter().any(|(name, _)| name == first) {
        // Macros and items of the crate's root.
        return None;
    }
    if !allowed.contains(&first.as_str()) {
        return Some(format!("`{module}` must not use `{first}` ({first}::{second})"));
    }
    let narrow = match (module, first.as_str()) {
        ("floor", "show") => FLOOR_FROM_SHOW,
        ("show", "floor") => SHOW_FROM_FLOOR,
        _ => return None,
    };
    (!narrow.contains(&second.as_str()))
        .then(|| format!("`{module}` may take only {narrow:?} from `{first}`, not `{second}`"))
}

/// True for files that only test builds see.
fn is_for_tests(relative: &Path) -> bool {
    relative.iter().any(|p| p == "tests.rs" || p == "tests" || p == "test_support")
}

/// Module and depth below it (0 for `module.rs` and `module/mod.rs`) of a file in core/src.
fn module_of(relative: &Path) -> (String, usize) {
    let parts: Vec<String> =
        relative.with_extension("").iter().map(|p| p.to_string_lossy().into_owned()).filter(|p| p != "mod").collect();
    (parts[0].clone(), parts.len() - 1)
}

#[test]
fn every_core_module_keeps_its_import_rules() {
    let source = root().join("core/src");
    let mut files = Vec::new();
    rust_files(&source, &mut files);
    let mut broken = BTreeSet::new();
    let mut seen = BTreeSet::new();
    for file in &files {
        let relative = file.strip_prefix(&source).expect("a file below core/src");
        let (module, depth) = module_of(relative);
        if module == "lib" || is_for_tests(relative) {
            continue;
        }
        let code = code_of(&fs::read_to_string(file).expect("a readable file"));
        for path in crate_paths(&code, depth + 1) {
            broken.extend(broken_rule(&module, &path).map(|why| format!("{}: {why}", relative.display())));
        }
        if !RULES.iter().any(|(name, _)| *name == module) {
            broken.insert(format!("module `{module}` has no rule: add it to the table and to DEVELOPERS.md"));
        }
        seen.insert(module);
    }
    assert!(broken.is_empty(), "{broken:#?}");
    assert!(seen.len() >= 6, "the rules were read from {seen:?} only");
}

#[test]
fn the_core_stays_small_and_the_firmware_knows_no_desk() {
    let banned: &[(&str, &[&str])] = &[
        ("core/src", &["std::", "alloc::", "unsafe ", "mul_add(", "println!", "underfoot_sim", "underfoot_firmware"]),
        ("firmware/src", &["std::", "underfoot_sim", "underfoot_tests"]),
        ("host-sim/src", &["underfoot_firmware", "underfoot_tests", "unsafe "]),
    ];
    let mut broken = Vec::new();
    for (folder, words) in banned {
        let mut files = Vec::new();
        rust_files(&root().join(folder), &mut files);
        let source = root().join(folder);
        for file in files.iter().filter(|f| f.strip_prefix(&source).is_ok_and(|f| !is_for_tests(f))) {
            let code = code_of(&fs::read_to_string(file).expect("a readable file"));
            broken.extend(words.iter().filter(|w| has_word(&code, w)).map(|w| format!("{}: {w}", file.display())));
        }
    }
    assert!(broken.is_empty(), "{broken:#?}");
}

fn has_word(code: &str, word: &str) -> bool {
    code.match_indices(word).any(|(at, _)| !code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_'))
}

/// The reader itself: planted faults must be seen, and tests' own imports must not.
#[test]
fn planted_faults_are_seen() {
    let code = code_of(
        "use crate::{geom::StagePoint, link::Frame};\n// use crate::store::Slots;\n#[cfg(test)]\nmod tests {\n    use crate::device::Device;\n}\n",
    );
    let paths = crate_paths(&code, 2);
    assert_eq!(paths.len(), 2, "{paths:?}");
    assert_eq!(paths.iter().filter_map(|p| broken_rule("paint", p)).count(), 1);
    let climbing = crate_paths("use super::super::engine::{State, Step};", 2);
    assert_eq!(climbing.iter().filter_map(|p| broken_rule("show", p)).count(), 2);
    let narrow = crate_paths("use crate::show::{Name, Show};", 2);
    assert_eq!(narrow.iter().filter_map(|p| broken_rule("floor", p)).count(), 1);
}
