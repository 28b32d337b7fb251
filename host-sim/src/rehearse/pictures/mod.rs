//! Pictures for the page: the floor, what cameras see of it, what people see of it, and what is taken away on paper.
//!
//! [`floor`] paints canvases as the engine would show them, [`shot`] looks through cameras, [`eye`] through somebody's own
//! eyes; [`export`] and [`frames`] are taken away. [`asked`] reads addresses, [`studio`] has the hands and keeps what they
//! made.

mod aside;
pub(super) mod asked;
mod export;
mod eye;
mod floor;
mod frames;
mod shot;
pub(super) mod studio;

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, Uri};
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodRouter, get};

use super::house::House;
use asked::Unserved;
use studio::{Hand, Work, serve};

pub use floor::at as floor_at;
pub use studio::Studio;

/// Addresses of all pictures.
pub(super) fn routes() -> Router<Arc<House>> {
    Router::new()
        .route("/floor/{file}", of_each(&[(".png", (Hand::Quick, floor::picture))]))
        .route(
            "/shot/{file}",
            of_each(&[(".png", (Hand::Camera, shot::picture)), (".json", (Hand::Quick, shot::figures))]),
        )
        .route("/eye/{file}", of_each(&[(".png", (Hand::Camera, eye::picture))]))
        .route("/export/contact.png", of(Hand::Export, export::contact))
        .route("/export/floor.png", of(Hand::Export, export::floor))
        .route("/export/findings.txt", of(Hand::Export, export::findings_text))
        .route("/export/findings.json", of(Hand::Export, export::findings_json))
        .route("/export/show.toml", of(Hand::Export, export::show))
        .route("/export/frames.zip", of(Hand::Export, frames::zipped))
}

/// Serves one thing that has no name.
pub(super) fn of(hand: Hand, work: Work) -> MethodRouter<Arc<House>> {
    get(move |State(house): State<Arc<House>>, uri: Uri, headers: HeaderMap| async move {
        serve(house, (uri, headers), String::new(), (hand, work)).await
    })
}

/// Serves one thing of each name, by the ending of the name.
fn of_each(works: &'static [(&'static str, (Hand, Work))]) -> MethodRouter<Arc<House>> {
    get(move |State(house): State<Arc<House>>, uri: Uri, headers: HeaderMap, Path(file): Path<String>| async move {
        let found = works.iter().find_map(|(ending, work)| Some((file.strip_suffix(ending)?, *work)));
        match found {
            Some((name, work)) => serve(house, (uri, headers), name.to_owned(), work).await,
            None => unknown(&file, works),
        }
    })
}

fn unknown(file: &str, works: &[(&str, (Hand, Work))]) -> Response {
    let endings: Vec<&str> = works.iter().map(|(ending, _)| *ending).collect();
    Unserved::unknown(format!("there is no \"{file}\" here: names end in {}", endings.join(" or "))).into_response()
}
