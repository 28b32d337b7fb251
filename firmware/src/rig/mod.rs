//! The test rig: paints what a host asks for and answers with checksums, so that a host can compare its own rows with
//! the device's; traces zones, plans walk lines and answers for hidden marks in the same way. It talks over two files of the host, opened through semihosting; see [`command`].

pub mod command;
pub mod live;
pub mod walk;
pub mod zone;

#[cfg(target_os = "none")]
mod host_file;
#[cfg(target_os = "none")]
pub mod image;
#[cfg(target_os = "none")]
mod places;
#[cfg(target_os = "none")]
mod stretches;
