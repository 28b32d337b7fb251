//! The whole box, with the power gone after every single byte that it erases or writes: it always has the old show or
//! the new one, whole, and is OFF; held when the floor was lit.

use underfoot_core::engine::Gate;
use underfoot_core::link::{Answer, Request};
use underfoot_core::show::{CueId, Mode, Show, Title};
use underfoot_tests::cut_flash::{CutFlash, SMALL};
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::small_box::{Room, SmallBox};

fn small_show(title: &str, cues: usize) -> Show {
    let mut show = *demo("clock-cabinet");
    show.title = Title::try_from(title).expect("a short title");
    show.cues.truncate(cues);
    show
}

fn crc_of(pack: &[u8]) -> u32 {
    u32::from_le_bytes(*pack.last_chunk().expect("a pack's checksum"))
}

/// A box's flash with a show in it, and another one in its other slot.
fn flash_with(room: &mut Room, packs: [&[u8]; 2]) -> Vec<u8> {
    let flash = CutFlash::fresh(SMALL);
    let mut small = SmallBox::power_up(room, flash.clone());
    small.connect();
    for pack in packs {
        small.bring(pack);
        assert_eq!(small.ask(Request::PackCommit), Answer::Done);
    }
    small.pass(5);
    drop(small);
    flash.bytes.take()
}

/// What is left in a flash: the show's checksum after power-up, and whether a cue is held.
fn after_power_up(room: &mut Room, bytes: Vec<u8>) -> (Option<u32>, Option<CueId>) {
    let mut small = SmallBox::power_up(room, CutFlash::with(bytes, SMALL));
    small.connect();
    let outlook = small.outlook();
    assert_eq!((outlook.mode, outlook.now), (Mode::Off, None), "power-up is OFF");
    let held = outlook.next.filter(|_| outlook.gate == Gate::Held);
    if outlook.pack_crc.is_some() && held.is_none() {
        assert_eq!(small.ask(Request::Arm), Answer::Done, "a whole show can be shown");
    }
    let first = outlook.next.unwrap_or(CueId(0));
    assert_eq!(small.ask(Request::Go { to: first }) == Answer::Done, outlook.pack_crc.is_some());
    (outlook.pack_crc, held)
}

#[test]
fn a_show_update_that_is_cut_after_any_byte_leaves_the_old_or_the_new_show() {
    let (mut room, mut other) = (Room::default(), Room::default());
    let (older, old, new) =
        (packed(&small_show("Older", 3)), packed(&small_show("Old", 3)), packed(&small_show("New", 4)));
    let before = flash_with(&mut room, [&older, &old]);
    let (mut seen, mut cuts) = ([0, 0], 0);
    for power in 1.. {
        let flash = CutFlash::with(before.clone(), SMALL);
        let mut small = SmallBox::power_up(&mut room, flash.clone());
        small.connect();
        small.bring(&new);
        flash.power.set(Some(power));
        let answer = small.try_ask(Request::PackCommit);
        let was_cut = flash.power.get() == Some(0);
        drop(small);
        let (found, held) = after_power_up(&mut other, flash.bytes.take());
        let is_new = found == Some(crc_of(&new));
        assert!(is_new || found == Some(crc_of(&old)), "cut after {power} bytes: {found:08x?}");
        assert!(is_new || answer != Some(Answer::Done), "taken, then lost: cut after {power} bytes");
        assert_eq!(held, None);
        seen[usize::from(is_new)] += 1;
        if !was_cut {
            assert!(is_new && answer == Some(Answer::Done));
            break;
        }
        cuts += 1;
    }
    println!("{cuts} cuts in an update of {} bytes: {} old, {} new", new.len(), seen[0], seen[1]);
    assert!(cuts > new.len() * 2 && seen[0] > cuts / 2 && seen[1] > 0);
}

#[test]
fn an_advance_that_is_cut_after_any_byte_leaves_the_cue_before_or_after() {
    let (mut room, mut other) = (Room::default(), Room::default());
    let pack = packed(&small_show("Held", 4));
    let flash = CutFlash::with(flash_with(&mut room, [&pack, &pack]), SMALL);
    let (mut cuts, mut held_before, mut kept) = (0, None, [0, 0]);
    // As many steps as pass both pages of the journal, 16 records each: cue after cue, OFF in between.
    for step in 0..48u8 {
        let before = flash.bytes.borrow().clone();
        let wanted = if step % 4 == 3 { None } else { Some(CueId(step % 4)) };
        for power in 1.. {
            *flash.bytes.borrow_mut() = before.clone();
            flash.power.set(None);
            let mut small = SmallBox::power_up(&mut room, flash.clone());
            small.connect();
            let ready = small.outlook();
            assert_eq!(ready.next.filter(|_| ready.gate == Gate::Held), held_before);
            prepare(&mut small, held_before, wanted);
            // What comes before is kept already; the cut comes with this step.
            flash.power.set(Some(power));
            let step_request = wanted.map_or(Request::Off, |to| Request::Go { to });
            assert_eq!(small.ask(step_request), Answer::Done, "flash or not, the floor obeys");
            small.pass(10);
            let was_cut = flash.power.get() == Some(0);
            drop(small);
            let (found, held) = after_power_up(&mut other, flash.bytes.borrow().clone());
            assert_eq!(found, Some(crc_of(&pack)));
            let lit_before = if step % 4 == 0 { None } else { Some(CueId(step % 4 - 1)) };
            assert!(held == wanted || held == lit_before, "step {step}, cut at {power}: {held:?}");
            kept[usize::from(held == wanted)] += 1;
            if !was_cut {
                assert_eq!(held, wanted, "step {step}");
                break;
            }
            cuts += 1;
        }
        held_before = wanted;
    }
    println!("{cuts} cuts in 48 steps: {} before, {} after", kept[0], kept[1]);
    assert!(cuts > 48 * 15 && kept[0] > 500 && kept[1] >= 48);
}

/// Brings a box that has just got power to where one more press leads to `wanted`.
fn prepare(small: &mut SmallBox<'_>, held: Option<CueId>, wanted: Option<CueId>) {
    match held {
        Some(cue) => assert_eq!(small.ask(Request::Go { to: cue }), Answer::Done),
        None => assert_eq!(small.ask(Request::Arm), Answer::Done),
    }
    small.pass(500);
    assert!(held.is_some() || wanted.is_some());
}
