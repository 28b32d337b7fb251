//! The box's network over a wire in memory: what goes out is read and what comes in is made by hand, from the standards.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::Rc;

use smoltcp::phy::{self, Device, DeviceCapabilities, FaultInjector, Medium};
use underfoot_core::ports::{
    Address, CREW_PORT, DATAGRAM_BYTES, Datagram, Door, LINK_PORT, NetPort, SACN_PORT, Station,
};
use underfoot_core::units::Instant;
use underfoot_firmware::adapters::net::{FRAME_BYTES, FRAMES_PER_CALL, Letters, Net, Room};
use underfoot_tests::dice::Dice;
use underfoot_tests::ether::{self, End, Seen};

const ADDRESS: Address = Address::of_box(1, false);
const BOX: End = End { mac: [2, 0, 0, 0, 0, 9], ip: ADDRESS.ip, port: LINK_PORT };
const DESK: End = End { mac: [2, 0, 0, 0, 0, 1], ip: [10, 62, 0, 100], port: 50_123 };
const ALL: [u8; 6] = [0xFF; 6];

/// A wire: frames to the box and from it.
#[derive(Clone, Default)]
struct Wire {
    to_box: Rc<RefCell<VecDeque<Vec<u8>>>>,
    from_box: Rc<RefCell<Vec<Vec<u8>>>>,
    taken: Rc<Cell<usize>>,
    came_back: Rc<Cell<bool>>,
}

struct Got(Vec<u8>);
struct Send<'a>(&'a Wire);

impl phy::RxToken for Got {
    fn consume<R, F: FnOnce(&[u8]) -> R>(self, read: F) -> R {
        read(&self.0)
    }
}

impl phy::TxToken for Send<'_> {
    fn consume<R, F: FnOnce(&mut [u8]) -> R>(self, len: usize, write: F) -> R {
        assert!(len <= FRAME_BYTES, "a frame of {len} bytes");
        let mut frame = vec![0; len];
        let result = write(&mut frame);
        self.0.from_box.borrow_mut().push(frame);
        result
    }
}

impl Device for Wire {
    type RxToken<'a> = Got;
    type TxToken<'a> = Send<'a>;

    fn receive(&mut self, _: smoltcp::time::Instant) -> Option<(Got, Send<'_>)> {
        let frame = self.to_box.borrow_mut().pop_front()?;
        self.taken.set(self.taken.get() + 1);
        Some((Got(frame), Send(self)))
    }

    fn transmit(&mut self, _: smoltcp::time::Instant) -> Option<Send<'_>> {
        Some(Send(self))
    }

    fn capabilities(&self) -> DeviceCapabilities {
        let mut can = DeviceCapabilities::default();
        can.medium = Medium::Ethernet;
        can.max_transmission_unit = FRAME_BYTES;
        can
    }
}

struct World {
    net: Net<'static, Wire>,
    wire: Wire,
    now: Instant,
}

impl World {
    fn new() -> Self {
        let wire = Wire::default();
        let mut net = Net::new(wire.clone(), BOX.mac, leak(Room::new()), leak(Letters::new()))
            .with_cable(|wire: &mut Wire| wire.came_back.take());
        net.settle(ADDRESS).unwrap();
        Self { net, wire, now: Instant::from_millis(1) }
    }

    fn give(&mut self, frame: Vec<u8>) {
        self.wire.to_box.borrow_mut().push_back(frame);
    }

    /// What came in a millisecond.
    fn receive(&mut self) -> Option<(Datagram, Vec<u8>)> {
        self.now = Instant::from_micros(self.now.as_micros() + 1_000);
        let mut bytes = [0; DATAGRAM_BYTES];
        let datagram = self.net.receive(self.now, &mut bytes).unwrap()?;
        Some((datagram, bytes[..datagram.len].to_vec()))
    }

    /// What went out, in order.
    fn sent(&mut self) -> Vec<Seen> {
        self.wire.from_box.borrow_mut().drain(..).map(|frame| ether::read(&frame)).collect()
    }

    fn meet(&mut self, who: End) {
        self.give(ether::arp(1, who, ALL, BOX.ip));
        assert_eq!(self.receive(), None);
    }
}

fn leak<T>(value: T) -> &'static mut T {
    Box::leak(Box::new(value))
}

const fn station(end: End) -> Station {
    Station { address: end.ip, port: end.port }
}

