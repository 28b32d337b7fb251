//! The SHOW argument: a show file, or the name of a demo.

use std::path::Path;

use super::{Output, Refusal};
use crate::demos::{DEMOS, text_of};
use crate::project::{self, Project};

/// Loads what the argument names. A file wins over a demo of the same name.
///
/// # Errors
/// [`Refusal`] with every fault of the file, or with the names that would do.
pub fn load(show: &str) -> Result<Project, Refusal> {
    let path = Path::new(show);
    if path.is_file() {
        return project::load(path).map_err(Refusal::from);
    }
    if let Some(text) = text_of(show) {
        return project::parse(show, text).map_err(Refusal::from);
    }
    if path.extension().is_some() || path.components().count() > 1 {
        return project::load(path).map_err(Refusal::from);
    }
    let names: Vec<&str> = DEMOS.iter().map(|(name, _)| *name).collect();
    Err(Refusal(format!("\"{show}\" is neither a show file nor a demo; the demos are {}", names.join(", "))))
}

/// Loads what is to be seen on a floor, and says which of its walk lines lead through what is in their way.
///
/// # Errors
/// As [`load`].
pub fn load_for_floor(show: &str, output: &mut Output<'_>) -> Result<Project, Refusal> {
    let project = load(show)?;
    for barred in &project.no_way {
        let name = project.show.lines.get(barred.line.index()).map_or("", |line| line.name.as_str());
        output.talk(&format!(
            "line {name} has no way and runs straight through what bars it; `underfoot check {show}` says what does"
        ));
    }
    Ok(project)
}

#[cfg(test)]
mod tests {
    use super::{load, load_for_floor};
    use crate::cli::Output;

    /// A planned line whose stop lies in POST when that stands at X.
    const SHOW: &str = r#"
show = { title = "Small", frame_rate = 25, unit = "m" }
canvas = [{ name = "FLOOR", size_px = [768, 768] }]
block = [{ name = "FLOOR", canvas = "FLOOR", panels = [6, 6], panel_mm = [500, 500], panel_px = [128, 128] }]
person = [{ name = "Guest", class = "mid" }]
prop = [{ name = "POST", at = [X, 0.5], part = [{ shape = "cylinder", radius_m = 0.2, top_m = 1 }] }]
line = [{ name = "GO", points = [[-1, -0.8], [0.9, 0.5]], route = "shortest" }]
cue = [{ number = 1, name = "GO", mode = "standby", props = ["POST"], places = [{ person = "Guest", line = "GO" }] }]
"#;

    #[test]
    fn a_line_without_a_way_is_told_of() {
        let path = std::env::temp_dir().join(format!("underfoot-barred-{}.toml", std::process::id()));
        let heard = |x: &str| {
            let written = std::fs::write(&path, SHOW.replace('X', x));
            assert!(written.is_ok(), "{written:?}");
            let (mut data, mut talk) = (Vec::new(), Vec::new());
            let loaded = load_for_floor(&path.display().to_string(), &mut Output::new(&mut data, &mut talk));
            assert!(loaded.is_ok(), "{:?}", loaded.err().map(|r| r.0));
            String::from_utf8_lossy(&talk).into_owned()
        };
        let barred = heard("0.9");
        assert!(barred.starts_with("line GO has no way and runs straight through what bars it"), "{barred}");
        assert_eq!(heard("-0.9"), "");
        let _ = std::fs::remove_file(&path);
    }

    #[test]
    fn every_demo_loads_and_other_names_are_answered_with_those_that_would_do() {
        for (name, _) in crate::demos::DEMOS {
            assert!(load(name).is_ok(), "{name}");
        }
        let refusal = load("clock").err().map(|r| r.0).unwrap_or_default();
        assert!(refusal.contains("clock-cabinet-clean"), "{refusal}");
    }
}
