//! Pictures for the page.

use std::sync::Arc;

use axum::Router;

use super::house::House;

/// Addresses of all pictures.
pub(super) fn routes() -> Router<Arc<House>> {
    Router::new()
}
