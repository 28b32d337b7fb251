//! What outlives a power cut, and what a wipe leaves, through the whole box.

use std::boxed::Box;
use std::format;
use std::vec::Vec;

use super::super::{Device, Memory, Post, Setup};
use super::{World, flash, packed, running};
use crate::engine::{Gate, Source};
use crate::link::{Answer, Happened, Outlook, Refusal, Request};
use crate::ports::Address;
use crate::show::{CueId, Mode, Title};
use crate::test_support::mock_flash::MockFlash;
use crate::test_support::samples;
use crate::units::Duration;

fn outlook(world: &mut World) -> Outlook {
    match world.ask(Request::Outlook) {
        Answer::Outlook(outlook) => outlook,
        other => panic!("{other:?}"),
    }
}

fn happened(world: &mut World) -> Vec<Happened> {
    let (mut all, mut known) = (Vec::new(), 0);
    loop {
        let Answer::Events(events) = world.ask(Request::Events { after: known }) else { panic!() };
        let part: Vec<_> = events.entries.into_iter().flatten().map(|entry| entry.what).collect();
        if part.is_empty() {
            return all;
        }
        known = events.first + part.len() as u32 - 1;
        all.extend(part);
    }
}

#[test]
fn a_power_cut_while_lit_comes_back_in_off_and_one_go_restores_the_cue() {
    let mut world = running();
    assert_eq!(world.go(1), Answer::Done);
    for _ in 0..3 {
        // However often it happens before somebody presses GO.
        world = world.power_cycle();
        let held = outlook(&mut world);
        assert_eq!((held.mode, held.gate, held.now, held.next), (Mode::Off, Gate::Held, None, Some(CueId(1))));
        assert_eq!(world.lit(), 0);
    }
    assert_eq!(world.go(1), Answer::Done);
    assert_eq!(world.report().now, Some(CueId(1)));
    assert!(world.lit() > 0);
}

#[test]
fn a_power_cut_in_off_comes_back_in_plain_off() {
    let mut world = running();
    assert_eq!(world.ask(Request::Off), Answer::Done);
    let mut world = world.power_cycle();
    assert_eq!(outlook(&mut world).gate, Gate::Off);
    assert_eq!(world.go(0), Answer::Refused(Refusal::NotArmed));
}

#[test]
fn a_cue_of_another_show_is_not_held_and_a_refused_pack_does_not_let_go_of_one() {
    let mut world = running().power_cycle();
    let mut bad = packed(&samples::small());
    bad[40] ^= 1;
    assert!(matches!(world.upload(&bad), Answer::Refused(Refusal::Pack { .. })));
    assert_eq!(outlook(&mut world).gate, Gate::Held);
    let mut other = samples::small();
    other.title = Title::try_from("Other").unwrap();
    assert_eq!(world.upload(&packed(&other)), Answer::Done);
    assert_eq!(outlook(&mut world).gate, Gate::Off);
    assert_eq!(outlook(&mut world.power_cycle()).gate, Gate::Off);
}

#[test]
fn a_box_stays_the_one_it_was_told_to_be() {
    let mut world = World::connected(flash());
    let second = Request::Setup { controller: 2, backup: true, address: None };
    assert_eq!(world.ask(second), Answer::Done);
    let odd = Request::Setup { controller: 3, backup: true, address: Some(([224, 0, 0, 1], 24)) };
    assert_eq!(world.ask(odd), Answer::Refused(Refusal::BadValue));
    let mut world = world.power_cycle();
    let told = outlook(&mut world);
    assert_eq!((told.controller, told.backup), (2, true));
    let mut world = running();
    assert_eq!(world.ask(second), Answer::Refused(Refusal::NotOff));
}

#[test]
fn a_pack_goes_on_where_its_desk_was_cut_off() {
    let mut world = World::connected(flash());
    let pack = packed(&samples::small());
    let crc = u32::from_le_bytes(*pack.last_chunk().unwrap());
    let resume = Request::PackResume { len: pack.len() as u32, crc };
    assert_eq!(world.ask(resume), Answer::From { offset: 0 });
    assert_eq!(world.ask(Request::PackChunk { offset: 0, bytes: &pack[..100] }), Answer::Done);
    assert_eq!(world.ask(resume), Answer::From { offset: 100 });
    let other = Request::PackResume { len: pack.len() as u32, crc: !crc };
    assert_eq!(world.ask(other), Answer::From { offset: 0 }, "another pack starts at its beginning");
    assert_eq!(world.ask(resume), Answer::From { offset: 0 }, "and the first one is gone");
    for (i, bytes) in pack.chunks(100).enumerate() {
        assert_eq!(world.ask(resume), Answer::From { offset: 100 * i as u32 });
        assert_eq!(world.ask(Request::PackChunk { offset: 100 * i as u32, bytes }), Answer::Done);
    }
    assert_eq!(world.ask(Request::PackCommit), Answer::Done);
    assert_eq!(world.report().pack_crc, Some(crc));
    assert_eq!(world.ask(Request::Arm), Answer::Done);
    assert_eq!(world.go(0), Answer::Done);
    assert_eq!(world.ask(resume), Answer::Refused(Refusal::NotOff));
}

