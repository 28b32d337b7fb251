//! Pixel tape as it leaves the box: what is in the packets, when they come, and that another's receiver understands them.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::convert::Infallible;
use std::net::{Ipv4Addr, SocketAddr, UdpSocket};
use std::rc::Rc;
use std::sync::mpsc;
use std::thread;

use sacn::receive::SacnReceiver;
use underfoot_core::device::{Device, Hardware, Memory, Ports, Post, Setup};
use underfoot_core::engine::{Input, Source, State, step};
use underfoot_core::floor::Block;
use underfoot_core::floor::block::Lay;
use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::link::version::Versions;
use underfoot_core::link::{Request, frame};
use underfoot_core::pack;
use underfoot_core::ports::{Address, Datagram, Door, LinkPort, NetPort, Nowhere, SACN_PORT, Station};
use underfoot_core::sacn::{Packet, read};
use underfoot_core::show::{CueId, Show};
use underfoot_core::store::Store;
use underfoot_core::units::{Angle, Instant};
use underfoot_sim::project;
use underfoot_sim::render::Easel;
use underfoot_sim::sim::{MemoryFlash, PACK_FLASH, Watched};

/// A packet that left: when (ms), where to, and its bytes.
type Sent = (u64, Station, Vec<u8>);

/// A network that counts what fits.
#[derive(Clone, Default)]
struct Wire {
    now_ms: Rc<Cell<u64>>,
    /// Packets that find room until the next poll.
    room: Rc<Cell<usize>>,
    sent: Rc<RefCell<Vec<Sent>>>,
}

impl NetPort for Wire {
    type Error = Infallible;

    fn settle(&mut self, _: Address) -> Result<(), Infallible> {
        Ok(())
    }

    fn receive(&mut self, _: Instant, _: &mut [u8]) -> Result<Option<Datagram>, Infallible> {
        Ok(None)
    }

    fn send(&mut self, door: Door, to: Station, bytes: &[u8]) -> Result<bool, Infallible> {
        if door != Door::Sacn {
            return Ok(true);
        }
        let Some(left) = self.room.get().checked_sub(1) else { return Ok(false) };
        self.room.set(left);
        self.sent.borrow_mut().push((self.now_ms.get(), to, bytes.to_vec()));
        Ok(true)
    }

    fn listen(&mut self, _: u16) -> Result<(), Infallible> {
        Ok(())
    }
}

/// A desk's requests, on their way.
#[derive(Clone, Default)]
struct Line(Rc<RefCell<VecDeque<u8>>>);

impl LinkPort for Line {
    type Error = Infallible;

    fn read(&mut self, bytes: &mut [u8]) -> Result<usize, Infallible> {
        let mut queue = self.0.borrow_mut();
        let len = queue.len().min(bytes.len());
        bytes.iter_mut().zip(queue.drain(..len)).for_each(|(to, byte)| *to = byte);
        Ok(len)
    }

    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        Ok(bytes.len())
    }
}

struct Streaming;

impl Hardware for Streaming {
    type Link = Line;
    type Net = Wire;
    type Flash = MemoryFlash;
    type Rows = Nowhere;
    type Panel = Watched;
}

/// A box in virtual time, and the engine beside it that is given the same.
struct Bench {
    show: Show,
    state: State,
    device: Device<'static, Streaming>,
    line: Line,
    wire: Wire,
    room: usize,
    sequence: u8,
    now_ms: u64,
    /// Index of the tape's canvas.
    canvas: usize,
}

impl Bench {
    fn new(show: Show, canvas: &str, setup: Setup) -> Self {
        let mut pack = vec![0; limits::PACK_BYTES];
        let len = pack::encode(&show, &mut pack).expect("a show that fits");
        let mut store = Store::open(MemoryFlash::new(PACK_FLASH)).expect("room for two packs");
        store.save(&pack[..len]).expect("flash that works");
        let (line, wire) = (Line::default(), Wire::default());
        let ports = Ports::<Streaming> {
            link: line.clone(),
            net: wire.clone(),
            flash: store.into_flash(),
            rows: Nowhere,
            panel: Watched::default(),
        };
        let memory = (Box::leak(Box::new(Memory::new())), Box::leak(Box::new(Post::new())));
        let device = Device::new((memory.0, memory.1), setup, ports).expect("a box");
        let canvas = show.canvases.iter().position(|c| c.name.as_str() == canvas).expect("the canvas");
        let state = State::power_up();
        let mut bench = Self { show, state, device, line, wire, room: 64, sequence: 0, now_ms: 10_000, canvas };
        bench.ask(&Request::Hello(Versions::OURS));
        // It listens for another box of its show before it takes charge.
        bench.poll();
        while !(bench.device.crew().drives() && bench.device.crew().decides()) {
            assert!(bench.now_ms < 12_000, "nobody else is there");
            bench.poll();
        }
        bench
    }

