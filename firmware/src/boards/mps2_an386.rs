//! Arm MPS2 with AN386: Cortex-M4F, 25 MHz, external RAM at 0x2100_0000.

use super::Board;

/// The board's addresses.
pub const BOARD: Board = Board {
    name: "mps2-an386",
    link_uart: 0x4000_4000,
    pins_uart: 0x4000_6000,
    timer: 0x4000_0000,
    core_hz: 25_000_000,
    watchdog: 0x4000_8000,
    ethernet: 0x4020_0000,
    flash: 0x2100_0000,
};
