//! The test rig: paints what a host asks for and answers with checksums, so that a host can compare its own rows with
//! the device's. It talks over two files of the host, opened through semihosting; see [`command`].

pub mod command;

#[cfg(target_os = "none")]
pub mod image;
