//! What a device must give. Boards implement these over their hardware, the desk in memory.

pub mod flash;
pub mod link;
pub mod net;
pub mod panel;
pub mod rows;

pub use flash::{FlashPort, Geometry};
pub use link::LinkPort;
pub use net::{DATAGRAM_BYTES, Datagram, Door, NetPort, NoNet, Station};
pub use panel::{Event, Haptic, Key, Lamp, Levels, PanelPort};
pub use rows::{Nowhere, RowPort};
