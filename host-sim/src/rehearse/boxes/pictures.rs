//! What the boxes show, as pictures.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use embedded_graphics::draw_target::DrawTargetExt;
use serde::Deserialize;
use underfoot_core::panel::{Face, display};

use crate::rehearse::house::House;
use crate::render::Picture;
use crate::render::png::{self, Kind};

/// Addresses of the boxes' pictures.
pub(in crate::rehearse) fn routes() -> Router<Arc<House>> {
    Router::new().route("/box/display.png", get(display_of)).route("/box/floor/{canvas}", get(floor))
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
    let picture = screen(house.boxes.shown().face.as_ref(), asked.size);
    answer(png::of_picture(&picture))
}

async fn floor(State(house): State<Arc<House>>, Path(canvas): Path<String>) -> Response {
    let show = &house.revision().project.show;
    let name = canvas.strip_suffix(".png").unwrap_or(&canvas);
    let Some(i) = show.canvases.iter().position(|c| c.name == name) else {
        let names: Vec<&str> = show.canvases.iter().map(|c| c.name.as_str()).collect();
        return (StatusCode::NOT_FOUND, format!("there is no canvas {name}; there are {}\n", names.join(", ")))
            .into_response();
    };
    let shown = house.boxes.shown();
    let pixels = u8::try_from(i).ok().and_then(|i| shown.canvases.get(&i).cloned());
    // Between two shows nothing is lit.
    let pixels = pixels.unwrap_or_else(|| crate::render::CanvasPixels::new(&show.canvases[i]));
    let encoded = tokio::task::spawn_blocking(move || png::of_canvas(&pixels, Kind::Black)).await;
    encoded.map_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response(), answer)
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
