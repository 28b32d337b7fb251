//! The embedded ecosystem's traits as the core's ports.

pub mod flash;
pub mod link;

pub use flash::NorPort;
pub use link::SerialPort;
