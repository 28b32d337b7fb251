//! Zones, hidden marks and walk lines on a device, with what they take.

use core::cell::Cell;
use core::ptr::addr_of_mut;

use underfoot_core::limits;
use underfoot_core::show::Show;

use super::host_file::HostFile;
use super::live::{CAMERA_BYTES, CameraAsk, LiveRoom};
use super::walk::{self, WalkAsk, WalkRoom};
use super::zone::{ZoneAsk, ZoneRoom};
use crate::drivers::{clock::Clock, stack};

/// Longest answer: every corner of an outline, and the numbers before them.
const ANSWER_BYTES: usize = 12 * limits::ZONE_POINTS + 256;

static mut ZONE: ZoneRoom = ZoneRoom::new();
static mut ANSWER: [u8; ANSWER_BYTES] = [0; ANSWER_BYTES];
static mut WALK: WalkRoom = WalkRoom::new();
static mut LIVE: LiveRoom = LiveRoom::new();

/// Traces the zone that the host asks for; apart from the painting, whose counts and stack it must not change.
#[inline(never)]
pub(super) fn zone(show: &Show, input: &mut HostFile, output: &mut HostFile, clock: &Clock) {
    let mut ask = [0; 3];
    if !input.read(&mut ask) {
        return;
    }
    let [cue, mark, class] = ask;
    // SAFETY: the rig's only use of these two, gone before the next command.
    let (room, answer) = unsafe { (&mut *addr_of_mut!(ZONE), &mut *addr_of_mut!(ANSWER)) };
    // The timer goes round after 168 million instructions: it is read at every place that is judged.
    let (last, ticks, mut len) = (Cell::new(clock.raw()), Cell::new(0_u64), 0);
    let beat = || {
        let now = clock.raw();
        ticks.set(ticks.get() + u64::from(last.replace(now).wrapping_sub(now)));
    };
    room.answer(show, ZoneAsk { cue, mark, class }, &beat, &mut |bytes| {
        if let Some(slot) = answer.get_mut(len..len + bytes.len()) {
            slot.copy_from_slice(bytes);
            len += bytes.len();
        }
    });
    beat();
    output.write(&ticks.get().to_le_bytes());
    output.write(&stack::deepest().to_le_bytes());
    output.write(&(len as u32).to_le_bytes());
    output.write(&answer[..len]);
}

/// Answers for the marks that the host asks about; apart from the painting, too.
#[inline(never)]
pub(super) fn live(show: &Show, input: &mut HostFile, output: &mut HostFile, clock: &Clock) {
    let (mut head, mut cameras) = ([0; 2], heapless::Vec::<CameraAsk, { limits::CAMERAS }>::new());
    if !input.read(&mut head) {
        return;
    }
    for _ in 0..head[1] {
        let mut bytes = [0; CAMERA_BYTES];
        if !input.read(&mut bytes) || cameras.push(CameraAsk::from_bytes(&bytes)).is_err() {
            return;
        }
    }
    // SAFETY: the rig's only use of it, gone before the next command.
    let room = unsafe { &mut *addr_of_mut!(LIVE) };
    let (began, ended) = (Cell::new(0), Cell::new(0));
    let bits = room.answer(show, head[0], &cameras, (|| began.set(clock.raw()), || ended.set(clock.raw())));
    output.write(&bits.to_le_bytes());
    output.write(&began.get().wrapping_sub(ended.get()).to_le_bytes());
    output.write(&stack::deepest().to_le_bytes());
}

/// Plans the walk line that the host asks for; apart from the painting, too.
#[inline(never)]
pub(super) fn walk(show: &mut Show, input: &mut HostFile, output: &mut HostFile, clock: &Clock) {
    let mut ask = [0; walk::ASK_BYTES];
    if !input.read(&mut ask) {
        return;
    }
    // SAFETY: the rig's only use of these two, gone before the next command.
    let (room, answer) = unsafe { (&mut *addr_of_mut!(WALK), &mut *addr_of_mut!(ANSWER)) };
    let (began, mut len) = (clock.raw(), 0);
    room.answer(show, WalkAsk::from_bytes(&ask), &mut |bytes| {
        if let Some(slot) = answer.get_mut(len..len + bytes.len()) {
            slot.copy_from_slice(bytes);
            len += bytes.len();
        }
    });
    // The timer goes round after 168 million instructions, far more than one line takes.
    let ticks = began.wrapping_sub(clock.raw());
    output.write(&ticks.to_le_bytes());
    output.write(&stack::deepest().to_le_bytes());
    output.write(&(len as u32).to_le_bytes());
    output.write(&answer[..len]);
}

// A planned line's answer fits where a zone's does.
const _: () = assert!(walk::ANSWER_BYTES <= ANSWER_BYTES);
