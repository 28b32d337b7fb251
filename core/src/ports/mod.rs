//! What a device must give. Boards implement these over their hardware, the desk in memory.

pub mod flash;
pub mod link;
pub mod rows;
pub mod status;

pub use flash::{FlashPort, Geometry};
pub use link::LinkPort;
pub use rows::{Nowhere, RowPort};
pub use status::{Event, Status, StatusPort};
