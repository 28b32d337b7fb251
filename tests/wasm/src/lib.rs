//! Paints views of a pack and answers with the checksum of their rows, as the test rig does on the device.
//!
//! A host writes a pack to [`pack_place`] and calls [`take_pack`]; then, for each view, it writes the
//! view's bytes to [`view_place`] and calls [`paint_view`].

#![no_std]

use core::cell::UnsafeCell;

use underfoot_core::device::{Memory, picture};
use underfoot_core::pack::decode_into;
use underfoot_core::ports::Nowhere;
use underfoot_firmware::rig::command::{VIEW_BYTES, view_from_bytes};

/// Answer of [`paint_view`] for a view that cannot be painted.
pub const UNPAINTED: u64 = 1 << 32;

struct State {
    memory: Memory,
    view: [u8; VIEW_BYTES],
}

struct OneThread(UnsafeCell<State>);

// SAFETY: the module has one thread, and none of its functions calls another of them.
unsafe impl Sync for OneThread {}

static STATE: OneThread = OneThread(UnsafeCell::new(State { memory: Memory::new(), view: [0; VIEW_BYTES] }));

/// Where the host writes a pack.
#[unsafe(no_mangle)]
pub extern "C" fn pack_place() -> *mut u8 {
    // SAFETY: see `OneThread`; only the address leaves.
    unsafe { (*STATE.0.get()).memory.staging.as_mut_ptr() }
}

/// Where the host writes a view.
#[unsafe(no_mangle)]
pub extern "C" fn view_place() -> *mut u8 {
    // SAFETY: see `OneThread`; only the address leaves.
    unsafe { (*STATE.0.get()).view.as_mut_ptr() }
}

/// Takes the pack of `len` bytes that was written; 1 when it is good.
#[unsafe(no_mangle)]
pub extern "C" fn take_pack(len: usize) -> u32 {
    // SAFETY: see `OneThread`; the host does not run while this does.
    let Memory { show, staging, .. } = unsafe { &mut (*STATE.0.get()).memory };
    staging.get(..len).is_some_and(|pack| decode_into(pack, show).is_ok()).into()
}

/// Paints all blocks of all canvases; the rows' checksum, or [`UNPAINTED`].
#[unsafe(no_mangle)]
pub extern "C" fn paint_view() -> u64 {
    // SAFETY: see `OneThread`; the host does not run while this does.
    let State { memory, view } = unsafe { &mut *STATE.0.get() };
    paint(memory, view).map_or(UNPAINTED, u64::from)
}

fn paint(memory: &mut Memory, view: &[u8; VIEW_BYTES]) -> Option<u32> {
    let Memory { show, scene, work, .. } = memory;
    picture::paint(show, &view_from_bytes(view)?, (scene, work), &mut Nowhere).ok()
}

#[panic_handler]
fn panic(_info: &core::panic::PanicInfo<'_>) -> ! {
    core::arch::wasm32::unreachable()
}
