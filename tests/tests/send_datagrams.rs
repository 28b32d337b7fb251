//! The desk and a box by datagrams, through a relay that loses, repeats, delays and reorders them.

use std::net::{Ipv4Addr, SocketAddr, UdpSocket};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use underfoot_core::link::{PlaceClass, Refusal, Request, Versions, What};
use underfoot_core::pack::ShowCode;
use underfoot_core::show::{CueId, Mode};
use underfoot_sim::link::{SendError, Session, Step, place, send};
use underfoot_sim::sim::{LoopbackBox, MemoryFlash, PACK_FLASH};
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::dice::Dice;

/// What a relay did.
#[derive(Default)]
struct Deeds {
    over: AtomicBool,
    lost: AtomicU32,
    repeated: AtomicU32,
    delayed: AtomicU32,
}

/// A bad network between a desk and a box. Of a hundred datagrams each way it loses 15, repeats 10, and holds 15 back for
/// up to 400 ms, which is longer than the desk's patience for one try.
struct Relay {
    near: SocketAddr,
    deeds: Arc<Deeds>,
    thread: Option<JoinHandle<()>>,
}

impl Relay {
    fn to(device: &LoopbackBox, seed: u64) -> Self {
        let open = || UdpSocket::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
        let (near, far) = (open(), open());
        far.connect(device.datagram_target().strip_prefix("udp:").unwrap()).unwrap();
        for socket in [&near, &far] {
            socket.set_nonblocking(true).unwrap();
        }
        let (address, deeds) = (near.local_addr().unwrap(), Arc::<Deeds>::default());
        let shared = Arc::clone(&deeds);
        let thread = thread::spawn(move || carry(&near, &far, Dice::new(seed), &shared));
        Self { near: address, deeds, thread: Some(thread) }
    }

    fn target(&self) -> String {
        format!("udp:{}", self.near)
    }
}

impl Drop for Relay {
    fn drop(&mut self) {
        self.deeds.over.store(true, Ordering::Relaxed);
        let _ = self.thread.take().map(JoinHandle::join);
    }
}

fn carry(near: &UdpSocket, far: &UdpSocket, mut dice: Dice, deeds: &Deeds) {
    let (mut held, mut desk, mut bytes) = (Vec::<(Instant, Vec<u8>, Option<SocketAddr>)>::new(), None, [0; 2048]);
    let count = |deed: &AtomicU32| deed.fetch_add(1, Ordering::Relaxed);
    while !deeds.over.load(Ordering::Relaxed) {
        let mut came = Vec::new();
        while let Ok((len, from)) = near.recv_from(&mut bytes) {
            desk = Some(from);
            came.push((bytes[..len].to_vec(), None));
        }
        while let Ok(len) = far.recv(&mut bytes) {
            came.push((bytes[..len].to_vec(), desk));
        }
        let now = Instant::now();
        for (datagram, to) in came {
            let fate = dice.below(100);
            if fate < 15 {
                count(&deeds.lost);
                continue;
            }
            if fate < 25 {
                count(&deeds.repeated);
                held.push((now + Duration::from_millis(dice.below(400) as u64), datagram.clone(), to));
            }
            let late = if (25..40).contains(&fate) { 1 + dice.below(400) } else { 0 };
            deeds.delayed.fetch_add(u32::from(late > 0), Ordering::Relaxed);
            held.push((now + Duration::from_millis(late as u64), datagram, to));
        }
        let due = held.extract_if(.., |(due, ..)| *due <= now).collect::<Vec<_>>();
        for (_, datagram, to) in due {
            let _ = to.map_or_else(|| far.send(&datagram), |to| near.send_to(&datagram, to));
        }
        thread::sleep(Duration::from_micros(200));
    }
}

fn fresh() -> LoopbackBox {
    LoopbackBox::start(MemoryFlash::new(PACK_FLASH)).expect("a loopback port")
}

#[test]
fn a_bad_network_only_costs_time() {
    // Most of it is waiting, so all at once.
    thread::scope(|scope| (1..=3).for_each(|seed| drop(scope.spawn(move || over_a_bad_network(seed)))));
}

fn over_a_bad_network(seed: u64) {
    let (show, device) = (demo("clock-cabinet"), fresh());
    let (pack, relay) = (packed(&show), Relay::to(&device, seed));
    let sent = send(&pack, &relay.target(), &mut |_, _| {}).expect("a box that takes it");
    assert_eq!(sent.code, ShowCode::of_pack(&pack).unwrap());
    assert!(sent.repeats > 0, "seed {seed}");

    let mut session = Session::open(&relay.target().parse().unwrap()).unwrap();
    session.hello(Versions::OURS).unwrap();
    session.done(Step::Command, &Request::Arm).unwrap();
    // Each GO is carried out once, however often it is asked or copied: a cue is never skipped, and none is refused
    // because it had been reached already.
    for cue in 0..4 {
        thread::sleep(Duration::from_millis(450));
        session.done(Step::Command, &Request::Go { to: CueId(cue) }).unwrap_or_else(|e| panic!("seed {seed}: {e}"));
        assert_eq!(session.report().unwrap().now, Some(CueId(cue)), "seed {seed}");
    }
    // Beyond the floor of 3 m in whatever cue.
    // Another desk comes from another port.
    let other = Relay::to(&device, seed + 10);
    let said = place(&pack, &other.target(), (-1_600, 0)).unwrap();
    assert_eq!((said.cue, said.class, said.what), (CueId(3), PlaceClass::Edge, What::OffFloor));
    session.done(Step::Command, &Request::Off).unwrap();
    // Copies of what was asked before are still on their way: none of them may light the floor again.
    thread::sleep(Duration::from_millis(500));
    let report = session.report().unwrap();
    assert_eq!((report.mode, report.armed), (Mode::Off, false), "seed {seed}");
    let counts = [&relay.deeds.lost, &relay.deeds.repeated, &relay.deeds.delayed].map(|c| c.load(Ordering::Relaxed));
    assert!(counts.iter().all(|count| *count > 0), "seed {seed}: {counts:?}");
}

#[test]
fn two_desks_at_once_and_the_serial_desk_do_not_disturb_each_other() {
    let device = fresh();
    let open = |target: String| Session::open(&target.parse().unwrap()).unwrap();
    let mut all = [device.datagram_target(), device.datagram_target(), device.target()].map(open);
    assert!(matches!(all[0].report(), Err(SendError::Refused(_, Refusal::HelloFirst))));
    for session in &mut all {
        session.hello(Versions::OURS).unwrap();
    }
    for _ in 0..20 {
        for session in &mut all {
            assert_eq!(session.report().unwrap().mode, Mode::Off);
        }
    }
    assert!(all.iter().all(|session| session.repeats() == 0));
}

#[test]
fn a_desk_that_the_box_has_forgotten_is_greeted_again() {
    let device = fresh();
    let open = || Session::open(&device.datagram_target().parse().unwrap()).unwrap();
    let mut first = open();
    first.hello(Versions::OURS).unwrap();
    // More desks than the box remembers.
    let mut others: Vec<Session> = (0..8).map(|_| open()).collect();
    for other in &mut others {
        other.hello(Versions::OURS).unwrap();
    }
    assert_eq!(first.report().unwrap().mode, Mode::Off);
}
