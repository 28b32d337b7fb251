//! Arm MPS2 with AN500: Cortex-M7, 25 MHz, external RAM at 0x6000_0000.

use super::Board;

/// The board's addresses.
pub const BOARD: Board = Board {
    name: "mps2-an500",
    link_uart: 0x4000_4000,
    pins_uart: 0x4000_6000,
    timer: 0x4000_0000,
    core_hz: 25_000_000,
    watchdog: 0x4000_8000,
    ethernet: 0xA000_0000,
    flash: 0x6000_0000,
};
