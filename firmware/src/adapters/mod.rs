//! The embedded ecosystem's traits as the core's ports.

pub mod display;
pub mod flash;
pub mod keys;
pub mod link;
pub mod net;
pub mod panel;
pub mod signals;

pub use display::ColorDisplay;
pub use flash::NorPort;
pub use keys::KeyPins;
pub use link::SerialPort;
pub use net::Net;
pub use panel::PinPanel;
pub use signals::SignalPins;
