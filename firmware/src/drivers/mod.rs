//! Register-level code. Besides `boards`, the only place with unsafe code; each use says why it is sound.

pub mod clock;
pub mod defmt_serial;
pub mod lan9118;
pub mod pins;
pub mod psram_flash;
pub mod sampler;
pub mod screen;
pub mod stack;
pub mod uart;
pub mod watchdog;
