//! The box's real image on a wire that the test holds: groups joined and heard, then frames broken in every way while a
//! cue is on the floor. The box must neither start again nor change its picture, and must obey afterwards.

use std::net::{Ipv4Addr, SocketAddr, UdpSocket};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use underfoot_core::device::Setup;
use underfoot_core::link::{Report, Request};
use underfoot_core::ports::{LINK_PORT, SACN_PORT};
use underfoot_core::show::{CueId, Mode};
use underfoot_sim::link::{Session, Step, send};
use underfoot_tests::device::Board;
use underfoot_tests::device::networked::{Bench, MAC, Networked, greet, wait};
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::ether::{self, End, Seen};
use underfoot_tests::lighting::{self, go, kill};
use underfoot_tests::storm::Storm;

const UNIVERSE: u16 = 7;
const BOX: End = End { mac: MAC, ip: Setup::FIRST.address.ip, port: LINK_PORT };
const DESK: End = End { mac: [2, 0, 0, 0, 0, 1], ip: [10, 62, 0, 100], port: 50_123 };
const PROBE: End = End { mac: [2, 0, 0, 0, 0, 2], ip: [10, 62, 0, 101], port: 1 };
const GROUP: End = End::universe(UNIVERSE);
/// Frames that may be on their way before the box has to show that it has looked at them: less than its FIFO holds.
const BATCH: usize = 6;

/// Carries a desk's datagrams and a lighting desk's over the bench, and notes what else the box says.
struct Carrier {
    bench: Bench,
    desk: UdpSocket,
    lights: UdpSocket,
    joined: Mutex<Vec<[u8; 4]>>,
    probes: AtomicU32,
    over: AtomicBool,
}

impl Carrier {
    fn new(bench: Bench) -> Self {
        let [.., low] = std::process::id().to_be_bytes();
        let open = |ip, port| UdpSocket::bind((ip, port)).expect("a free port");
        let lights = open(Ipv4Addr::new(127, 62, low, 9), SACN_PORT);
        let desk = open(Ipv4Addr::LOCALHOST, 0);
        for socket in [&lights, &desk] {
            socket.set_nonblocking(true).expect("a socket");
        }
        let (joined, probes, over) = (Mutex::default(), AtomicU32::new(0), AtomicBool::new(false));
        Self { bench, desk, lights, joined, probes, over }
    }

    fn link(&self) -> SocketAddr {
        self.desk.local_addr().expect("a bound socket")
    }

    fn run(&self) {
        let (mut desk, mut bytes) = (None, [0; 2048]);
        while !self.over.load(Ordering::Relaxed) {
            while let Ok((len, from)) = self.desk.recv_from(&mut bytes) {
                desk = Some(from);
                let _ = self.bench.give(&ether::udp(DESK.at(from.port()), BOX, &bytes[..len]));
            }
            while let Ok((len, _)) = self.lights.recv_from(&mut bytes) {
                let _ = self.bench.give(&ether::udp(DESK, GROUP, &bytes[..len]));
            }
            // Short: it is also how long a datagram to the box waits here.
            self.bench.wait(Duration::from_millis(1), |seen| {
                self.note(seen, desk);
                None::<()>
            });
        }
    }

    fn note(&self, seen: Seen, desk: Option<SocketAddr>) {
        match seen {
            Seen::Arp { operation: 1, sender, target } if target == DESK.ip => {
                let _ = self.bench.give(&ether::arp(2, DESK, sender.0, sender.1));
            }
            Seen::Arp { operation: 2, target, .. } if target == PROBE.ip => {
                self.probes.fetch_add(1, Ordering::Relaxed);
            }
            Seen::Udp { from, to, bytes } if from == BOX && to.ip == DESK.ip => {
                if let Some(desk) = desk.filter(|desk| desk.port() == to.port) {
                    let _ = self.desk.send_to(&bytes, desk);
                }
            }
            Seen::Igmp { kind: 0x16, group, .. } => self.joined.lock().expect("a list").push(group),
            _ => {}
        }
    }

    /// Waits until the box has looked at all that was given to it: it answers in the order in which things come.
    fn settle(&self) {
        let before = self.probes.load(Ordering::Relaxed);
        let patience = Instant::now() + Duration::from_secs(20);
        for tick in 0.. {
            if tick % 500 == 0 {
                let _ = self.bench.give(&ether::arp(1, PROBE, ether::EVERYBODY, BOX.ip));
            }
            if self.probes.load(Ordering::Relaxed) != before {
                return;
            }
            assert!(Instant::now() < patience, "the box has fallen silent");
            thread::sleep(Duration::from_micros(100));
        }
    }
}

