//! The CMSDK watchdog: an interrupt that nothing masks at its first expiry, a reset at its second.

const LOAD: usize = 0x0;
const CTRL: usize = 0x8;
const INT_CLEAR: usize = 0xC;

const CTRL_INTERRUPT: u32 = 1;
const CTRL_RESET: u32 = 2;
/// Ticks of a millisecond at 25 MHz.
const TICKS_PER_MS: u32 = 25_000;

/// A running watchdog.
#[derive(Debug)]
pub struct Watchdog {
    base: usize,
}

impl Watchdog {
    /// Starts the watchdog at `base`: it has to be fed every `patience_ms`.
    pub fn start(base: usize, patience_ms: u32) -> Self {
        let watchdog = Self { base };
        watchdog.write(LOAD, patience_ms.saturating_mul(TICKS_PER_MS));
        watchdog.write(CTRL, CTRL_INTERRUPT | CTRL_RESET);
        watchdog
    }

    /// Says that all is well.
    pub fn feed(&mut self) {
        self.write(INT_CLEAR, 1);
    }

    fn write(&self, register: usize, value: u32) {
        // SAFETY: boards pass the base address of a CMSDK watchdog only; no register of it touches memory.
        unsafe { core::ptr::write_volatile((self.base + register) as *mut u32, value) }
    }
}