    fn harbour() -> Self {
        let mut show = demo("harbour-hour-clean");
        show.control.on_air_contact = false;
        // No picture of the demo reaches its tape, which lies off the edge: here it goes through the first cue's first mark.
        let mark = show.places_in(&show.cues[0]).iter().find_map(|place| place.mark).expect("a mark");
        let centre = StagePoint::new(0.0, show.marks[mark.index()].at.y);
        let lay = Lay { centre, width_m: 10.0, depth_m: 0.01, turn: Angle::from_degrees(0.0) };
        let tape = show.blocks.iter_mut().find(|block| block.name.as_str() == "DS TAPE").expect("the tape");
        *tape = Block::laid(tape.name.clone(), tape.canvas, (0, 0), (10, 1), (30, 1), &lay).expect("a block");
        Self::new(show, "DS TAPE", Setup::FIRST)
    }

    fn ask(&mut self, request: &Request<'_>) {
        self.sequence = self.sequence.wrapping_add(1);
        let mut bytes = [0; frame::MAX_WIRE_BYTES];
        let len = frame::write(self.sequence, request, &mut bytes).expect("a short message");
        self.line.0.borrow_mut().extend(&bytes[..len]);
    }

    fn poll(&mut self) {
        self.now_ms += 1;
        self.wire.now_ms.set(self.now_ms);
        self.wire.room.set(self.room);
        self.device.poll(Instant::from_millis(self.now_ms));
    }

    fn run(&mut self, millis: u64) {
        (0..millis).for_each(|_| self.poll());
    }

    /// Lets the box and the engine beside it do the same, at the next poll.
    fn both(&mut self, request: &Request<'_>, input: Input<'_>) {
        self.ask(request);
        self.poll();
        self.state = step(self.state, &self.show, Instant::from_millis(self.now_ms), input).0;
    }

    fn go(&mut self, to: u8) {
        let (to, from) = (CueId(to), Source::Desk);
        self.both(&Request::Arm, Input::Arm { from });
        self.both(&Request::Go { to }, Input::Go { to, from });
    }

    /// What was sent, once the frame on its way is whole.
    fn take_whole(&mut self) -> Vec<Sent> {
        while self.wire.sent.borrow().last().is_some_and(|sent| sent.2.len() != 49) {
            self.poll();
        }
        self.take()
    }

    fn take(&mut self) -> Vec<Sent> {
        self.wire.sent.take()
    }

    /// Colours along the canvas at a moment, painted by the desk all at once.
    fn tape(&self, at_ms: u64) -> Vec<u8> {
        let now = Instant::from_millis(at_ms);
        let view = step(self.state, &self.show, now, Input::Tick).0.view(&self.show, now);
        let painted = Easel::new().paint(&self.show, &view.on_canvas(self.canvas as u8), self.canvas);
        painted.expect("a picture").pixels().iter().flat_map(|c| [c.r, c.g, c.b]).collect()
    }
}

