//! Paints views of a pack and answers with the checksum of their rows, traces its zones and plans its walk
//! lines, as the test rig does on the device.
//!
//! A host writes a pack to [`pack_place`] and calls [`take_pack`]; then, for each view, it writes the view's bytes to
//! [`view_place`] and calls [`paint_view`]; for each zone it calls [`trace_zone`] and reads [`answer_place`]. For each walk line it writes
//! the question to [`walk_place`], calls [`plan_walk`] and reads the answer in the same place.

#![no_std]

use core::cell::UnsafeCell;

use underfoot_core::device::picture::{self, Canvases};
use underfoot_core::device::Memory;
use underfoot_core::pack::decode_into;
use underfoot_core::ports::Nowhere;
use underfoot_core::look::view_bytes::{VIEW_BYTES, view_from_bytes};
use underfoot_firmware::rig::walk::{ASK_BYTES, WalkAsk, WalkRoom};
use underfoot_firmware::rig::zone::{ZoneAsk, ZoneRoom};

/// Answer of [`paint_view`] for a view that cannot be painted.
pub const UNPAINTED: u64 = 1 << 32;

/// Room for the answer to a zone.
const ANSWER_BYTES: usize = 12 * underfoot_core::limits::ZONE_POINTS + 256;

struct State {
    memory: Memory,
    view: [u8; VIEW_BYTES],
    zone: ZoneRoom,
    ask: [u8; ASK_BYTES],
    walk: WalkRoom,
    answer: [u8; ANSWER_BYTES],
}

struct OneThread(UnsafeCell<State>);

// SAFETY: the module has one thread, and none of its functions calls another of them.
unsafe impl Sync for OneThread {}

static STATE: OneThread = OneThread(UnsafeCell::new(State {
    memory: Memory::new(),
    view: [0; VIEW_BYTES],
    zone: ZoneRoom::new(),
    ask: [0; ASK_BYTES],
    walk: WalkRoom::new(),
    answer: [0; ANSWER_BYTES],
}));

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
    let State { memory, view, .. } = unsafe { &mut *STATE.0.get() };
    paint(memory, view).map_or(UNPAINTED, u64::from)
}

/// Where the answer to a zone is.
#[unsafe(no_mangle)]
pub extern "C" fn answer_place() -> *const u8 {
    // SAFETY: see `OneThread`; only the address leaves.
    unsafe { (*STATE.0.get()).answer.as_ptr() }
}

/// Traces a zone of the pack; the number of bytes of its answer.
#[unsafe(no_mangle)]
pub extern "C" fn trace_zone(cue: u8, mark: u8, class: u8) -> usize {
    // SAFETY: see `OneThread`; the host does not run while this does.
    let State { memory, zone, answer, .. } = unsafe { &mut *STATE.0.get() };
    let mut len = 0;
    zone.answer(&memory.show, ZoneAsk { cue, mark, class }, &|| {}, &mut |bytes| {
        if let Some(slot) = answer.get_mut(len..len + bytes.len()) {
            slot.copy_from_slice(bytes);
            len += bytes.len();
        }
    });
    len
}

/// Where the host writes a question about a walk line.
#[unsafe(no_mangle)]
pub extern "C" fn walk_place() -> *mut u8 {
    // SAFETY: see `OneThread`; only the address leaves.
    unsafe { (*STATE.0.get()).ask.as_mut_ptr() }
}

/// Plans the walk line that is asked for; the number of bytes of the answer.
#[unsafe(no_mangle)]
pub extern "C" fn plan_walk() -> usize {
    // SAFETY: see `OneThread`; the host does not run while this does.
    let State { memory, ask, walk, answer, .. } = unsafe { &mut *STATE.0.get() };
    let mut len = 0;
    walk.answer(&mut memory.show, WalkAsk::from_bytes(ask), &mut |bytes| {
        if let Some(slot) = answer.get_mut(len..len + bytes.len()) {
            slot.copy_from_slice(bytes);
            len += bytes.len();
        }
    });
    len
}

fn paint(memory: &mut Memory, view: &[u8; VIEW_BYTES]) -> Option<u32> {
    let Memory { show, scene, work, .. } = memory;
    picture::paint(show, Canvases::All, &view_from_bytes(view)?, (scene, work.painter()), &mut Nowhere).ok()
}

#[panic_handler]
fn panic(_info: &core::panic::PanicInfo<'_>) -> ! {
    core::arch::wasm32::unreachable()
}
