//! A heap that counts, for each thread by itself: tests that run beside each other do not disturb one another.

use std::alloc::{GlobalAlloc, Layout, System};
use std::cell::Cell;

/// What a thread did with the heap so far.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Heap {
    /// Blocks that it asked for, moved ones among them.
    pub made: u64,
    /// Blocks that it holds: asked for and not given back.
    pub blocks: i64,
    /// Bytes that it holds.
    pub bytes: i64,
}

thread_local! {
    // Without a destructor and made at compile time: reading it never needs the heap.
    static HEAP: Cell<Heap> = const { Cell::new(Heap { made: 0, blocks: 0, bytes: 0 }) };
}

/// What the thread that asks did so far; all zeros when [`Counting`] is not the program's heap.
pub fn heap() -> Heap {
    HEAP.with(Cell::get)
}

fn note(made: u64, blocks: i64, bytes: i64) {
    // A thread that is ending has nothing to count with.
    let _ = HEAP.try_with(|heap| {
        let old = heap.get();
        heap.set(Heap { made: old.made + made, blocks: old.blocks + blocks, bytes: old.bytes + bytes });
    });
}

/// The system's heap, counted. A program installs it as its global allocator.
#[derive(Clone, Copy, Debug)]
pub struct Counting;

// SAFETY: everything is the system's heap's own doing; counting touches no block.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        note(1, 1, layout.size() as i64);
        // SAFETY: the caller keeps the promises of `alloc`.
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, block: *mut u8, layout: Layout) {
        note(0, -1, -(layout.size() as i64));
        // SAFETY: the caller keeps the promises of `dealloc`, and the block is the system heap's.
        unsafe { System.dealloc(block, layout) }
    }

    unsafe fn realloc(&self, block: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        note(1, 0, size as i64 - layout.size() as i64);
        // SAFETY: the caller keeps the promises of `realloc`, and the block is the system heap's.
        unsafe { System.realloc(block, layout, size) }
    }
}

/// Memory of the whole program that is in use, KiB, as Linux says it; 0 elsewhere.
pub fn resident_kib() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap_or("");
    line.trim().trim_end_matches("kB").trim().parse().unwrap_or(0)
}