fn demo(name: &str) -> Show {
    let path = format!("{}/../host-sim/demos/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    *project::load(path.as_ref()).expect("a demo").show
}

/// A frame: when it began, its sequence number, and its slots, universe after universe.
#[derive(Debug, PartialEq)]
struct Whole {
    at_ms: u64,
    sequence: u8,
    slots: Vec<u8>,
}

/// Puts packets of universes 101 and 102 together, and demands that they come as a frame has to.
fn frames(sent: &[Sent]) -> Vec<Whole> {
    sent.chunks_exact(3).map(|packets| whole(packets.try_into().expect("three packets"))).collect()
}

fn whole([first, second, sync]: &[Sent; 3]) -> Whole {
    let mut slots = Vec::new();
    let mut sequence = None;
    for ((_, to, bytes), (universe, len)) in [(first, (101, 510)), (second, (102, 390))] {
        let Ok(Packet::Data(data)) = read(bytes) else { panic!("not data: {bytes:?}") };
        let header = data.header;
        assert_eq!(*to, Station { address: [239, 255, 0, universe as u8], port: SACN_PORT });
        assert_eq!((header.universe, data.slots.len(), data.start_code), (universe, len, 0));
        assert_eq!((header.sync_address, header.priority, header.name), (101, 100, &b"Underfoot 001"[..]));
        assert_eq!((header.preview, header.terminated, header.force_sync), (false, false, true));
        assert_eq!(header.cid.0, *b"underf\x80\0\x80\0\x01\0\x0a\x3e\x01\x01");
        assert_eq!(*sequence.get_or_insert(header.sequence), header.sequence, "one number for the whole frame");
        slots.extend_from_slice(data.slots);
    }
    let (Ok(Packet::Sync(packet)), sequence) = (read(&sync.2), sequence.expect("two packets")) else { panic!() };
    assert_eq!((packet.address, packet.sequence, sync.1.address), (101, sequence, [239, 255, 0, 101]));
    Whole { at_ms: first.0, sequence, slots }
}

#[test]
fn a_tape_of_300_pixels_is_streamed_as_the_desk_paints_it() {
    let mut bench = Bench::harbour();
    bench.run(3_000);
    let dark = frames(&bench.take_whole());
    assert!(dark.len() >= 3 && dark.iter().all(|f| f.slots.iter().all(|s| *s == 0)), "OFF is sent, and kept up");
    let mut lit = 0;
    for cue in 0..3 {
        bench.go(cue);
        bench.run(1_500);
        let sent = bench.take_whole();
        assert!(sent.len().is_multiple_of(3));
        let shown = frames(&sent);
        for frame in shown.iter().skip(1) {
            assert_eq!(frame.slots, bench.tape(frame.at_ms), "cue {cue} at {}", frame.at_ms);
        }
        lit += shown.last().expect("frames").slots.iter().filter(|s| **s > 0).count();
    }
    assert!(lit > 0, "some cue has something on the tape");
}

/// ANSI E1.31-2018, 6.6.1 and 6.6.2: no faster than a DMX line, three packets after a change, then one each 800 to 1000 ms.
#[test]
fn frames_come_when_they_should() {
    let mut bench = Bench::harbour();
    bench.go(0);
    bench.run(6_000);
    let sent = frames(&bench.take_whole());
    let steps: Vec<u64> = sent.windows(2).map(|w| w[1].at_ms - w[0].at_ms).collect();
    let numbers: Vec<u8> = sent.windows(2).map(|w| w[1].sequence.wrapping_sub(w[0].sequence)).collect();
    assert!(numbers.iter().all(|n| *n == 1), "{numbers:?}");
    // The first frame is the darkness at power-up; the cue came within its 23 ms or after.
    assert!(steps.iter().all(|step| (22..=1_000).contains(step)), "{steps:?}");
    assert!(steps.iter().filter(|step| **step <= 30).count() >= 2, "three of a kind: {steps:?}");
    assert!(steps.last().is_some_and(|step| *step >= 800) || steps.iter().all(|step| *step < 50), "{steps:?}");
    // OFF at a moment when no frame is due.
    bench.ask(&Request::Off);
    bench.poll();
    let off = frames(&bench.take());
    assert_eq!(off.len(), 1, "zeros leave with the poll that says OFF");
    assert_eq!((off[0].at_ms, off[0].slots.iter().max()), (bench.now_ms, Some(&0)));
}

#[test]
fn a_network_with_little_room_takes_longer_and_gets_the_same() {
    let mut bench = Bench::harbour();
    bench.go(0);
    bench.run(2_000);
    let plenty = frames(&bench.take_whole()).pop().expect("frames").slots;
    let mut bench = Bench::harbour();
    bench.take();
    bench.room = 1;
    bench.go(0);
    bench.run(2_000);
    let sent = bench.take_whole();
    let times: Vec<u64> = sent.iter().map(|s| s.0).collect();
    assert!(times.windows(2).all(|w| w[0] < w[1]), "one packet a poll");
    assert_eq!(frames(&sent).pop().expect("frames").slots, plenty);
    bench.room = 0;
    bench.run(500);
    assert_eq!(bench.take(), []);
    bench.room = 3;
    bench.run(2);
    assert!(!bench.take().is_empty(), "what was due leaves when there is room again");
}

/// Another show on the box: the old streams are ended, three times each, and nobody has to wait for their loss.
#[test]
fn a_tape_that_is_no_longer_wanted_is_ended() {
    let mut bench = Bench::harbour();
    bench.run(100);
    bench.take();
    let mut pack = vec![0; limits::PACK_BYTES];
    let len = pack::encode(&demo("clock-cabinet"), &mut pack).expect("a show that fits");
    bench.ask(&Request::PackBegin { len: len as u32 });
    bench.run(2);
    for (at, bytes) in pack[..len].chunks(128).enumerate() {
        bench.ask(&Request::PackChunk { offset: 128 * at as u32, bytes });
        bench.run(4);
    }
    bench.take();
    bench.ask(&Request::PackCommit);
    bench.run(200);
    let ends: Vec<(u16, bool)> = bench
        .take()
        .iter()
        .filter_map(|(_, _, bytes)| match read(bytes) {
            Ok(Packet::Data(data)) => Some((data.header.universe, data.header.terminated)),
            _ => None,
        })
        .collect();
    assert_eq!(ends, [(101, true), (102, true)].repeat(3));
    bench.run(3_000);
    assert_eq!(bench.take(), []);
}

/// Nobody answers a backup: it takes its pair's outputs over, and outranks what the main box may still send.
#[test]
fn a_backup_streams_above_the_main_box_and_only_when_it_drives() {
    let setup = Setup { backup: true, address: Address::of_box(1, true), ..Setup::FIRST };
    let mut show = demo("harbour-hour-clean");
    assert!(show.control.backup, "a pair");
    show.control.on_air_contact = false;
    let mut bench = Bench::new(show, "DS TAPE", setup);
    assert!(bench.now_ms > 10_100, "it listens first");
    let drives_from = bench.now_ms;
    bench.run(100);
    let sent = bench.take();
    assert!(sent.iter().all(|(at_ms, ..)| *at_ms >= drives_from), "and is silent until then");
    assert!(sent.len() >= 3);
    for (_, _, bytes) in &sent[..2] {
        let Ok(Packet::Data(data)) = read(bytes) else { panic!("not data: {bytes:?}") };
        assert_eq!((data.header.priority, data.header.name), (101, &b"Underfoot 001 backup"[..]));
        assert_eq!(data.header.cid.0, *b"underf\x80\0\x80\0\x01\x01\x0a\x3e\x01\x02");
    }
}

/// The `sacn` crate's own receiver over a loopback socket: it takes the synchronized universes and gives the same slots.
#[test]
fn another_receiver_understands_the_stream() {
    let mut bench = Bench::harbour();
    bench.go(0);
    bench.run(1_500);
    let sent = bench.take_whole();
    let last = frames(&sent).pop().expect("frames").slots;
    // The crate listens at the standard's port, whatever it is told.
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, SACN_PORT));
    let mut receiver = SacnReceiver::with_ip(address, None).expect("a receiver");
    receiver.set_is_multicast_enabled(false).expect("unicast only");
    receiver.listen_universes(&[101, 102]).expect("two universes");
    let (hand, heard) = mpsc::channel();
    let listener = thread::spawn(move || {
        // Ends when the sender has ended, or after a time without anything.
        while let Ok(data) = receiver.recv(Some(std::time::Duration::from_secs(3))) {
            if data.into_iter().try_for_each(|one| hand.send((one.universe, one.priority, one.values))).is_err() {
                return;
            }
        }
    });
    let socket = UdpSocket::bind((Ipv4Addr::LOCALHOST, 0)).expect("a socket");
    for (_, _, bytes) in &sent {
        socket.send_to(bytes, address).expect("a packet on its way");
        thread::sleep(std::time::Duration::from_millis(2));
    }
    let mut universes = [Vec::new(), Vec::new()];
    let mut count = 0;
    while let Ok((universe, priority, values)) = heard.recv_timeout(std::time::Duration::from_secs(2)) {
        assert_eq!((priority, values[0]), (100, 0));
        universes[usize::from(universe - 101)] = values[1..].to_vec();
        count += 1;
    }
    drop(heard);
    listener.join().expect("the receiver's thread");
    assert_eq!(universes.concat(), last);
    assert!(count >= 6, "frames came through whole: {count}");
}

