//! What the benches share: floors to paint, and other painters that draw the same shapes.

pub(crate) mod contest;
pub(crate) mod floors;
pub(crate) mod rivals;
pub(crate) mod subjects;
pub(crate) mod targets;
