//! How deep the stack has been: painted at the start, looked at later.

const PAINT: u32 = 0x5AFE_57AC;
/// Bytes below the stack pointer that are left alone while painting.
const MARGIN: usize = 256;

unsafe extern "C" {
    static mut __euninit: u32;
    static _stack_start: u32;
}

/// Paints the free stack. Call first thing in `main`.
pub fn paint() {
    let end = cortex_m::register::msp::read() as usize - MARGIN;
    let mut at = &raw mut __euninit;
    while (at as usize) < end {
        // SAFETY: between the end of the statics and the stack pointer less a margin nothing is in use, and no
        // interrupt reaches deeper than the margin before this ends.
        unsafe {
            at.write_volatile(PAINT);
            at = at.add(1);
        }
    }
}

/// Most bytes of stack used since [`paint`].
pub fn deepest() -> u32 {
    let top = &raw const _stack_start as usize;
    let mut at = &raw const __euninit;
    // SAFETY: reads between the end of the statics and the top of the stack, all of it RAM.
    while (at as usize) < top && unsafe { at.read_volatile() } == PAINT {
        // SAFETY: stays at or below the top, as the loop's first check sees to.
        at = unsafe { at.add(1) };
    }
    (top - at as usize) as u32
}
