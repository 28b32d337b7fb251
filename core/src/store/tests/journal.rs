//! What outlives a power cut, cut after every byte.

use std::vec;
use std::vec::Vec;

use super::super::record::{RECORD_BYTES, Record};
use super::super::*;
use crate::ports::{FlashPort, Geometry};
use crate::test_support::mock_flash::{MockFlash, small_pages};

fn lit(cue: u8) -> Floor {
    Floor { lit: Some(cue), pack_crc: 0xC0FF_EE00 + u32::from(cue) }
}

const DARK: Floor = Floor { lit: None, pack_crc: 0 };

fn identity(controller: u8) -> Identity {
    Identity { controller, backup: controller.is_multiple_of(2), address: ([10, 62, controller, 1], 16) }
}

fn flash() -> MockFlash {
    small_pages(2048)
}

fn powered(mut flash: MockFlash) -> Store<MockFlash> {
    flash.power = None;
    Store::open(flash).unwrap()
}

/// CRC-32/ISO-HDLC of the twelve bytes by Python: `zlib.crc32(b"F\x01\x07\xef\xbe\xad\xde" + b"\xff" * 5)`, and so on.
#[test]
fn records_are_the_documented_bytes() {
    let floor = Record::Floor(Floor { lit: Some(7), pack_crc: 0xDEAD_BEEF });
    let rows = [
        (floor, [&b"F\x01\x07\xef\xbe\xad\xde"[..], &[0xFF; 5], &0xBBBD_B2F7u32.to_le_bytes()].concat()),
        (Record::Page(258), [&b"P\x02\x01\x00\x00"[..], &[0xFF; 7], &0x922D_480Fu32.to_le_bytes()].concat()),
        (
            Record::Box(identity(2)),
            [&b"B\x02\x01\x0a\x3e\x02\x01\x10"[..], &[0xFF; 4], &0xF7D2_83C3u32.to_le_bytes()].concat(),
        ),
        (Record::Wipe, [&b"W"[..], &[0xFF; 11], &0xC563_3D6Cu32.to_le_bytes()].concat()),
    ];
    for (record, bytes) in rows {
        assert_eq!(record.to_bytes()[..], bytes[..], "{record:?}");
        assert_eq!(Record::from_bytes(bytes[..].try_into().unwrap()), Some(record));
    }
    assert_eq!(Record::from_bytes(&[0xFF; RECORD_BYTES]), None);
    assert_eq!(Record::from_bytes(&[0; RECORD_BYTES]), None);
}

#[test]
fn what_was_kept_last_is_found_at_power_up_however_many_pages_it_took() {
    let mut store = powered(flash());
    assert_eq!((store.on_floor(), store.identity()), (DARK, None));
    store.identify(identity(3)).unwrap();
    for step in 0..200u8 {
        let floor = if step % 5 == 4 { DARK } else { lit(step) };
        store.keep(floor).unwrap();
        if step % 3 == 0 {
            store.tidy().unwrap();
        }
        store = powered(store.into_flash());
        assert_eq!((store.on_floor(), store.identity()), (floor, Some(identity(3))), "step {step}");
    }
}

#[test]
fn the_same_again_writes_nothing() {
    let mut store = powered(flash());
    store.keep(lit(1)).unwrap();
    store.identify(identity(1)).unwrap();
    let mut flash = store.into_flash();
    let spent = flash.spent;
    flash.power = Some(1);
    let mut store = Store::open(flash).unwrap();
    assert_eq!((store.keep(lit(1)), store.identify(identity(1))), (Ok(()), Ok(())));
    assert_eq!(store.into_flash().spent, spent);
}

/// Everything that is done to a journal, each with what it leaves; the power goes after every byte of each.
#[test]
fn a_cut_after_any_byte_of_a_record_leaves_the_old_or_the_new() {
    let mut store = powered(flash());
    store.identify(identity(5)).unwrap();
    let (mut before, mut was) = (store.into_flash(), DARK);
    let (mut olds, mut news, mut cuts) = (0, 0, 0);
    // Two pages of 16 records: every place in both is passed, with and without an erase ahead of time.
    for step in 0..70u8 {
        let wanted = if step % 4 == 3 { DARK } else { lit(step) };
        let (work, tidies) = (|store: &mut Store<MockFlash>| store.keep(wanted), step % 3 != 0);
        let mut whole = powered(before.clone());
        work(&mut whole).unwrap();
        let whole = whole.into_flash();
        for power in 1..=whole.spent - before.spent + 1 {
            let mut flash = before.clone();
            flash.power = Some(power);
            let mut cut = Store::open(flash).unwrap();
            let is_acknowledged = work(&mut cut).is_ok();
            let mut after = powered(cut.into_flash());
            assert_eq!(after.identity(), Some(identity(5)), "step {step}, cut at {power}");
            let found = after.on_floor();
            assert!(found == wanted || found == was && !is_acknowledged, "step {step}, cut at {power}: {found:?}");
            *(if found == wanted { &mut news } else { &mut olds }) += 1;
            cuts += 1;
            after.keep(lit(99)).unwrap();
            assert_eq!(powered(after.into_flash()).on_floor(), lit(99), "and it can be used again");
        }
        let mut next = powered(whole);
        if tidies {
            next.tidy().unwrap();
        }
        (before, was) = (next.into_flash(), wanted);
    }
    assert!(olds > 500 && news >= 70, "{olds} old, {news} new of {cuts} cuts");
}

