//! What the boxes show, as pictures.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use embedded_graphics::draw_target::DrawTargetExt;
use serde::Deserialize;
use underfoot_core::floor::Canvas;
use underfoot_core::panel::{Face, display};

use crate::rehearse::draft::Revision;
use crate::rehearse::house::House;
use crate::render::png::{self, Kind};
use crate::render::{CanvasPixels, Picture};

/// Addresses of the boxes' pictures.
pub(in crate::rehearse) fn routes() -> Router<Arc<House>> {
    Router::new()
        .route("/box/display.png", get(display_of))
        .route("/box/floor/{canvas}", get(floor))
        .route("/attached/display.png", get(attached_display))
        .route("/attached/floor/{canvas}", get(attached_floor))
        .route("/attached/differs/{canvas}", get(attached_differs))
}

/// Which of the two displays a box may have.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Size {
    #[default]
    Large,
    Small,
}

#[derive(Debug, Deserialize)]
struct Asked {
    #[serde(default)]
    size: Size,
}

async fn display_of(State(house): State<Arc<House>>, Query(asked): Query<Asked>) -> Response {
    let face = house.boxes.shown(|shown| shown.face.clone());
    let picture = screen(face.as_ref(), asked.size);
    answer(png::quick_picture(&picture))
}

async fn floor(State(house): State<Arc<House>>, Path(canvas): Path<String>) -> Response {
    let revision = house.revision();
    let Some((i, canvas)) = canvas_of(&revision, &canvas) else { return no_such(&revision, &canvas) };
    let pixels = house.boxes.shown(|shown| shown.canvases.get(&i).cloned());
    // Between two shows nothing is lit.
    let pixels = pixels.unwrap_or_else(|| CanvasPixels::new(canvas));
    encoded(move || png::quick_canvas(&pixels, Kind::Black)).await
}

async fn attached_display(State(house): State<Arc<House>>) -> Response {
    match house.attached(|shown| shown.display.clone()) {
        Some(picture) => answer(png::quick_picture(&picture)),
        None => nothing_yet(),
    }
}

async fn attached_floor(State(house): State<Arc<House>>, Path(canvas): Path<String>) -> Response {
    let revision = house.revision();
    let Some((i, _)) = canvas_of(&revision, &canvas) else { return no_such(&revision, &canvas) };
    match house.attached(|shown| shown.canvases.get(&i).cloned()) {
        Some(pixels) => encoded(move || png::quick_canvas(&pixels, Kind::Black)).await,
        None => nothing_yet(),
    }
}

/// White where a pixel differs.
async fn attached_differs(State(house): State<Arc<House>>, Path(canvas): Path<String>) -> Response {
    let revision = house.revision();
    let Some((i, canvas)) = canvas_of(&revision, &canvas) else { return no_such(&revision, &canvas) };
    let Some(differs) = house.attached(|shown| shown.differs.get(&i).cloned()) else { return nothing_yet() };
    let (width, height) = (usize::from(canvas.width_px), usize::from(canvas.height_px));
    let mut picture = Picture::new(width, height, [0; 3]);
    for (at, _) in differs.iter().enumerate().filter(|(_, differs)| **differs) {
        picture.at_mut(at % width, at / width).into_iter().for_each(|pixel| *pixel = [255; 3]);
    }
    encoded(move || png::quick_picture(&picture)).await
}

/// The canvas that an address names.
fn canvas_of<'r>(revision: &'r Revision, file: &str) -> Option<(u8, &'r Canvas)> {
    let name = file.strip_suffix(".png").unwrap_or(file);
    (0..).zip(&revision.project.show.canvases).find(|(_, canvas)| canvas.name == name)
}

fn no_such(revision: &Revision, file: &str) -> Response {
    let names: Vec<&str> = revision.project.show.canvases.iter().map(|canvas| canvas.name.as_str()).collect();
    let words = format!("there is no canvas {file}; there are {}\n", names.join(", "));
    (StatusCode::NOT_FOUND, words).into_response()
}

fn nothing_yet() -> Response {
    (StatusCode::NOT_FOUND, "No box is attached, or nothing was seen of it yet.\n").into_response()
}

/// Packs a picture away from the threads that others wait for.
async fn encoded<E: Send + 'static>(pack: impl FnOnce() -> Result<Vec<u8>, E> + Send + 'static) -> Response {
    let packed = tokio::task::spawn_blocking(pack).await;
    packed.map_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response(), answer)
}

/// A display, pixel for pixel; dark without power.
fn screen(face: Option<&Face>, size: Size) -> Picture {
    let of = match size {
        Size::Large => display::COLOR,
        Size::Small => display::MONO,
    };
    let mut picture = Picture::new(of.width as usize, of.height as usize, [0; 3]);
    if let Some(face) = face {
        let Ok(()) = match size {
            Size::Large => display::color(face, &mut picture.color_converted()),
            Size::Small => display::mono(face, &mut picture.color_converted()),
        };
    }
    picture
}

fn answer<E>(bytes: Result<Vec<u8>, E>) -> Response {
    match bytes {
        Ok(bytes) => ([(header::CONTENT_TYPE, "image/png")], bytes).into_response(),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}
