//! What every request passes: the right name, a key, and headers that keep other sites out of the page.

use std::sync::Arc;
use std::time::Instant;

use axum::extract::{Query, Request, State};
use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use crate::rehearse::house::House;

/// Everything comes from this server; nobody frames the page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; \
                      connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
const HEADERS: [(HeaderName, &str); 4] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];
/// Said to who comes without a key.
const NO_KEY: &str = "This page needs its key: open the whole address that `underfoot rehearse` printed.\n";

/// The key in an address that was opened.
#[derive(Debug, Default, Deserialize)]
pub(super) struct Entry {
    key: Option<String>,
}

/// Lets a request pass, or not.
pub(super) async fn gate(
    State(house): State<Arc<House>>,
    Query(entry): Query<Entry>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = answer(&house, entry, request, next).await;
    for (name, value) in HEADERS {
        response.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    let headers = response.headers_mut();
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

async fn answer(house: &House, entry: Entry, mut request: Request, next: Next) -> Response {
    let headers = request.headers();
    if !house.door.is_for_us(headers) {
        return refuse(house, StatusCode::MISDIRECTED_REQUEST, "This page has another address.\n");
    }
    if let Some(key) = entry.key {
        return enter(house, &key, request.uri().path());
    }
    match house.door.right(headers) {
        Some(right) => {
            request.extensions_mut().insert(right);
            next.run(request).await
        }
        None => refuse(house, StatusCode::UNAUTHORIZED, NO_KEY),
    }
}

/// A key in the address becomes a cookie, and leaves the address, so that nobody reads it off a shared screen.
fn enter(house: &House, key: &str, path: &str) -> Response {
    let Some(right) = house.door.right_of(key) else { return refuse(house, StatusCode::UNAUTHORIZED, NO_KEY) };
    // Of a path nothing leads to another site: "//other" would.
    let path = format!("/{}", path.trim_start_matches('/'));
    let mut response = Redirect::to(&path).into_response();
    if let Ok(cookie) = HeaderValue::from_str(&house.door.cookie(right)) {
        response.headers_mut().insert(header::SET_COOKIE, cookie);
    }
    response
}

fn refuse(house: &House, status: StatusCode, words: &'static str) -> Response {
    if house.may_be_refused(Instant::now()) {
        (status, words).into_response()
    } else {
        (StatusCode::TOO_MANY_REQUESTS, "Too many requests without a key.\n").into_response()
    }
}