#[test]
fn a_box_says_where_it_is_and_answers_who_asks() {
    let mut world = World::new();
    // RFC 5227, section 2.3: an announcement asks for the sender's own address.
    let announced = Seen::Arp { operation: 1, sender: (BOX.mac, BOX.ip), target: BOX.ip };
    assert_eq!(world.sent(), [announced]);
    world.meet(DESK);
    assert_eq!(world.sent(), [Seen::Arp { operation: 2, sender: (BOX.mac, BOX.ip), target: DESK.ip }]);
    assert!(world.net.settle(Address { ip: [239, 255, 0, 1], prefix: 16 }).is_err());
}

#[test]
fn datagrams_go_both_ways_through_the_right_doors() {
    let mut world = World::new();
    world.meet(DESK);
    world.sent();
    for (door, port) in [(Door::Link, LINK_PORT), (Door::Sacn, SACN_PORT), (Door::Crew, CREW_PORT)] {
        for len in [0, 1, DATAGRAM_BYTES] {
            let bytes: Vec<u8> = (0..len).map(|i| i as u8).collect();
            world.give(ether::udp(DESK, BOX.at(port), &bytes));
            assert_eq!(world.receive(), Some((Datagram { door, from: station(DESK), len }, bytes.clone())));
            assert_eq!(world.net.send(door, station(DESK), &bytes), Ok(true));
            assert_eq!(world.sent(), [Seen::Udp { from: BOX.at(port), to: DESK, bytes }]);
        }
    }
    // To everybody, which needs no address of anybody.
    assert_eq!(world.net.send(Door::Crew, Station::everybody(CREW_PORT), b"beat"), Ok(true));
    let all = End { mac: ALL, ip: [255; 4], port: CREW_PORT };
    assert_eq!(world.sent(), [Seen::Udp { from: BOX.at(CREW_PORT), to: all, bytes: b"beat".to_vec() }]);
}

#[test]
fn an_answer_waits_until_its_desk_is_found_and_not_for_ever() {
    let mut world = World::new();
    world.sent();
    world.give(ether::udp(DESK, BOX, b"who"));
    assert!(world.receive().is_some());
    assert_eq!(world.net.send(Door::Link, station(DESK), b"me"), Ok(true));
    assert_eq!(world.sent(), [Seen::Arp { operation: 1, sender: (BOX.mac, BOX.ip), target: DESK.ip }]);
    assert_eq!(world.net.send(Door::Link, station(DESK), b"more"), Ok(false), "one waits already");
    world.give(ether::arp(2, DESK, BOX.mac, BOX.ip));
    assert_eq!(world.receive(), None);
    assert_eq!(world.receive(), None);
    assert_eq!(world.sent(), [Seen::Udp { from: BOX, to: DESK, bytes: b"me".to_vec() }]);

    // An address that nobody has must not hold up the others for good.
    let nobody = Station { address: [10, 62, 77, 77], port: 9 };
    assert_eq!(world.net.send(Door::Link, nobody, b"lost"), Ok(true));
    for _ in 0..1_300 {
        assert_eq!(world.receive(), None);
    }
    world.sent();
    assert_eq!(world.net.send(Door::Link, station(DESK), b"again"), Ok(true));
    assert_eq!(world.sent(), [Seen::Udp { from: BOX, to: DESK, bytes: b"again".to_vec() }]);
    // Beyond the network there is no way at all, and nothing waits for one.
    for _ in 0..3 {
        assert_eq!(world.net.send(Door::Link, Station { address: [192, 0, 2, 1], port: 9 }, b"far"), Ok(true));
    }
    assert_eq!(world.net.send(Door::Link, station(DESK), b"near"), Ok(true));
    assert_eq!(world.sent().len(), 1);
}

#[test]
fn one_universe_is_listened_to_at_a_time() {
    let mut world = World::new();
    world.sent();
    let (seven, eight) = ([239, 255, 0, 7], [239, 255, 0, 8]);
    let joined = |group| Seen::Igmp { kind: 0x16, group, to: group };
    assert_eq!(world.net.listen(7), Ok(()));
    assert_eq!(world.receive(), None);
    assert_eq!(world.sent(), [joined(seven)]);
    for (group, comes) in [(seven, true), (eight, false)] {
        world.give(ether::udp(DESK, End::group(group, SACN_PORT), b"levels"));
        assert_eq!(world.receive().is_some(), comes, "{group:?}");
    }
    // A querier asks again and again; who does not answer is forgotten by switches.
    world.give(ether::igmp_query(DESK));
    let answered = (0..1_100).any(|_| {
        assert_eq!(world.receive(), None);
        world.sent().contains(&joined(seven))
    });
    assert!(answered);

    assert_eq!(world.net.listen(8), Ok(()));
    assert_eq!(world.receive(), None);
    let left = Seen::Igmp { kind: 0x17, group: seven, to: [224, 0, 0, 2] };
    assert_eq!(world.sent(), [left, joined(eight)]);
    world.give(ether::udp(DESK, End::group(seven, SACN_PORT), b"levels"));
    assert_eq!(world.receive(), None);
    // At a new address the group is joined anew.
    world.net.settle(Address::of_box(2, true)).unwrap();
    assert_eq!(world.receive(), None);
    assert!(world.sent().contains(&joined(eight)));
    assert_eq!(world.net.listen(0), Ok(()));
}

