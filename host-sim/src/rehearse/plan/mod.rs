//! What is where, as JSON for the page. All geometry is the core's.
//!
//! [`stage`], [`things`], [`script`] tell what stays through a revision; [`moment`] what is where at a moment, with
//! [`people`]; [`crew`] what pictures ask of people and crew. [`loops`] and [`words`] turn the core's shapes and kinds into the page's.

mod crew;
mod loops;
mod moment;
pub(super) mod people;
pub(super) mod script;
mod stage;
mod things;
pub(super) mod words;

use std::sync::Arc;

use axum::Router;
use serde_json::{Map, Value, json};

use super::house::House;
use super::pictures::asked::{Asked, Unserved};
use super::pictures::of;
use super::pictures::studio::{Answer, Hand};
use crate::render::Easel;

/// Addresses of what the page asks for.
pub(super) fn routes() -> Router<Arc<House>> {
    Router::new()
        .route("/api/show", of(Hand::Quick, show))
        .route("/api/moment", of(Hand::Quick, moment::value))
        .route("/api/zones", of(Hand::Zones, crew::zones))
        .route("/api/wedges", of(Hand::Quick, crew::wedges))
}

/// All that stays through a revision.
fn show(asked: &Asked, _easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&[])?;
    let (revision, project) = (&asked.revision, asked.project());
    let mut all = Map::new();
    let rate = project.show.frame_rate;
    all.insert("revision".into(), json!(revision.number));
    all.insert("title".into(), json!(project.show.title.as_str()));
    all.insert("code".into(), json!(revision.code));
    all.insert("frame_rate".into(), json!(f64::from(rate.num) / f64::from(rate.den)));
    for (key, value) in stage::value(project).into_iter().chain(things::value(project)).chain(script::value(project)) {
        all.insert(key.into(), value);
    }
    Ok(Answer::json(&Value::Object(all)))
}

/// The line of the show file on which an item stands; `null` for what the file does not write out.
fn line(asked: &crate::project::Project, list: &str, index: usize) -> Value {
    json!(asked.places.of(list, index).map(|place| place.line))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rehearse::pictures::studio::asked_of;

    fn shown(demo: &str) -> Value {
        let answer = show(&asked_of(demo, "", &[]), &mut Easel::new()).expect("a show");
        serde_json::from_slice(&answer.bytes).expect("JSON")
    }

    #[test]
    fn every_demo_is_told_with_all_its_things() {
        for (name, _) in crate::demos::DEMOS {
            let (told, project) = (shown(name), asked_of(name, "", &[]));
            let show = &project.project().show;
            let counts = [
                ("canvases", show.canvases.len()),
                ("blocks", show.blocks.len()),
                ("walls", show.walls.len()),
                ("entries", show.entries.len()),
                ("physicals", show.physicals.len()),
                ("people", show.people.len()),
                ("marks", show.marks.len()),
                ("props", show.props.len()),
                ("lines", show.lines.len()),
                ("cameras", show.cameras.len()),
                ("shots", show.shots.len()),
                ("cues", show.cues.len()),
            ];
            for (list, count) in counts {
                assert_eq!(told[list].as_array().map(Vec::len), Some(count), "{name}: {list}");
            }
            let [left, low, right, high] = [0, 1, 2, 3].map(|i| told["extent"][i].as_f64().expect("a number"));
            let inside = |p: &Value| {
                let [x, y] = [0, 1].map(|i| p[i].as_f64().expect("a number"));
                (left..=right).contains(&x) && (low..=high).contains(&y)
            };
            assert!(told["floor"]["outline"].as_array().expect("an outline").iter().all(inside), "{name}");
            assert!(told["marks"].as_array().expect("marks").iter().all(|mark| inside(&mark["at"])), "{name}");
        }
    }

    /// What has a line of its own in the file names the line on which its name stands.
    #[test]
    fn lines_of_the_file_are_those_of_the_things() {
        let (told, text) = (shown("clock-cabinet"), crate::demos::text_of("clock-cabinet").expect("a demo"));
        for list in ["marks", "props", "cameras"] {
            for thing in told[list].as_array().expect("a list") {
                let line = thing["line"].as_u64().expect("a line") as usize;
                let name = thing["name"].as_str().expect("a name");
                let near: String = text.lines().skip(line - 1).take(3).collect();
                assert!(near.contains(&format!("\"{name}\"")), "{list} {name}: {near}");
            }
        }
    }
}
