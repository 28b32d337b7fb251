//! The log: defmt frames through UART 1.

use core::cell::RefCell;
use core::sync::atomic::{AtomicBool, Ordering};

use critical_section::{Mutex, RestoreState};
use defmt::Encoder;

use super::uart::Uart;

/// UART 1 of the MPS2 boards.
const BASE: usize = 0x4000_5000;

/// Encoder and the interrupt state to go back to.
struct Held {
    encoder: Encoder,
    restore: RestoreState,
}

static TAKEN: AtomicBool = AtomicBool::new(false);
static HELD: Mutex<RefCell<Held>> =
    Mutex::new(RefCell::new(Held { encoder: Encoder::new(), restore: RestoreState::invalid() }));

/// Switches the log's UART on.
pub fn open() {
    let _ = Uart::sender(BASE);
}

fn send(bytes: &[u8]) {
    let uart = Uart::at(BASE);
    for &byte in bytes {
        uart.send_byte(byte);
    }
}

#[defmt::global_logger]
struct Logger;

fn with_held(f: impl FnOnce(&mut Held)) {
    critical_section::with(|cs| f(&mut HELD.borrow_ref_mut(cs)));
}

// SAFETY: `acquire` holds a critical section until `release`, so frames never mix; nested use inside a frame would
// be a bug of the caller and stops in `acquire`.
unsafe impl defmt::Logger for Logger {
    fn acquire() {
        // SAFETY: released in `release`, which defmt calls after every `acquire`.
        let restore = unsafe { critical_section::acquire() };
        if TAKEN.swap(true, Ordering::Relaxed) {
            // A log line inside a log line: nothing sensible can be sent any more.
            cortex_m::asm::udf();
        }
        with_held(|held| {
            held.restore = restore;
            held.encoder.start_frame(send);
        });
    }

    unsafe fn flush() {}

    unsafe fn release() {
        let mut restore = RestoreState::invalid();
        with_held(|held| {
            held.encoder.end_frame(send);
            restore = held.restore;
        });
        TAKEN.store(false, Ordering::Relaxed);
        // SAFETY: pairs with the acquire above, on the same core.
        unsafe { critical_section::release(restore) };
    }

    unsafe fn write(bytes: &[u8]) {
        with_held(|held| held.encoder.write(bytes, send));
    }
}
