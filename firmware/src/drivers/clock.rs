//! Time from CMSDK timer 0, which counts down at 25 MHz.

use underfoot_core::units::Instant;

const CTRL: usize = 0x0;
const VALUE: usize = 0x4;
const RELOAD: usize = 0x8;

/// Ticks per microsecond.
pub(super) const TICKS_PER_MICRO: u64 = 25;

/// Ticks of the timer at `base`, counting down.
pub fn ticks_at(base: usize) -> u32 {
    // SAFETY: boards pass the base address of a CMSDK timer only; its value may be read at any time.
    unsafe { core::ptr::read_volatile((base + VALUE) as *const u32) }
}

/// A running clock. The timer goes round every 171 s: ask more often than that.
#[derive(Debug)]
pub struct Clock {
    base: usize,
    last: u32,
    ticks: u64,
}

impl Clock {
    /// Starts the timer at `base`.
    pub fn start(base: usize) -> Self {
        let clock = Self { base, last: u32::MAX, ticks: 0 };
        clock.write(RELOAD, u32::MAX);
        clock.write(VALUE, u32::MAX);
        clock.write(CTRL, 1);
        clock
    }

    /// Ticks of the timer, counting down.
    pub fn raw(&self) -> u32 {
        ticks_at(self.base)
    }

    fn write(&self, register: usize, value: u32) {
        // SAFETY: as in `ticks_at`; no register of the timer touches memory.
        unsafe { core::ptr::write_volatile((self.base + register) as *mut u32, value) }
    }

    /// Time since the start.
    pub fn now(&mut self) -> Instant {
        let value = self.raw();
        self.ticks += u64::from(self.last.wrapping_sub(value));
        self.last = value;
        Instant::from_micros(self.ticks / TICKS_PER_MICRO)
    }
}
