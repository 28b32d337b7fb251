mod journal;

use std::vec;
use std::vec::Vec;

use super::*;
use crate::ports::Geometry;
use crate::test_support::mock_flash::{MockError, MockFlash, small_pages};

/// Where the second slot begins in [`small_pages`] of 2048 bytes: six pages of eight are slots.
const SLOT: usize = 3 * 256;

fn content(seed: u8, len: usize) -> Vec<u8> {
    (0..len).map(|i| (i as u8).wrapping_mul(31).wrapping_add(seed)).collect()
}

fn loaded(flash: MockFlash) -> Option<Vec<u8>> {
    let mut buffer = vec![0; 4096];
    let len = Store::open(flash).unwrap().load(&mut buffer).unwrap()?;
    buffer.truncate(len);
    Some(buffer)
}

fn saved(flash: MockFlash, bytes: &[u8]) -> MockFlash {
    let mut store = Store::open(flash).unwrap();
    store.save(bytes).unwrap();
    store.into_flash()
}

#[test]
fn fresh_memory_holds_nothing() {
    assert_eq!(loaded(small_pages(4096)), None);
}

#[test]
fn the_last_save_is_loaded() {
    let mut flash = small_pages(4096);
    for round in 0..5 {
        let bytes = content(round, 100 + usize::from(round) * 37);
        flash = saved(flash, &bytes);
        assert_eq!(loaded(flash.clone()), Some(bytes));
    }
}

/// Cuts the power after every single byte of a save over what is there, then starts again.
fn cut_everywhere(before: &MockFlash, old: Option<&[u8]>, new: &[u8]) {
    let whole = saved(before.clone(), new);
    let total = whole.spent - before.spent;
    assert!(total > new.len() + 256, "erase and write both count: {total}");
    let (mut olds, mut news) = (0, 0);
    for power in 1..=total {
        let mut flash = before.clone();
        flash.power = Some(power);
        let mut store = Store::open(flash).unwrap();
        let acknowledged = store.save(new).is_ok();
        let mut flash = store.into_flash();
        flash.power = None;
        let found = loaded(flash.clone());
        if found.as_deref() == Some(new) {
            news += 1;
        } else {
            assert_eq!(found.as_deref(), old, "cut after {power} of {total} bytes");
            assert!(!acknowledged, "acknowledged, then lost: cut after {power} of {total}");
            olds += 1;
        }
        // And the memory can be used again.
        assert_eq!(loaded(saved(flash, new)).as_deref(), Some(new), "save after a cut at {power}");
    }
    assert!(olds > 0 && news > 0);
}

#[test]
fn a_cut_after_any_byte_leaves_the_old_or_the_new_whole() {
    let (first, second, third) = (content(1, 700), content(2, 333), content(3, 901));
    let fresh = small_pages(4096);
    cut_everywhere(&fresh, None, &first);
    let one = saved(fresh, &first);
    cut_everywhere(&one, Some(&first), &second);
    let two = saved(one, &second);
    cut_everywhere(&two, Some(&second), &third);
}

#[test]
fn two_cuts_in_a_row_still_leave_the_old() {
    let (old, new) = (content(1, 300), content(2, 280));
    let before = saved(saved(small_pages(2048), &content(9, 50)), &old);
    for first in (1..600).step_by(7) {
        for second in (1..600).step_by(29) {
            let mut flash = before.clone();
            for power in [first, second] {
                flash.power = Some(power);
                let mut store = Store::open(flash).unwrap();
                let _ = store.save(&new);
                flash = store.into_flash();
            }
            flash.power = None;
            let found = loaded(flash).unwrap();
            assert!(found == old || found == new, "cuts at {first} and {second}");
        }
    }
}

#[test]
fn a_damaged_newest_falls_back_to_the_one_before() {
    let (old, new) = (content(1, 200), content(2, 210));
    let flash = saved(saved(small_pages(2048), &old), &new);
    for at in SLOT..SLOT + 32 + 210 {
        let mut bad = flash.clone();
        bad.bytes[at] ^= 0x04;
        let expected = if (SLOT + 20..SLOT + 32).contains(&at) { &new } else { &old };
        assert_eq!(loaded(bad).as_ref(), Some(expected), "byte {at}");
    }
}

#[test]
fn the_counter_may_go_round() {
    let mut flash = small_pages(2048);
    let old = Header { sequence: u32::MAX, len: 0, crc: 0 };
    let new = Header { sequence: 0, len: 0, crc: 0 };
    flash.bytes[..32].copy_from_slice(&old.to_bytes());
    flash.bytes[SLOT..SLOT + 32].copy_from_slice(&new.to_bytes());
    let flash = saved(flash, &content(1, 10));
    assert_eq!(Header::from_bytes(flash.bytes[..32].try_into().unwrap()).unwrap().sequence, 1);
}

#[test]
fn sizes_are_checked_and_named() {
    let odd =
        |capacity, erase, write| Store::open(MockFlash::new(Geometry { capacity, erase, write })).map(|s| s.room());
    assert_eq!(odd(2048, 256, 4), Ok(736));
    assert_eq!(odd(1024, 256, 4), Ok(224));
    assert_eq!(odd(2048, 0, 4), Err(StoreError::Geometry));
    assert_eq!(odd(768, 256, 4), Err(StoreError::Geometry));
    assert_eq!(odd(2048, 128, 4), Err(StoreError::Geometry));
    assert_eq!(odd(2048, 256, 0), Err(StoreError::Geometry));
    assert_eq!(odd(2048, 256, 64), Err(StoreError::Geometry));
    let mut store = Store::open(small_pages(2048)).unwrap();
    assert_eq!(store.save(&content(0, 737)), Err(StoreError::TooLong { expected: 736, got: 737 }));
    store.save(&content(0, 100)).unwrap();
    assert_eq!(store.load(&mut [0; 99]), Err(StoreError::Buffer { expected: 100, got: 99 }));
}

#[test]
fn a_failing_flash_is_reported() {
    let mut flash = small_pages(2048);
    flash.power = Some(1);
    let mut store = Store::open(flash).unwrap();
    assert_eq!(store.save(&[1]), Err(StoreError::Flash(MockError::Power)));
    assert_eq!(store.keep(Floor { lit: Some(1), pack_crc: 2 }), Err(StoreError::Flash(MockError::Power)));
}

use super::header::Header;
