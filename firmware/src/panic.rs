//! What happens when the firmware finds itself wrong: blank the floor, keep the reason, say it, start again.

use core::mem::MaybeUninit;
use core::panic::PanicInfo;
use core::sync::atomic::{AtomicU32, Ordering};

/// A panic was latched when this holds [`LATCHED`]. Survives a reset: start-up code does not touch `.uninit`.
#[unsafe(link_section = ".uninit.panic_mark")]
static MARK: MaybeUninit<AtomicU32> = MaybeUninit::uninit();
/// Line of the panic.
#[unsafe(link_section = ".uninit.panic_line")]
static LINE: MaybeUninit<AtomicU32> = MaybeUninit::uninit();

const LATCHED: u32 = 0xB1A2_4BED;

fn cell(place: &'static MaybeUninit<AtomicU32>) -> &'static AtomicU32 {
    // SAFETY: any bits are an `AtomicU32`, and RAM that was never written reads as some bits on this target.
    unsafe { place.assume_init_ref() }
}

/// The source line of the panic before this start, once.
pub(crate) fn take_reason() -> Option<u32> {
    let latched = cell(&MARK).swap(0, Ordering::Relaxed) == LATCHED;
    latched.then(|| cell(&LINE).load(Ordering::Relaxed))
}

#[panic_handler]
fn panic(info: &PanicInfo<'_>) -> ! {
    cortex_m::interrupt::disable();
    crate::app::blank_now();
    let line = info.location().map_or(0, core::panic::Location::line);
    cell(&LINE).store(line, Ordering::Relaxed);
    cell(&MARK).store(LATCHED, Ordering::Relaxed);
    cortex_m::peripheral::SCB::sys_reset()
}
