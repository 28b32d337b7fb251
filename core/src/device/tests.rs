mod crew;
mod keeping;
mod network;
mod tape;
mod turns;

use std::boxed::Box;
use std::vec;
use std::vec::Vec;

use super::*;
use crate::limits;
use crate::link::{Answer, Decoder, Desk, DeskStep, PackCheck, PlaceClass, Refusal, Report, Request, Versions, What};
use crate::pack;
use crate::ports::{Event, Geometry};
use crate::show::{CueId, Mode, PropId, Show, Title};
use crate::test_support::mock_flash::MockFlash;
use crate::test_support::mock_ports::{MockHardware, MockLink, MockNet, MockPanel, MockRows};
use crate::test_support::samples;
use crate::units::{Duration, Instant};

type BoxUnderTest = Device<'static, MockHardware>;

pub(super) struct World {
    pub(super) device: BoxUnderTest,
    pub(super) desk: Desk,
    pub(super) decoder: Decoder,
    pub(super) link: MockLink,
    pub(super) rows: MockRows,
    pub(super) panel: MockPanel,
    pub(super) now: Instant,
    /// Every how many bytes the pipe to the box loses one; 0 for never.
    pub(super) lose_every: usize,
    pub(super) sent: usize,
}

pub(super) fn flash() -> MockFlash {
    MockFlash::new(Geometry { capacity: 2 * 36 * 1024 + 2 * 4096, erase: 4096, write: 4 })
}

pub(super) fn packed(show: &Show) -> Vec<u8> {
    let mut bytes = vec![0; limits::PACK_BYTES];
    let len = pack::encode(show, &mut bytes).unwrap();
    bytes.truncate(len);
    bytes
}

impl World {
    pub(super) fn power_up(flash: MockFlash) -> Self {
        let (link, rows, panel) = (MockLink::default(), MockRows::default(), MockPanel::default());
        let (net, clones) = (MockNet::default(), (link.clone(), rows.clone(), panel.clone()));
        let ports = Ports { link: clones.0, net, flash, rows: clones.1, panel: clones.2 };
        let device =
            Device::new((Box::leak(Box::new(Memory::new())), Box::leak(Box::new(Post::new()))), Setup::FIRST, ports)
                .unwrap();
        let (desk, decoder, now) = (Desk::default(), Decoder::new(), Instant::from_millis(1_000));
        let mut world = Self { device, desk, decoder, link, rows, panel, now, lose_every: 0, sent: 0 };
        world.device.poll(world.now);
        world
    }

    pub(super) fn connected(flash: MockFlash) -> Self {
        let mut world = Self::power_up(flash);
        assert_eq!(world.ask(Request::Hello(Versions::OURS)), Answer::Hello(Versions::OURS));
        world
    }

    pub(super) fn power_cycle(self) -> Self {
        Self::connected(self.device.into_ports().flash)
    }

    pub(super) fn ask(&mut self, request: Request<'_>) -> Answer {
        assert!(self.desk.ask(&request));
        loop {
            match self.desk.poll(self.now) {
                DeskStep::Send(bytes) => {
                    for &byte in bytes {
                        self.sent += 1;
                        if self.lose_every == 0 || !self.sent.is_multiple_of(self.lose_every) {
                            self.link.incoming.borrow_mut().push_back(byte);
                        }
                    }
                }
                DeskStep::Wait => {}
                DeskStep::GiveUp => panic!("no answer to {request:?}"),
            }
            self.now = self.now.after(Duration::from_millis(1));
            self.device.poll(self.now);
            while let Some(byte) = { self.link.outgoing.borrow_mut().pop_front() } {
                if let Some(Ok(frame)) = self.decoder.push(byte)
                    && let Some(answer) = self.desk.hear(frame)
                {
                    self.device.poll(self.now);
                    return answer;
                }
            }
        }
    }

    /// Lets the picture in work get whole.
    pub(super) fn settle(&mut self) {
        (0..100).for_each(|_| self.device.poll(self.now));
    }

    pub(super) fn report(&mut self) -> Report {
        self.settle();
        match self.ask(Request::Report) {
            Answer::Report(report) => report,
            other => panic!("{other:?}"),
        }
    }

    pub(super) fn upload(&mut self, pack: &[u8]) -> Answer {
        assert_eq!(self.ask(Request::PackBegin { len: pack.len() as u32 }), Answer::Done);
        for (i, bytes) in pack.chunks(100).enumerate() {
            assert_eq!(self.ask(Request::PackChunk { offset: i as u32 * 100, bytes }), Answer::Done);
        }
        self.ask(Request::PackCommit)
    }

    pub(super) fn go(&mut self, to: u8) -> Answer {
        self.now = self.now.after(Duration::from_millis(400));
        self.ask(Request::Go { to: CueId(to) })
    }

    pub(super) fn lit(&self) -> u32 {
        *self.rows.lit.borrow()
    }
}

pub(super) fn running() -> World {
    let mut world = World::connected(flash());
    assert_eq!(world.upload(&packed(&samples::small())), Answer::Done);
    assert_eq!(world.ask(Request::Arm), Answer::Done);
    assert_eq!(world.go(0), Answer::Done);
    world
}