#[test]
fn keeping_only_writes_when_the_other_page_is_erased_ahead() {
    let mut store = powered(flash());
    store.tidy().unwrap();
    store.keep(lit(0)).unwrap();
    for step in 1..100u8 {
        store.tidy().unwrap();
        let mut flash = store.into_flash();
        let spent = flash.spent;
        flash.power = Some(usize::MAX);
        store = Store::open(flash).unwrap();
        store.tidy().unwrap();
        store.keep(lit(step)).unwrap();
        let flash = store.into_flash();
        // A record, or the first of a page with what counts and the record itself.
        assert!(flash.spent - spent <= 3 * RECORD_BYTES, "step {step}: {}", flash.spent - spent);
        store = powered(flash);
    }
}

/// Counts erases of each page.
struct Worn {
    flash: MockFlash,
    erased: Vec<u32>,
    written: usize,
}

impl FlashPort for Worn {
    type Error = <MockFlash as FlashPort>::Error;

    fn geometry(&self) -> Geometry {
        self.flash.geometry()
    }

    fn read(&mut self, at: u32, bytes: &mut [u8]) -> Result<(), Self::Error> {
        self.flash.read(at, bytes)
    }

    fn erase(&mut self, from: u32, to: u32) -> Result<(), Self::Error> {
        for page in from / self.flash.size.erase..to / self.flash.size.erase {
            self.erased[page as usize] += 1;
        }
        self.flash.erase(from, to)
    }

    fn write(&mut self, at: u32, bytes: &[u8]) -> Result<(), Self::Error> {
        self.written += 1;
        self.flash.write(at, bytes)
    }
}

/// The sum of the module's table: 256 records a page, of which one is its first and one says which box this is (and one
/// repeats what is on the floor).
#[test]
fn both_pages_wear_alike_and_as_little_as_said() {
    let size = Geometry { capacity: 2 * 36 * 1024 + 2 * 4096, erase: 4096, write: 4 };
    let flash = Worn { flash: MockFlash::new(size), erased: vec![0; 20], written: 0 };
    let mut store = Store::open(flash).unwrap();
    store.identify(identity(1)).unwrap();
    const ADVANCES: u32 = 50_600;
    for step in 0..ADVANCES {
        store.keep(lit((step % 48) as u8)).unwrap();
        store.tidy().unwrap();
    }
    let flash = store.into_flash();
    let (slots, journal) = flash.erased.split_at(18);
    assert!(slots.iter().all(|&n| n == 0));
    assert!(journal.iter().all(|&n| (ADVANCES / 506..=ADVANCES / 506 + 2).contains(&n)), "{journal:?}");
}

/// Show of a size, with a name to look for, in both slots; journal in use.
fn used() -> (MockFlash, Vec<u8>) {
    let mut store = powered(flash());
    store.identify(identity(2)).unwrap();
    let (old, new) = ([b"NAME-OF-OLD".as_slice(), &[7; 400]].concat(), [b"NAME-OF-NEW".as_slice(), &[9; 500]].concat());
    store.save(&old).unwrap();
    store.save(&new).unwrap();
    (0..20).for_each(|cue| store.keep(lit(cue)).unwrap());
    (store.into_flash(), new)
}

fn has(flash: &MockFlash, needle: &[u8]) -> bool {
    flash.bytes.windows(needle.len()).any(|window| window == needle)
}

fn traces(flash: &MockFlash) -> bool {
    let crcs = (0..20).any(|cue| has(flash, &lit(cue).pack_crc.to_le_bytes()));
    crcs || has(flash, b"NAME") || has(flash, &[7; 8]) || has(flash, &[9; 8])
}

#[test]
fn a_wipe_leaves_nothing_but_which_box_it_is() {
    let (before, _) = used();
    assert!(traces(&before));
    let mut store = powered(before);
    store.wipe().unwrap();
    let flash = store.into_flash();
    assert!(!traces(&flash));
    let left = flash.bytes.iter().filter(|&&byte| byte != 0xFF).count();
    assert!(left <= 2 * RECORD_BYTES, "{left} bytes");
    let mut store = powered(flash);
    assert_eq!((store.on_floor(), store.identity()), (DARK, Some(identity(2))));
    assert_eq!(store.load(&mut [0; 1024]), Ok(None));
    store.save(&[1, 2, 3]).unwrap();
    store.keep(lit(4)).unwrap();
}

#[test]
fn a_wipe_that_is_cut_after_any_byte_leaves_the_old_show_or_nothing() {
    let (before, newest) = used();
    let mut whole = powered(before.clone());
    whole.wipe().unwrap();
    let total = whole.into_flash().spent - before.spent;
    let (mut olds, mut nones) = (0, 0);
    for power in 1..total {
        let mut flash = before.clone();
        flash.power = Some(power);
        let mut cut = Store::open(flash).unwrap();
        let _ = cut.wipe();
        let mut after = powered(cut.into_flash());
        let mut buffer = [0; 1024];
        let found = after.load(&mut buffer).unwrap().map(|len| buffer[..len].to_vec());
        assert_eq!(after.identity(), Some(identity(2)), "cut at {power}");
        after.tidy().unwrap();
        if found.is_some() {
            assert_eq!((found.as_ref(), after.on_floor()), (Some(&newest), lit(19)), "cut at {power}");
            olds += 1;
        } else {
            assert_eq!(after.on_floor(), DARK, "cut at {power}");
            assert!(!traces(&after.into_flash()), "cut at {power}");
            nones += 1;
        }
    }
    assert!(olds > 0 && nones > 1000, "{olds} old, {nones} nothing of {total}");
}
