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
    /// Timer 0: the clock.
    pub timer: usize,
    /// External RAM that stands for flash.
    pub flash: usize,
}