#[test]
fn fresh_out_of_the_factory_it_is_off_dark_and_says_so() {
    let mut world = World::connected(flash());
    let report = world.report();
    assert_eq!((report.mode, report.pack_crc, report.next, report.frames), (Mode::Off, None, None, 0));
    assert_eq!(world.panel.notes.borrow()[0], Event::NoShow);
    assert_eq!(world.ask(Request::Arm), Answer::Refused(Refusal::NoShow));
}

#[test]
fn a_pack_is_taken_and_shown_cue_by_cue() {
    let mut world = running();
    let first = world.report();
    assert_eq!((first.mode, first.now, first.next), (Mode::Brief, Some(CueId(0)), Some(CueId(1))));
    assert!(world.lit() > 0);
    assert_eq!(world.go(1), Answer::Done);
    assert_eq!(world.go(2), Answer::Done);
    let third = world.report();
    assert_eq!((third.now, third.next, third.back), (Some(CueId(2)), None, Some(CueId(1))));
    assert_ne!(third.picture_crc, first.picture_crc);
    world.now = world.now.after(Duration::from_millis(400));
    assert_eq!(world.ask(Request::Back { to: CueId(1) }), Answer::Done);
    assert_eq!(world.report().mode, Mode::Standby);
}

#[test]
fn off_is_dark_at_once() {
    let mut world = running();
    world.settle();
    assert!(world.lit() > 0);
    assert_eq!(world.ask(Request::Off), Answer::Done);
    assert_eq!((world.lit(), world.report().picture_crc, world.report().mode), (0, 0, Mode::Off));
}

#[test]
fn a_power_cycle_keeps_the_show_and_comes_up_off() {
    let mut world = running();
    let before = world.report();
    let mut world = world.power_cycle();
    let after = world.report();
    assert_eq!((after.mode, after.now, after.pack_crc), (Mode::Off, None, before.pack_crc));
    assert_eq!(world.lit(), 0);
    world.ask(Request::Arm);
    assert_eq!(world.go(0), Answer::Done);
    assert_eq!(world.report().picture_crc, before.picture_crc, "the same picture as before");
}

#[test]
fn the_display_shows_the_code_that_the_desk_prints() {
    let world = running();
    let code = pack::ShowCode::of_pack(&packed(&samples::small())).unwrap();
    assert_eq!(world.panel.shown.borrow().last().unwrap().code, Some(code.bytes()));
}

#[test]
fn packs_are_taken_only_in_off() {
    let mut world = running();
    assert_eq!(world.ask(Request::PackBegin { len: 10 }), Answer::Refused(Refusal::NotOff));
    assert_eq!(world.ask(Request::PackCommit), Answer::Refused(Refusal::NotOff));
}

#[test]
fn a_bad_pack_is_refused_and_the_old_show_stays() {
    let mut world = running();
    world.ask(Request::Off);
    let before = world.report().pack_crc;
    let mut bad = packed(&samples::small());
    bad[40] ^= 1;
    let Answer::Refused(Refusal::Pack { check: PackCheck::Crc, expected, got }) = world.upload(&bad) else { panic!() };
    assert_ne!(expected, got);
    assert_eq!(world.report().pack_crc, before);
    world.ask(Request::Arm);
    assert_eq!(world.go(0), Answer::Done);
    assert!(world.lit() > 0);
}

#[test]
fn a_second_show_replaces_the_first_and_forgets_its_cue() {
    let mut world = running();
    world.ask(Request::Off);
    let mut other = samples::small();
    other.title = Title::try_from("Other").unwrap();
    let pack = packed(&other);
    assert_eq!(world.upload(&pack), Answer::Done);
    let report = world.report();
    let crc = u32::from_le_bytes(*pack.last_chunk().unwrap());
    assert_eq!((report.pack_crc, report.mode, report.next), (Some(crc), Mode::Off, Some(CueId(0))));
    assert_eq!(world.power_cycle().report().pack_crc, Some(crc));
}

#[test]
fn uploads_out_of_order_are_told_where_to_go_on() {
    let mut world = World::connected(flash());
    let chunk = |offset| Request::PackChunk { offset, bytes: &[1, 2, 3] };
    assert_eq!(world.ask(chunk(0)), Answer::Refused(Refusal::NoPack));
    assert_eq!(world.ask(Request::PackCommit), Answer::Refused(Refusal::NoPack));
    assert_eq!(world.ask(Request::PackBegin { len: 32_769 }), Answer::Refused(Refusal::TooLong { limit: 32_768 }));
    assert_eq!(world.ask(Request::PackBegin { len: 5 }), Answer::Done);
    assert_eq!(world.ask(chunk(3)), Answer::Refused(Refusal::Offset { expected: 0 }));
    assert_eq!(world.ask(chunk(0)), Answer::Done);
    assert_eq!(world.ask(chunk(3)), Answer::Refused(Refusal::TooLong { limit: 5 }));
    assert_eq!(world.ask(Request::PackCommit), Answer::Refused(Refusal::Incomplete { expected: 5, got: 3 }));
}

