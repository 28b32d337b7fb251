//! Rules of core's sources that no lint states.
//!
//! That core has no heap, no std and no std float functions is proven by building it for targets that
//! have none (the test command does); that it has no `unsafe`, no `unwrap` and no indexing is in its
//! lint settings, which these tests hold in place.

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        // A folder of unit tests: `mod tests` is built for tests only.
        if path.is_dir() && !path.ends_with("tests") {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Path relative to the root and text without comments and without what follows `#[cfg(test)] mod`.
fn code_of(crate_folder: &str) -> Vec<(String, String)> {
    let root = root();
    let mut paths = Vec::new();
    sources(&root.join(crate_folder).join("src"), &mut paths);
    let read = |path: PathBuf| {
        let text = fs::read_to_string(&path).unwrap();
        let name = path.strip_prefix(&root).unwrap().to_string_lossy().into_owned();
        (name, code_only(&text))
    };
    paths.into_iter().map(read).collect()
}

fn code_only(text: &str) -> String {
    let code = text.find("#[cfg(test)]\nmod ").map_or(text, |end| &text[..end]);
    code.lines().map(|line| line.split("//").next().unwrap_or("")).collect::<Vec<_>>().join("\n")
}

fn breaches(crate_folder: &str, words: &[&str], allowed: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    for (path, code) in code_of(crate_folder) {
        if allowed.iter().any(|a| path.starts_with(a)) {
            continue;
        }
        found.extend(words.iter().filter(|w| code.contains(**w)).map(|w| format!("{path}: {w}")));
    }
    found
}

#[test]
fn the_reader_drops_comments_and_tests_only() {
    let text = "use a; // micromath\n/// micromath\nfn b() {}\n#[cfg(test)]\nmod tests { use micromath; }\n";
    assert_eq!(code_only(text), "use a; \n\nfn b() {}");
}

/// Float functions of std differ between platforms, and a fused multiply-add rounds once where two
/// operations round twice: either would break "the same pixels everywhere".
#[test]
fn core_calls_no_std_float_function() {
    let words = [
        ".sqrt()",
        ".sin()",
        ".cos()",
        ".tan()",
        ".atan2(",
        ".asin()",
        ".acos()",
        ".atan()",
        ".powf(",
        ".powi(",
        ".exp()",
        ".ln()",
        ".log2(",
        ".log10(",
        ".hypot(",
        ".cbrt()",
        ".floor()",
        ".ceil()",
        ".round()",
        ".trunc()",
        ".fract()",
        ".mul_add(",
        "f32::sqrt",
        "f32::sin",
        "f32::cos",
        "f32::floor",
        "f32::ceil",
        "f32::round",
        "f32::mul_add",
        "f64::sqrt",
        "fmaf(",
        "libm::fma(",
    ];
    // Not in the list: `.sin_cos(`, which is `Angle`'s own by libm, and `.rem_euclid(`, exact on whole numbers.
    // The pulse's cosine is the coarse library's, see below.
    assert_eq!(breaches("core", &words, &["core/src/look/pulse.rs"]), Vec::<String>::new());
}

/// Its square root is 6 % off and its sines 0.0011: fit for pulses and the box's small display, and for
/// no place, distance or zone.
#[test]
fn the_coarse_math_library_stays_where_it_cannot_move_a_place() {
    let allowed = ["core/src/look/", "core/src/device/display", "core/src/engine/pulse"];
    assert_eq!(breaches("core", &["micromath"], &allowed), Vec::<String>::new());
    assert_eq!(breaches("host-sim", &["micromath"], &[]), Vec::<String>::new());
}

#[test]
fn core_forbids_what_it_must() {
    let text = fs::read_to_string(root().join("core/src/lib.rs")).unwrap();
    assert!(text.contains("\n#![no_std]\n"), "core must be no_std");
    assert!(text.contains("\n#![forbid(unsafe_code)]\n"), "core must forbid unsafe code");
    for lint in ["unwrap_used", "expect_used", "panic", "indexing_slicing"] {
        assert!(text.contains(&format!("clippy::{lint}")), "core must deny {lint}");
    }
    assert_eq!(
        breaches("core", &["extern crate alloc", "println!", "std::time", "Instant::now"], &[]),
        Vec::<String>::new()
    );
}
