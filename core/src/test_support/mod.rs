//! What unit tests of several modules share.

pub(crate) mod mock_flash;
pub(crate) mod mock_ports;
pub(crate) mod samples;
