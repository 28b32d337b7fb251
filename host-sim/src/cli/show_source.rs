//! The SHOW argument: a show file, or the name of a demo.

use std::path::Path;

use super::Refusal;
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

#[cfg(test)]
mod tests {
    use super::load;

    #[test]
    fn every_demo_loads_and_other_names_are_answered_with_those_that_would_do() {
        for (name, _) in crate::demos::DEMOS {
            assert!(load(name).is_ok(), "{name}");
        }
        let refusal = load("clock").err().map(|r| r.0).unwrap_or_default();
        assert!(refusal.contains("clock-cabinet-clean"), "{refusal}");
    }
}