#[test]
fn a_line_that_loses_bytes_only_costs_time() {
    let mut world = World::connected(flash());
    world.lose_every = 397;
    assert_eq!(world.upload(&packed(&samples::small())), Answer::Done);
    assert!(world.report().bad_frames > 0, "the line was bad enough to matter");
}

#[test]
fn a_power_cut_anywhere_in_an_update_leaves_a_whole_show() {
    let mut world = running();
    world.ask(Request::Off);
    let old = world.report().pack_crc.unwrap();
    let mut other = samples::small();
    other.title = Title::try_from("Other").unwrap();
    let pack = packed(&other);
    let new = u32::from_le_bytes(*pack.last_chunk().unwrap());
    let before = world.device.into_ports().flash;
    let mut seen = [0, 0];
    for power in (1..4096 + 2 * pack.len()).step_by(61) {
        let mut world = World::connected(before.clone());
        // Chunk by chunk into memory first; the power fails somewhere in the store.
        world.device = {
            let mut ports = world.device.into_ports();
            ports.flash.power = Some(power);
            Device::new((Box::leak(Box::new(Memory::new())), Box::leak(Box::new(Post::new()))), Setup::FIRST, ports)
                .unwrap()
        };
        world.desk = Desk::default();
        world.ask(Request::Hello(Versions::OURS));
        let done = world.upload(&pack) == Answer::Done;
        let mut flash = world.device.into_ports().flash;
        flash.power = None;
        let found = World::connected(flash).report().pack_crc.unwrap();
        assert!(found == old && !done || found == new, "cut after {power} bytes");
        seen[usize::from(found == new)] += 1;
    }
    assert!(seen[0] > 0 && seen[1] > 0, "{seen:?}");
}

#[test]
fn a_picture_that_fails_leaves_the_floor_dark_and_counts() {
    let mut world = running();
    *world.rows.refuse.borrow_mut() = true;
    assert_eq!(world.go(1), Answer::Done);
    let report = world.report();
    assert_eq!((report.paint_faults, report.picture_crc, world.lit()), (1, 0, 0));
    assert!(world.panel.notes.borrow().contains(&Event::PaintFault));
}

#[test]
fn a_desk_from_the_future_is_told_our_versions_and_noted() {
    let mut world = World::power_up(flash());
    let future = Versions { min: 7, current: 9 };
    assert_eq!(world.ask(Request::Hello(future)), Answer::Hello(Versions::OURS));
    assert!(world.panel.notes.borrow().contains(&Event::VersionMismatch));
    assert_eq!(world.ask(Request::Report), Answer::Refused(Refusal::HelloFirst));
    assert_eq!(world.ask(Request::Off), Answer::Done);
}

#[test]
fn noise_on_the_line_changes_nothing() {
    let mut world = running();
    let before = world.report();
    let mut state = 0x9E37_79B9_7F4A_7C15u64;
    for _ in 0..20_000 {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        world.link.incoming.borrow_mut().push_back(state as u8);
        world.device.poll(world.now);
    }
    world.link.incoming.borrow_mut().push_back(0);
    world.device.poll(world.now);
    let after = world.report();
    assert_eq!((after.mode, after.now, after.pack_crc), (before.mode, before.now, before.pack_crc));
    assert!(after.bad_frames > before.bad_frames);
}

/// The sample's prop is a disc of 0.3 m about (0, 0.5), its floor 2 m wide with a band of 0.3 m.
#[test]
fn it_says_what_the_plan_has_at_a_place() {
    let mut world = Box::new(World::connected(flash()));
    let ask = |world: &mut World, x_mm, y_mm| world.ask(Request::At { x_mm, y_mm });
    assert_eq!(ask(&mut world, 0, 500), Answer::Refused(Refusal::NoShow));
    assert_eq!(world.upload(&packed(&samples::small())), Answer::Done);
    assert_eq!(ask(&mut world, 0, 500), Answer::Refused(Refusal::NoCue), "in OFF");
    world.ask(Request::Arm);
    assert_eq!(world.go(0), Answer::Done);
    world.now = world.now.after(Duration::from_millis(2_000));
    let part = What::Part { prop: PropId(0), part: 0 };
    for (x_mm, y_mm, class, what) in [
        (0, 500, PlaceClass::Contact, part),
        (0, 200, PlaceClass::Contact, part),
        (0, 199, PlaceClass::Free, What::Nothing),
        (0, -701, PlaceClass::Edge, What::Side(0)),
        (-1_500, 0, PlaceClass::Edge, What::OffFloor),
        (i32::MIN, i32::MAX, PlaceClass::Edge, What::OffFloor),
    ] {
        let Answer::At(said) = ask(&mut world, x_mm, y_mm) else { panic!("{x_mm} {y_mm}") };
        assert_eq!((said.cue, said.class, said.what), (CueId(0), class, what), "{x_mm} {y_mm}");
        assert!((2_000..2_100).contains(&said.after_ms), "{said:?}");
    }
}