/// 3,000 pixels, 18 universes, on a network of 10 Mbit/s whose driver has room for four packets at a time.
#[test]
fn three_thousand_pixels_keep_their_pace_on_a_slow_network() {
    let mut show = demo("lantern-field-clean");
    for canvas in &mut show.canvases {
        canvas.controller = if canvas.name.as_str() == "PERIMETER" { 1 } else { 9 };
    }
    show.control.on_air_contact = false;
    let mut bench = Bench::new(show, "PERIMETER", Setup::FIRST);
    bench.go(0);
    let started = std::time::Instant::now();
    // Bytes that the network carries in a millisecond, and what is left of them; 66 bytes of UDP, IP and Ethernet each.
    let (budget, mut credit, mut waits) = (1_250_usize, 0_usize, 0);
    for _ in 0..3_000 {
        credit = (credit + budget).min(4 * 704);
        bench.room = credit / 704;
        bench.poll();
        let used: usize =
            bench.wire.sent.borrow().iter().rev().take_while(|s| s.0 == bench.now_ms).map(|s| s.2.len() + 66).sum();
        credit = credit.saturating_sub(used);
        waits += usize::from(bench.room == 0);
    }
    let sent = bench.take();
    let syncs: Vec<u64> = sent.iter().filter(|s| s.2.len() == 49).map(|s| s.0).collect();
    let data = sent.iter().filter(|s| s.2.len() > 49).count();
    let per_frame = data / syncs.len();
    let quickest = syncs.windows(2).map(|w| w[1] - w[0]).min().expect("frames");
    println!(
        "{} frames of {per_frame} universes in 3 s, quickest after {quickest} ms, {waits} polls without room, {:?} of host time",
        syncs.len(),
        started.elapsed()
    );
    assert_eq!(per_frame, 18);
    assert!(quickest <= 30, "a change is on the tape three times within {} ms", 3 * quickest);
}
