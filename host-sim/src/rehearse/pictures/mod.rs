//! Pictures for the page: the floor, what cameras see of it, what people see of it, and what is taken away on paper.
//!
//! [`floor`] paints canvases as the engine would show them, [`shot`] looks through cameras. [`asked`] reads addresses,
//! [`studio`] has the hands and keeps what they made.

pub(super) mod asked;
mod floor;
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
use studio::{Work, serve};

pub use studio::Studio;

/// Addresses of all pictures.
pub(super) fn routes() -> Router<Arc<House>> {
    Router::new()
        .route("/floor/{file}", of_each(&[(".png", floor::picture)]))
        .route("/shot/{file}", of_each(&[(".png", shot::picture), (".json", shot::figures)]))
}

/// Serves one thing of each name, by the ending of the name.
fn of_each(works: &'static [(&'static str, Work)]) -> MethodRouter<Arc<House>> {
    get(move |State(house): State<Arc<House>>, uri: Uri, headers: HeaderMap, Path(file): Path<String>| async move {
        let found = works.iter().find_map(|(ending, work)| Some((file.strip_suffix(ending)?, *work)));
        match found {
            Some((name, work)) => serve(house, (uri, headers), name.to_owned(), work).await,
            None => unknown(&file, works),
        }
    })
}

fn unknown(file: &str, works: &[(&str, Work)]) -> Response {
    let endings: Vec<&str> = works.iter().map(|(ending, _)| *ending).collect();
    Unserved::unknown(format!("there is no \"{file}\" here: names end in {}", endings.join(" or "))).into_response()
}