/// The box with a picture that does not move.
fn still(session: &mut Session) -> Report {
    session.done(Step::Command, &Request::Mode { mode: Some(Mode::Brief) }).expect("a mode without motion");
    let mut last = session.report().expect("a report");
    let patience = Instant::now() + Duration::from_secs(20);
    loop {
        thread::sleep(Duration::from_millis(1_500));
        let report = session.report().expect("a report");
        if report.picture_crc == last.picture_crc && report.picture_crc != 0 {
            return report;
        }
        assert!(Instant::now() < patience, "{report:?}");
        last = report;
    }
}

fn weather(carrier: &Carrier, device: &Networked) {
    let mut show = demo("clock-cabinet");
    show.control.slots_universe = UNIVERSE;
    let mut session = greet(carrier.link());
    send(&packed(&show), &format!("udp:{}", carrier.link()), &mut |_, _| {}).expect("a box that takes the pack");
    // The universe that the show names is joined, by the group of ANSI E1.31-2018, 9.3.1.
    wait(&mut session, "a group joined", |_| carrier.joined.lock().expect("a list").last() == Some(&GROUP.ip));
    session.done(Step::Command, &Request::Arm).expect("an armed box");
    session.done(Step::Command, &Request::Go { to: CueId(0) }).expect("a lit box");
    let lit = wait(&mut session, "a picture", |report| report.now == Some(CueId(0)) && report.picture_crc != 0);

    // A lighting desk to the group.
    let lights = carrier.lights.local_addr().expect("a bound socket").ip().to_string();
    let played = lighting::python(&lights, UNIVERSE, &go(show.cues[1].number)).output().expect("Python runs");
    assert!(played.status.success(), "{}", String::from_utf8_lossy(&played.stderr));
    wait(&mut session, "GO by the group", |report| {
        report.now == Some(CueId(1)) && report.picture_crc != lit.picture_crc
    });
    let calm = still(&mut session);

    let mut storm = Storm::new(0x0057_0817, (PROBE, BOX), UNIVERSE);
    let (frames, started) = (20_000, Instant::now());
    for number in 0..frames {
        let _ = carrier.bench.give(&storm.frame());
        if number % BATCH == BATCH - 1 {
            carrier.settle();
        }
    }
    carrier.settle();
    let took = started.elapsed();
    eprintln!("{frames} broken frames in {took:?}: {:.0} a second", f64::from(frames as u32) / took.as_secs_f64());
    let after = session.report().expect("a box that answers");
    assert_eq!((after.mode, after.now, after.picture_crc), (calm.mode, calm.now, calm.picture_crc));
    assert!(after.bad_frames > calm.bad_frames + 1_000, "{} damaged", after.bad_frames);
    assert_eq!(after.paint_faults, 0);

    // As fast as the machine gives them: most are lost, and OFF still comes through.
    let useless = ether::udp(PROBE, BOX, &[7; 500]);
    let calm_again = AtomicBool::new(false);
    thread::scope(|scope| {
        scope.spawn(|| {
            while !calm_again.load(Ordering::Relaxed) {
                let _ = carrier.bench.give(&useless);
                thread::sleep(Duration::from_micros(50));
            }
        });
        let advanced = session.done(Step::Command, &Request::Go { to: CueId(2) });
        let off = session.done(Step::Command, &Request::Off);
        calm_again.store(true, Ordering::Relaxed);
        advanced.expect("GO in the flood");
        off.expect("OFF in the flood");
    });
    wait(&mut session, "OFF", |report| report.mode == Mode::Off);

    let log = device.log();
    let starts = log.iter().filter(|line| line.contains("underfoot box on")).count();
    assert_eq!(starts, 1, "the box started again: {log:#?}");
    assert!(!log.iter().any(|line| line.contains("panic")), "{log:#?}");
    // Held OFF is a lighting desk's too, by the group. The lockout after the last advance comes first.
    thread::sleep(Duration::from_millis(450));
    session.done(Step::Command, &Request::Arm).expect("an armed box");
    let next = session.report().expect("a report").next.expect("a next cue");
    session.done(Step::Command, &Request::Go { to: next }).expect("a lit box");
    // The last source of the storm is lost after 2.5 s (ANSI E1.31-2018, appendix A).
    thread::sleep(Duration::from_millis(2_600));
    assert!(lighting::python(&lights, UNIVERSE, &kill()).status().expect("Python runs").success());
    wait(&mut session, "OFF by the group", |report| report.mode == Mode::Off);
}

#[test]
fn twenty_thousand_broken_frames_change_nothing() {
    let (device, bench) = Networked::on_bench(Board::An386);
    let carrier = Carrier::new(bench);
    thread::scope(|scope| {
        scope.spawn(|| carrier.run());
        let result = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| weather(&carrier, &device)));
        carrier.over.store(true, Ordering::Relaxed);
        result.unwrap_or_else(|panic| std::panic::resume_unwind(panic));
    });
}
