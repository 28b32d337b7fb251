//! What a device must give. Boards implement these over their hardware, the desk in memory.

pub mod flash;
pub mod link;
pub mod net;
pub mod panel;
pub mod rows;

pub use flash::{FlashPort, Geometry};
pub use link::LinkPort;
pub use net::{Address, CREW_PORT, DATAGRAM_BYTES, Datagram, Door, LINK_PORT, NetPort, SACN_PORT, Station};
pub use panel::{Event, Haptic, Key, Lamp, Levels, Look, PanelPort};
pub use rows::{Nowhere, RowPort};
