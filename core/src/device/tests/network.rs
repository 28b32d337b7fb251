//! Desks that talk by datagrams, over a network that loses, repeats, reorders and invents.

use std::boxed::Box;
use std::vec;
use std::vec::Vec;

use super::super::*;
use crate::limits::{self, DATAGRAM_DESKS, DATAGRAMS_PER_POLL};
use crate::link::{Answer, Decoder, Frame, Refusal, Report, Request, Versions, frame};
use crate::pack;
use crate::ports::{DATAGRAM_BYTES, Door, Event, Geometry, Station};
use crate::show::{CueId, Mode};
use crate::test_support::mock_flash::MockFlash;
use crate::test_support::mock_ports::{MockHardware, MockLink, MockNet, MockPanel, MockRows};
use crate::test_support::samples;
use crate::units::{Duration, Instant};

const DESK: Station = Station { address: [10, 62, 0, 100], port: 50_000 };
const OTHER: Station = Station { address: [10, 62, 0, 101], port: 50_000 };
const HELLO: Request<'static> = Request::Hello(Versions::OURS);

struct World {
    device: Device<'static, MockHardware>,
    link: MockLink,
    net: MockNet,
    panel: MockPanel,
    now: Instant,
}

fn wire(sequence: u8, request: &Request<'_>) -> Vec<u8> {
    let mut bytes = vec![0; frame::MAX_WIRE_BYTES];
    let len = frame::write(sequence, request, &mut bytes).unwrap();
    bytes.truncate(len);
    bytes
}

fn read(bytes: &[u8]) -> (u8, Answer) {
    let mut decoder = Decoder::new();
    let (last, body) = bytes.split_last().unwrap();
    assert!(body.iter().all(|&byte| decoder.push(byte).is_none()));
    let Frame { sequence, message } = decoder.push(*last).unwrap().unwrap();
    (sequence, postcard::from_bytes(message).unwrap())
}

impl World {
    fn power_up() -> Self {
        let (link, net, panel) = (MockLink::default(), MockNet::default(), MockPanel::default());
        let flash = MockFlash::new(Geometry { capacity: 2 * 36 * 1024 + 2 * 4096, erase: 4096, write: 4 });
        let ports =
            Ports { link: link.clone(), net: net.clone(), flash, rows: MockRows::default(), panel: panel.clone() };
        let lent = (Box::leak(Box::new(Memory::new())), Box::leak(Box::new(Post::new())));
        let device = Device::new((lent.0, lent.1), Setup::FIRST, ports).unwrap();
        Self { device, link, net, panel, now: Instant::from_millis(1_000) }
    }

    fn drop_in(&self, door: Door, from: Station, bytes: &[u8]) {
        self.net.incoming.borrow_mut().push_back((door, from, bytes.to_vec()));
    }

    fn poll(&mut self) {
        self.now = self.now.after(Duration::from_millis(1));
        self.device.poll(self.now);
    }

    /// The answer to one datagram, if there is one.
    fn send(&mut self, from: Station, sequence: u8, request: &Request<'_>) -> Option<(u8, Answer)> {
        self.drop_in(Door::Link, from, &wire(sequence, request));
        self.poll();
        let (door, to, bytes) = self.net.outgoing.borrow_mut().pop_front()?;
        assert_eq!((door, to), (Door::Link, from));
        Some(read(&bytes))
    }

    fn ask(&mut self, from: Station, sequence: u8, request: &Request<'_>) -> Answer {
        let (number, answer) = self.send(from, sequence, request).expect("an answer");
        assert_eq!(number, sequence);
        answer
    }

    fn report(&mut self, from: Station, sequence: u8) -> Report {
        match self.ask(from, sequence, &Request::Report) {
            Answer::Report(report) => report,
            other => panic!("{other:?}"),
        }
    }

    /// A box with a show on the floor; the last number was 9.
    fn lit() -> Self {
        let mut world = Self::power_up();
        assert_eq!(world.ask(DESK, 0, &HELLO), Answer::Hello(Versions::OURS));
        let mut pack = vec![0; limits::PACK_BYTES];
        let len = pack::encode(&samples::small(), &mut pack).unwrap();
        let begin = Request::PackBegin { len: len as u32 };
        assert_eq!(world.ask(DESK, 1, &begin), Answer::Done);
        let chunks: Vec<_> = pack[..len].chunks(512).enumerate().collect();
        assert!(chunks.len() < 6);
        for (i, bytes) in &chunks {
            let chunk = Request::PackChunk { offset: 512 * *i as u32, bytes };
            assert_eq!(world.ask(DESK, 2 + *i as u8, &chunk), Answer::Done);
        }
        assert_eq!(world.ask(DESK, 7, &Request::PackCommit), Answer::Done);
        assert_eq!(world.ask(DESK, 8, &Request::Arm), Answer::Done);
        world.now = world.now.after(Duration::from_millis(500));
        assert_eq!(world.ask(DESK, 9, &Request::Go { to: CueId(0) }), Answer::Done);
        // Until the picture is whole.
        (0..100).for_each(|_| world.device.poll(world.now));
        world
    }
}

