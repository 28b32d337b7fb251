//! The box's images in an emulator: finding a tool-chain, building, running, talking.

pub mod budgets;
pub mod crowd;
pub mod cut_box;
pub mod emulator;
pub mod gdb;
pub mod host_rows;
pub mod images;
pub mod live_scene;
pub mod log;
pub mod networked;
pub mod pins;
pub mod powered;
pub mod questions;
pub mod rig;
pub mod scratch;
pub mod shows;
pub mod toolchain;
pub mod twin;

pub use emulator::{Board, Emulator};
pub use images::{Image, Profile, image};
pub use powered::Powered;
pub use rig::Rig;
pub use toolchain::{Missing, Toolchain};
