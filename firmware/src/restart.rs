//! What happens when the firmware finds itself wrong or hangs: blank the floor, keep the reason, start again, say it.

use core::mem::MaybeUninit;
use core::panic::PanicInfo;
use core::sync::atomic::{AtomicU32, Ordering};

use cortex_m_rt::{ExceptionFrame, exception};
use underfoot_core::checksum::CRC;
use underfoot_core::link::Start;

/// A reason as it survives a reset: start-up code does not touch `.uninit`. A mark, then two numbers.
#[unsafe(link_section = ".uninit.reason")]
static REASON: MaybeUninit<[AtomicU32; 3]> = MaybeUninit::uninit();

const PANIC: u32 = 0xB1A2_4BED;
const FAULT: u32 = 0xB1A2_4BEE;
const HANG: u32 = 0xB1A2_4BEF;

fn reason() -> &'static [AtomicU32; 3] {
    // SAFETY: any bits are an `AtomicU32`, and RAM that was never written reads as some bits on this target.
    unsafe { REASON.assume_init_ref() }
}

/// Why the box started. A second start without another reason is one by power.
pub(crate) fn take_cause() -> Start {
    let [mark, first, second] = reason();
    let (first, second) = (first.load(Ordering::Relaxed), second.load(Ordering::Relaxed));
    match mark.swap(0, Ordering::Relaxed) {
        PANIC => Start::Panic { file: first, line: second },
        FAULT => Start::Fault { at: first },
        HANG => Start::Watchdog,
        _ => Start::Power,
    }
}

/// Makes the floor dark, keeps the reason, and starts again.
fn give_up(kind: u32, numbers: [u32; 2]) -> ! {
    cortex_m::interrupt::disable();
    crate::light::dark_now();
    let [mark, first, second] = reason();
    first.store(numbers[0], Ordering::Relaxed);
    second.store(numbers[1], Ordering::Relaxed);
    mark.store(kind, Ordering::Relaxed);
    cortex_m::peripheral::SCB::sys_reset()
}

#[panic_handler]
fn panic(info: &PanicInfo<'_>) -> ! {
    let place = info.location().map_or([0, 0], |place| [CRC.checksum(place.file().as_bytes()), place.line()]);
    give_up(PANIC, place)
}

#[exception]
unsafe fn HardFault(frame: &ExceptionFrame) -> ! {
    give_up(FAULT, [frame.pc(), 0])
}

/// The watchdog's first expiry; its second would reset the board without asking.
#[exception]
unsafe fn NonMaskableInt() {
    give_up(HANG, [0, 0])
}
