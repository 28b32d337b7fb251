//! One file for each board: its addresses. Images name their board.

pub mod mps2_an386;
pub mod mps2_an500;

/// What differs between boards of the MPS2 family.
#[derive(Clone, Copy, Debug)]
pub struct Board {
    /// Name for the log.
    pub name: &'static str,
    /// UART 0: the link.
    pub link_uart: usize,
    /// UART 2: the pins of keys, contacts, lamp, haptic motor and relay, of which the board has none; see
    /// [`crate::drivers::pins`].
    pub pins_uart: usize,
    /// Timer 0: the clock.
    pub timer: usize,
    /// Clock of the core's own timer, hertz.
    pub core_hz: u32,
    /// The watchdog.
    pub watchdog: usize,
    /// The LAN9118 Ethernet controller.
    pub ethernet: usize,
    /// External RAM that stands for flash.
    pub flash: usize,
}
