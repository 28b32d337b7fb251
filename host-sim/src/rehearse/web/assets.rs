//! The page's own files, carried in the command: nothing is built, nothing is fetched from elsewhere.

use axum::extract::Path;
use axum::http::{StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};

/// A page and where it is opened.
pub(super) struct Page {
    /// Its address.
    pub(super) path: &'static str,
    text: &'static str,
}

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        /// Scripts, styles and signs.
        const FILES: &[(&str, &str)] = &[$(($name, include_str!(concat!("../../../assets/rehearse/", $name)))),*];
    };
}

macro_rules! pages {
    ($($path:literal => $name:literal),* $(,)?) => {
        /// Pages of their own.
        pub(super) const PAGES: &[Page] =
            &[$(Page { path: $path, text: include_str!(concat!("../../../assets/rehearse/", $name)) }),*];
    };
}

pages!("/" => "rehearse.html", "/box" => "box.html", "/talent" => "talent.html");
files!(
    "attached-panel.js",
    "attached-pictures.js",
    "base.css",
    "box-hand.js",
    "box-now.js",
    "box-page.js",
    "box-panel.js",
    "box-says.js",
    "box.css",
    "chosen.js",
    "cues.js",
    "dom.js",
    "draw.js",
    "edits.js",
    "faults-panel.js",
    "faults-table.js",
    "faults.css",
    "findings-list.js",
    "findings.js",
    "head.js",
    "hit.js",
    "keys.js",
    "layers.js",
    "legend.js",
    "live.js",
    "look.js",
    "mark-shape.js",
    "newest.js",
    "plan-floor.js",
    "plan-hand.js",
    "plan-moment.js",
    "plan-pins.js",
    "plan-room.js",
    "plan.css",
    "plan.js",
    "rehearse.css",
    "rehearse.js",
    "say.js",
    "shots.js",
    "sign.svg",
    "signs.js",
    "sparing.js",
    "stage.js",
    "talent-plan.js",
    "talent-signs.js",
    "talent-words.js",
    "talent.css",
    "talent.js",
    "talk.js",
    "thing-shots.js",
    "thing.js",
    "time.js",
    "view.js",
    "words.js",
    "zones-list.js",
);

/// A page.
pub(super) async fn page(uri: Uri) -> Response {
    match PAGES.iter().find(|page| page.path == uri.path()) {
        Some(page) => ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], page.text).into_response(),
        None => nothing().await,
    }
}

/// A file of the pages.
pub(super) async fn asset(Path(name): Path<String>) -> Response {
    let Some((_, text)) = FILES.iter().find(|(known, _)| *known == name) else { return nothing().await };
    ([(header::CONTENT_TYPE, kind(&name))], *text).into_response()
}

/// There is no such thing.
pub(super) async fn nothing() -> Response {
    (StatusCode::NOT_FOUND, "There is nothing here; the page is at /.\n").into_response()
}

fn kind(name: &str) -> &'static str {
    match name.rsplit_once('.').map(|(_, ending)| ending) {
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("svg") => "image/svg+xml",
        _ => "text/plain; charset=utf-8",
    }
}