#[test]
fn what_happened_is_told_with_who_did_it_and_nothing_of_anybody() {
    let mut world = running();
    let early = world.ask(Request::Go { to: CueId(2) });
    assert!(matches!(early, Answer::Refused(Refusal::Lockout { left_ms: 390..400 })), "{early:?}");
    world.ask(Request::Presence { places: &[0xDC, 5, 0, 0, 0xFE, 0xFF, 0xFF, 0xFF] });
    world.ask(Request::Off);
    let all = happened(&mut world);
    let refused =
        |why: &Happened| matches!(why, Happened::Refused { from: Source::Desk, why: Refusal::Lockout { .. } });
    assert!(matches!(all[0], Happened::NoShow));
    assert!(matches!(all[1], Happened::ShowReady { .. }));
    let advanced = all.iter().position(|h| *h == Happened::Advanced { from: Source::Desk, to: CueId(0) });
    let off = all.iter().position(|h| *h == Happened::Off { from: Some(Source::Desk) });
    let refusal = all.iter().position(refused);
    assert!(advanced.is_some() && advanced < refusal && refusal < off, "{all:?}");
}

#[test]
fn presence_of_odd_length_or_too_many_is_refused() {
    let mut world = World::connected(flash());
    assert_eq!(world.ask(Request::Presence { places: &[0; 8 * 32] }), Answer::Done);
    assert_eq!(world.ask(Request::Presence { places: &[0; 8 * 33] }), Answer::Refused(Refusal::BadValue));
    assert_eq!(world.ask(Request::Presence { places: &[0; 7] }), Answer::Refused(Refusal::BadValue));
}

/// A show whose title, people and marks have words that can be looked for.
fn personal() -> Vec<u8> {
    let mut show = samples::small();
    show.title = Title::try_from("ZQX-TITLE").unwrap();
    for cue in &mut show.cues {
        cue.name = Title::try_from("ZQX-CUE").unwrap();
    }
    for mark in &mut show.marks {
        mark.name = "ZQX-MARK".try_into().unwrap();
        (mark.at.x, mark.at.y) = (0.123_456, 0.234_567);
    }
    packed(&show)
}

fn traces(bytes: &[u8]) -> usize {
    let needles: [&[u8]; 3] = [b"ZQX", &0.123_456_f32.to_le_bytes(), &0.234_567_f32.to_le_bytes()];
    bytes.windows(4).filter(|window| needles.iter().any(|needle| window.starts_with(needle))).count()
}

#[test]
fn a_wiped_box_has_no_name_and_no_place_left() {
    let mut world = World::connected(flash());
    assert_eq!(world.upload(&personal()), Answer::Done);
    world.ask(Request::Arm);
    assert_eq!(world.go(0), Answer::Done);
    assert_eq!(world.ask(Request::Wipe), Answer::Refused(Refusal::NotOff));
    world.ask(Request::Off);
    let flash = world.device.into_ports().flash;
    assert!(traces(&flash.bytes) >= 4);
    let mut world = World::connected(flash);
    assert_eq!(world.ask(Request::Wipe), Answer::Done);
    assert!(!world.device.wants_restart(world.now), "its answer has to get out");
    assert!(world.device.wants_restart(world.now.after(Duration::from_millis(500))));
    assert_eq!((world.report().pack_crc, world.lit()), (None, 0));
    assert_eq!(happened(&mut world), [Happened::Wiped]);
    let flash = world.device.into_ports().flash;
    assert_eq!(traces(&flash.bytes), 0);
    let mut world = World::connected(flash);
    assert_eq!(world.report().pack_crc, None);
    assert!(happened(&mut world).contains(&Happened::NoShow));
}

#[test]
fn a_wipe_that_is_cut_leaves_the_show_whole_or_nothing_of_it() {
    let mut world = World::connected(flash());
    assert_eq!(world.upload(&personal()), Answer::Done);
    let crc = world.report().pack_crc;
    let before = world.device.into_ports().flash;
    let (mut olds, mut nones) = (0, 0);
    for power in [1, 2, 5, 15, 16, 17, 18, 500].into_iter().chain((1_000..90_000).step_by(1_777)) {
        let mut after = World::connected(cut_wipe(before.clone(), power));
        let found = after.report().pack_crc;
        let left = traces(&after.device.into_ports().flash.bytes);
        assert!(found == crc && left > 0 || found.is_none() && left == 0, "cut at {power}: {found:?}, {left}");
        *(if found.is_some() { &mut olds } else { &mut nones }) += 1;
    }
    assert!(olds >= 3 && nones > 40, "{olds} {nones}");
}

fn cut_wipe(flash: MockFlash, power: usize) -> MockFlash {
    let mut world = World::connected(flash);
    let mut ports = world.device.into_ports();
    ports.flash.power = Some(power);
    let lent = (Box::leak(Box::new(Memory::new())), Box::leak(Box::new(Post::new())));
    world.device = Device::new((lent.0, lent.1), Setup::FIRST, ports).unwrap();
    world.ask(Request::Hello(crate::link::Versions::OURS));
    let _ = format!("{:?}", world.ask(Request::Wipe));
    let mut flash = world.device.into_ports().flash;
    flash.power = None;
    flash
}

#[test]
fn the_address_of_a_box_follows_from_which_one_it_is_unless_it_is_told() {
    let own = Address::of_box(2, true);
    let mut world = World::connected(flash());
    world.ask(Request::Setup { controller: 2, backup: true, address: None });
    let told = Setup { controller: 2, backup: true, address: own };
    let known = crate::store::Store::open(world.device.into_ports().flash).unwrap().identity().unwrap();
    assert_eq!((known.controller, known.backup, known.address), (told.controller, told.backup, (own.ip, own.prefix)));
}