#[test]
fn a_desk_does_its_whole_job_by_datagrams() {
    let mut world = World::lit();
    let report = world.report(DESK, 10);
    assert_eq!((report.mode, report.now), (Mode::Brief, Some(CueId(0))));
    assert_eq!(*world.net.address.borrow(), Some(Setup::FIRST.address));
}

#[test]
fn strangers_say_hello_first_but_off_is_obeyed_from_anybody() {
    let mut world = World::lit();
    assert_eq!(world.ask(OTHER, 77, &Request::Report), Answer::Refused(Refusal::HelloFirst));
    assert_eq!(world.ask(OTHER, 78, &Request::Off), Answer::Done);
    // Neither took anything from the conversation that is under way.
    assert_eq!(world.report(DESK, 10).mode, Mode::Off);
    assert_eq!(world.ask(OTHER, 79, &Request::Arm), Answer::Refused(Refusal::HelloFirst));
}

#[test]
fn a_repeated_request_is_answered_again_and_not_carried_out_again() {
    let mut world = World::lit();
    let go = Request::Go { to: CueId(1) };
    world.now = world.now.after(Duration::from_millis(500));
    assert_eq!(world.ask(DESK, 10, &go), Answer::Done);
    // Carried out again it would be refused: the cue is not the next any more.
    assert_eq!(world.ask(DESK, 10, &go), Answer::Done);
    assert_eq!(world.report(DESK, 11).now, Some(CueId(1)));
}

#[test]
fn late_copies_are_not_obeyed_unless_they_say_off() {
    let mut world = World::lit();
    assert_eq!(world.ask(DESK, 10, &Request::Off), Answer::Done);
    // A copy of the Arm from before OFF turns up: the box must not be armed by it.
    assert_eq!(world.send(DESK, 8, &Request::Arm), None);
    assert_eq!(world.send(DESK, 0, &HELLO), None);
    let report = world.report(DESK, 11);
    assert_eq!((report.mode, report.armed), (Mode::Off, false));
    assert_eq!(world.ask(DESK, 12, &Request::Arm), Answer::Done);
    world.now = world.now.after(Duration::from_millis(500));
    assert_eq!(world.ask(DESK, 13, &Request::Go { to: CueId(0) }), Answer::Done);
    assert_eq!(world.ask(DESK, 10, &Request::Off), Answer::Done);
    assert_eq!(world.report(DESK, 14).mode, Mode::Off);
}

#[test]
fn numbers_go_round() {
    let mut world = World::power_up();
    assert_eq!(world.ask(DESK, 250, &HELLO), Answer::Hello(Versions::OURS));
    for sequence in (0..1000_u32).map(|i| (251 + i) as u8) {
        assert_eq!(world.report(DESK, sequence).mode, Mode::Off);
    }
}

#[test]
fn a_desk_that_starts_again_at_the_same_place_is_heard_when_copies_have_died() {
    let mut world = World::power_up();
    assert_eq!(world.ask(DESK, 200, &HELLO), Answer::Hello(Versions::OURS));
    assert_eq!(world.send(DESK, 150, &HELLO), None);
    world.now = world.now.after(Duration::from_millis(5_000));
    assert_eq!(world.ask(DESK, 150, &HELLO), Answer::Hello(Versions::OURS));
    assert_eq!(world.report(DESK, 151).mode, Mode::Off);
}

#[test]
fn desks_have_conversations_of_their_own_and_the_most_silent_makes_room() {
    let mut world = World::power_up();
    let desk = |i: usize| Station { port: 50_000 + i as u16, ..DESK };
    for i in 0..=DATAGRAM_DESKS {
        assert_eq!(world.ask(desk(i), 5, &HELLO), Answer::Hello(Versions::OURS));
    }
    assert_eq!(world.ask(desk(0), 6, &Request::Report), Answer::Refused(Refusal::HelloFirst));
    for i in 1..=DATAGRAM_DESKS {
        assert_eq!(world.report(desk(i), 6).mode, Mode::Off);
    }
    // The serial desk is asked for its own hello: no conversation is another's.
    world.link.incoming.borrow_mut().extend(wire(7, &Request::Report));
    (0..200).for_each(|_| world.poll());
    let said: Vec<u8> = world.link.outgoing.borrow_mut().drain(..).collect();
    assert_eq!(read(&said), (7, Answer::Refused(Refusal::HelloFirst)));
}

