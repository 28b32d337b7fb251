//! Pins of a board that has none to spare: their levels go as bytes through UART 2.
//!
//! In comes one byte whenever a level changes: the levels of all inputs, bit by bit ([`Input`]). Out go records of six
//! bytes, of which only the first has its highest bit set: what ([`Record`], three bits) with four bits of its own, then
//! the ticks of the board's clock, which counts down, in groups of seven bits, the lowest first.

use core::convert::Infallible;
use core::sync::atomic::{AtomicU8, AtomicUsize, Ordering};

use embedded_hal::digital::{ErrorType, InputPin, OutputPin};

use super::{clock, uart};

/// An input by its bit. The first five are the keys in the order of the core's; a set bit is a key that is down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Input(pub u8);

/// An output by its bit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Output(pub u8);

impl Input {
    /// The house's stop contact.
    pub const STOP: Self = Self(5);
    /// The on-air light is wired to this box.
    pub const ON_AIR_WIRED: Self = Self(6);
    /// The on-air light.
    pub const ON_AIR: Self = Self(7);
}

impl Output {
    /// The status lamp.
    pub const LAMP: Self = Self(0);
    /// The haptic motor.
    pub const HAPTIC: Self = Self(1);
    /// The reveal relay: set for CLEAR.
    pub const RELAY: Self = Self(2);
}

/// What a record tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Record {
    /// An output changed: the levels of all.
    Levels = 0,
    /// 1: the floor got its first row after it was dark. 0: it is dark.
    Light = 1,
    /// The main loop begins.
    Ready = 2,
    /// The longest time between two looks at the inputs has grown; the ticks are that time.
    Longest = 3,
    /// Levels came in: the lowest four.
    Heard = 4,
    /// The display shows another face, whole.
    Shown = 5,
    /// A canvas got the first row with light of a picture.
    Row = 6,
    /// The longest time between two polls has grown; the ticks are that time.
    Poll = 7,
}

static IN: AtomicU8 = AtomicU8::new(0);
static OUT: AtomicU8 = AtomicU8::new(0);
/// Base addresses of UART and timer; 0 while the pins are not open.
static UART: AtomicUsize = AtomicUsize::new(0);
static TIMER: AtomicUsize = AtomicUsize::new(0);

/// Opens the pins over the UART at `uart`, with times of the timer at `timer`.
pub fn open(uart: usize, timer: usize) {
    UART.store(uart, Ordering::Relaxed);
    TIMER.store(timer, Ordering::Relaxed);
    uart::listen(uart, uart::Receive::Pins);
}

/// To be called by the UART's receive interrupt: takes the newest levels.
pub fn on_receive() {
    uart::take_bytes(UART.load(Ordering::Relaxed), |levels| {
        IN.store(levels, Ordering::Relaxed);
        tell(Record::Heard, levels, ticks());
    });
}

/// Ticks of the board's clock.
pub fn ticks() -> u32 {
    match TIMER.load(Ordering::Relaxed) {
        0 => 0,
        base => clock::ticks_at(base),
    }
}

/// Sends a record.
pub fn tell(what: Record, bits: u8, ticks: u32) {
    let base = UART.load(Ordering::Relaxed);
    if base == 0 {
        return;
    }
    let groups = [0, 7, 14, 21, 28].map(|low| (ticks >> low) as u8 & 0x7F);
    critical_section::with(|_| {
        let line = uart::Uart::at(base);
        line.send_byte(0x80 | (what as u8) << 4 | bits & 0x0F);
        groups.into_iter().for_each(|group| line.send_byte(group));
    });
}

/// Tells of the floor's light.
pub fn tell_light(lit: bool) {
    tell(Record::Light, lit.into(), ticks());
}

impl ErrorType for Input {
    type Error = Infallible;
}

impl InputPin for Input {
    fn is_high(&mut self) -> Result<bool, Infallible> {
        Ok(IN.load(Ordering::Relaxed) >> self.0 & 1 == 1)
    }

    fn is_low(&mut self) -> Result<bool, Infallible> {
        self.is_high().map(|high| !high)
    }
}

impl ErrorType for Output {
    type Error = Infallible;
}

impl Output {
    fn set(self, levels: u8) {
        if OUT.swap(levels, Ordering::Relaxed) != levels {
            tell(Record::Levels, levels, ticks());
        }
    }
}

impl OutputPin for Output {
    fn set_high(&mut self) -> Result<(), Infallible> {
        self.set(OUT.load(Ordering::Relaxed) | 1 << self.0);
        Ok(())
    }

    fn set_low(&mut self) -> Result<(), Infallible> {
        self.set(OUT.load(Ordering::Relaxed) & !(1 << self.0));
        Ok(())
    }
}
