//! The light of a board without an LED connector: whether any row with light in it was sent stands for it.

use core::sync::atomic::{AtomicBool, Ordering};

use underfoot_core::paint::Rgba;

use crate::drivers::pins::{self, Record};
use crate::rows::{LINE_PX, Shift};

/// A row with light in it was sent since the last blank.
static LIT: AtomicBool = AtomicBool::new(false);
/// A row with light in it was sent since the last picture began.
static BEGUN: AtomicBool = AtomicBool::new(false);

/// Takes what a panel driver would send, and tells of each picture's first row with light in it.
#[derive(Debug)]
pub(crate) struct Light;

impl Shift for Light {
    fn begin(&mut self) {
        BEGUN.store(false, Ordering::Relaxed);
    }

    fn shift(&mut self, _row: u16, _start: u16, pixels: &[Rgba]) {
        // The row must really be in memory, as a transfer would need it.
        let pixels = core::hint::black_box(pixels);
        // Looked for only until there is one.
        if !BEGUN.load(Ordering::Relaxed) && pixels.iter().any(|pixel| pixel.a > 0) {
            BEGUN.store(true, Ordering::Relaxed);
            if !LIT.swap(true, Ordering::Relaxed) {
                pins::tell_light(true);
            }
            pins::tell(Record::Row, 0, pins::ticks());
        }
    }

    fn dark(&mut self) {
        dark_now();
    }
}

/// Makes the floor dark with nothing but stores: callable from the panic handler.
pub(crate) fn dark_now() {
    LIT.store(false, Ordering::Relaxed);
    pins::tell_light(false);
}

/// The row in work.
pub(crate) static mut LINE: [Rgba; LINE_PX] = [Rgba::CLEAR; LINE_PX];