#[test]
fn a_poll_takes_a_few_datagrams_and_leaves_the_rest() {
    let mut world = World::power_up();
    for _ in 0..100 {
        world.drop_in(Door::Link, DESK, &wire(1, &HELLO));
    }
    world.poll();
    assert_eq!(world.net.incoming.borrow().len(), 100 - DATAGRAMS_PER_POLL);
    // A desk on the serial line is served all the same.
    world.link.incoming.borrow_mut().extend(wire(7, &HELLO));
    (0..8).for_each(|_| world.poll());
    assert!(!world.link.outgoing.borrow().is_empty());
}

#[test]
fn the_show_says_which_universe_is_listened_to() {
    let mut world = World::power_up();
    world.poll();
    assert_eq!(*world.net.universe.borrow(), 0);
    let mut show = samples::small();
    show.control.slots_universe = 7;
    let mut pack = vec![0; limits::PACK_BYTES];
    let len = pack::encode(&show, &mut pack).unwrap();
    assert_eq!(world.ask(DESK, 0, &HELLO), Answer::Hello(Versions::OURS));
    assert_eq!(world.ask(DESK, 1, &Request::PackBegin { len: len as u32 }), Answer::Done);
    for (i, bytes) in pack[..len].chunks(512).enumerate() {
        let chunk = Request::PackChunk { offset: 512 * i as u32, bytes };
        assert_eq!(world.ask(DESK, 2 + i as u8, &chunk), Answer::Done);
    }
    assert_eq!(world.ask(DESK, 90, &Request::PackCommit), Answer::Done);
    world.poll();
    assert_eq!(*world.net.universe.borrow(), 7);
}

#[test]
fn datagrams_that_are_no_frame_are_counted_but_do_not_fill_the_log() {
    let mut world = World::lit();
    let whole = wire(10, &Request::Report);
    let two = [whole.clone(), wire(11, &Request::Report)].concat();
    let bad = [&whole[..whole.len() - 1], &whole[..4], &two, &[], &[0], &[0, 0], &[1; DATAGRAM_BYTES]];
    for bytes in bad.iter().cycle().take(700) {
        world.drop_in(Door::Link, OTHER, bytes);
        world.poll();
    }
    assert!(world.net.outgoing.borrow().is_empty());
    assert_eq!(world.report(DESK, 10).bad_frames, 700);
    assert_eq!(world.panel.notes.borrow().iter().filter(|note| **note == Event::BadFrame).count(), 1);
}

/// A million datagrams at the doors, from noise and from damaged frames: nothing panics, the cue stays, and the
/// desk is answered.
#[test]
fn whatever_is_thrown_at_the_doors_the_box_goes_on() {
    let mut world = World::lit();
    let (mut seed, mut sequence) = (0x9E37_79B9_7F4A_7C15_u64, 9_u8);
    let mut next = move || {
        // Marsaglia, "Xorshift RNGs", 2003.
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        seed
    };
    // By then all of the cue is there.
    world.now = world.now.after(Duration::from_millis(500));
    world.device.poll(world.now);
    // Until the picture is whole and nothing fades in any more.
    (0..5_000).for_each(|_| world.poll());
    let picture = world.report(DESK, 10).picture_crc;
    assert_ne!(picture, 0);
    for round in 0..1_000 {
        for _ in 0..1_000 {
            let mut bytes = match next() % 4 {
                0 => wire(next() as u8, &Request::Go { to: CueId(next() as u8) }),
                1 => wire(next() as u8, &HELLO),
                2 => wire(next() as u8, &Request::PackChunk { offset: next() as u32, bytes: &[next() as u8; 40] }),
                _ => (0..next() as usize % DATAGRAM_BYTES).map(|_| next() as u8).collect(),
            };
            // Every frame is damaged somewhere, so none of them may be obeyed.
            if let Some(place) = (next() as usize).checked_rem(bytes.len()) {
                bytes[place] ^= 1 << (next() % 8);
            }
            let from = Station { port: next() as u16 % 3 + 50_000, ..DESK };
            world.drop_in(Door::ALL[next() as usize % 3], from, &bytes);
            world.device.poll(world.now);
        }
        world.net.outgoing.borrow_mut().clear();
        if round % 50 == 0 {
            sequence = sequence.wrapping_add(2);
            assert_eq!(world.ask(DESK, sequence, &HELLO), Answer::Hello(Versions::OURS));
            let report = world.report(DESK, sequence.wrapping_add(1));
            assert_eq!((report.mode, report.now, report.picture_crc), (Mode::Brief, Some(CueId(0)), picture));
        }
    }
}
