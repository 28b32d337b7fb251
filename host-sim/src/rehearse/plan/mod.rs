//! What is where, as JSON for the page.

use std::sync::Arc;

use axum::Router;

use super::house::House;

/// Addresses of what the page asks for.
pub(super) fn routes() -> Router<Arc<House>> {
    Router::new()
}