/// The switch behind a cable that was out does not know who listens to what, and asks only every two minutes or so.
#[test]
fn after_the_cable_was_out_everything_is_said_again() {
    let mut world = World::new();
    let seven = [239, 255, 0, 7];
    let joined = Seen::Igmp { kind: 0x16, group: seven, to: seven };
    assert_eq!(world.net.listen(7), Ok(()));
    for _ in 0..300 {
        assert_eq!(world.receive(), None);
    }
    world.sent();
    for _ in 0..300 {
        assert_eq!(world.receive(), None);
    }
    assert_eq!(world.sent(), [], "nothing to say while the cable is in");
    for _ in 0..2 {
        world.wire.came_back.set(true);
        (0..150).for_each(|_| assert_eq!(world.receive(), None));
        let said = world.sent();
        assert!(said.contains(&joined), "{said:?}");
        assert!(said.iter().any(|one| matches!(one, Seen::Arp { .. })), "{said:?}");
    }
    world.give(ether::udp(DESK, End::group(seven, SACN_PORT), b"levels"));
    assert!(world.receive().is_some());
}

#[test]
fn a_flood_costs_a_call_no_more_than_a_few_frames() {
    let mut world = World::new();
    let useless = ether::udp(DESK, BOX.at(9), b"nobody listens here");
    (0..10_000).for_each(|_| world.give(useless.clone()));
    let mut before = world.wire.taken.get();
    while !world.wire.to_box.borrow().is_empty() {
        assert_eq!(world.receive(), None);
        let taken = world.wire.taken.get();
        assert!(taken - before <= FRAMES_PER_CALL, "{}", taken - before);
        before = taken;
    }
}

/// Frames that are damaged anywhere, cut anywhere, too long, or noise: nothing panics, nothing that was damaged is taken
/// for a datagram, and the network works afterwards.
#[test]
fn no_frame_however_broken_brings_the_network_down() {
    let mut dice = Dice::new(0x5EED_0001);
    let wire = Wire::default();
    let mut faulty = FaultInjector::new(wire.clone(), 0xBADC_0FFE);
    faulty.set_corrupt_chance(30);
    faulty.set_drop_chance(10);
    let mut net = Net::new(faulty, BOX.mac, leak(Room::new()), leak(Letters::new()));
    net.settle(ADDRESS).unwrap();
    net.listen(7).unwrap();
    let (mut now, mut bytes, mut whole) = (0, [0; DATAGRAM_BYTES], 0);
    let payload: Vec<u8> = (0..200).collect();
    let group = End::group([239, 255, 0, 7], SACN_PORT);
    let good = [
        ether::udp(DESK, BOX, &payload),
        ether::udp(DESK, BOX.at(SACN_PORT), &payload),
        ether::udp(DESK, group, &payload),
        ether::arp(1, DESK, ALL, BOX.ip),
        ether::arp(2, DESK, BOX.mac, BOX.ip),
        ether::igmp_query(DESK),
        ether::udp(DESK.at(0), BOX, &payload),
        ether::udp(End { ip: [0; 4], ..DESK }, BOX, &payload),
        ether::udp(End { ip: BOX.ip, ..DESK }, BOX, &payload),
        ether::udp(End { ip: [255; 4], ..DESK }, BOX, &payload),
    ];
    for round in 0..200_000_u32 {
        let mut frame = good[dice.below(good.len())].clone();
        let untouched = dice.below(2) == 0;
        if !untouched {
            match dice.below(3) {
                // Not to nothing, which the injector cannot take.
                0 => frame.truncate(1 + dice.below(frame.len() - 1)),
                1 => frame.resize(frame.len() + dice.below(900), 0xA5),
                _ => frame = (0..=dice.below(1_500)).map(|_| dice.below(256) as u8).collect(),
            }
        }
        wire.to_box.borrow_mut().push_back(frame);
        now += 100;
        if let Some(datagram) = net.receive(Instant::from_micros(now), &mut bytes).unwrap() {
            assert_eq!(bytes[..datagram.len], payload[..], "round {round}");
            whole += 1;
            let _ = net.send(datagram.door, datagram.from, &payload).unwrap();
        }
        wire.from_box.borrow_mut().clear();
    }
    assert!(whole > 20_000, "{whole}");
}
