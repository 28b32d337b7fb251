//! How long the keys of the real image go unseen while everything comes at once: pictures that begin again and again, the
//! display drawn anew, poses at 50 a second and more. The emulator counts instructions, against `firmware/budgets.toml`.

use std::net::{Ipv4Addr, UdpSocket};

use underfoot_core::geom::StagePoint3;
use underfoot_core::link::{Request, Versions, frame};
use underfoot_core::panel::Key;
use underfoot_core::show::{CameraId, CueId, Mode, ShotKey, Show};
use underfoot_sim::link::Step;
use underfoot_tests::device::budgets::{Budgets, within};
use underfoot_tests::device::live_scene::{all_covered_by_the_last, cameras};
use underfoot_tests::device::networked::greet;
use underfoot_tests::device::pins::{NANOS, Record, What};
use underfoot_tests::device::scratch::Scratch;
use underfoot_tests::device::shows::{DEMOS, demo};
use underfoot_tests::device::{Board, Powered};

/// The keys' rule wants 5 ms of quiet before OFF counts, so looks may not be farther apart.
const QUIET_MS: u64 = 5;
/// Milliseconds between two looks, as the box sets its timer.
const EVERY_MS: u64 = 2;
/// How long each key is down, and then up, milliseconds: each press makes the display say something else.
const TURN_MS: u64 = 60;
/// How long all of it goes on, milliseconds.
const LONG_MS: u64 = 2_000;
/// The slowest picture of the 3 m stage: BRIEF of the fourth cue.
const SLOWEST: u8 = 3;

fn pose(camera: u8, key: &ShotKey) -> Request<'static> {
    let mm = |p: StagePoint3| [p.x, p.y, p.z].map(|m| (m * 1000.0).round() as i32);
    let focal_um = (key.focal_mm * 1000.0) as u32;
    let (from_mm, look_mm) = (mm(key.from), mm(key.look));
    Request::Pose { camera: CameraId(camera), from_mm, look_mm, roll_centideg: 0, focal_um }
}

/// Requests that are on their way at a time: few enough for the controller's memory. The box takes one or two in a poll.
const ON_THE_WAY: usize = 12;

/// A box in hand, and a desk at its cable that does not wait for one answer before it asks again.
struct Busy {
    powered: Powered,
    desk: UdpSocket,
    sequence: u8,
    sent: usize,
    answered: usize,
    poses: Vec<Request<'static>>,
}

/// What came of it.
#[derive(Clone, Copy, Debug)]
struct Seen {
    /// Poses of each camera in a second.
    poses_hz: usize,
    faces: usize,
    pictures: usize,
}

impl Busy {
    /// A box that shows cue `to` of a show.
    fn with(folder: &Scratch, show: &Show, to: u8, poses: Vec<Request<'static>>) -> Self {
        drop(Powered::with(Board::An386, folder, show));
        // With the show in its flash: to take one is no part of this.
        let (mut powered, door) = Powered::cabled(Board::An386, folder);
        powered.pins().wait(0, |what| what == What::Ready);
        // One of several boxes listens for the others before it takes charge.
        powered.pins().pass(1_000);
        let mut session = powered.connect();
        session.done(Step::Command, &Request::Arm).expect("armed");
        for cue in 0..=to {
            session.done(Step::Command, &Request::Go { to: CueId(cue) }).expect("a cue");
            powered.pins().pass(500);
        }
        drop(greet(door));
        let desk = UdpSocket::bind((Ipv4Addr::LOCALHOST, 0)).expect("a socket");
        desk.connect(door).expect("the box's door");
        desk.set_nonblocking(true).expect("a socket that does not wait");
        let mut busy = Self { powered, desk, sequence: 0, sent: 0, answered: 0, poses };
        busy.ask(&Request::Hello(Versions::OURS));
        busy.powered.pins().pass(200);
        busy
    }

    fn ask(&mut self, request: &Request<'_>) {
        self.sequence = self.sequence.wrapping_add(1);
        let mut bytes = [0; frame::MAX_WIRE_BYTES];
        let len = frame::write(self.sequence, request, &mut bytes).expect("a short message");
        self.desk.send(&bytes[..len]).expect("the cable");
        self.sent += 1;
    }

    /// Takes answers, and keeps poses coming. What was lost on the way is not waited for.
    fn top_up(&mut self) {
        let mut bytes = [0; 1024];
        while self.desk.recv(&mut bytes).is_ok() {
            self.answered += 1;
        }
        while self.sent < self.answered + ON_THE_WAY {
            let pose = self.poses[self.sent % self.poses.len()];
            self.ask(&pose);
        }
    }

    /// For a while poses come as fast as they are answered, HOLD is pressed and let go, and the mode changes with it.
    fn press_on(&mut self, modes: [Option<Mode>; 2]) -> Seen {
        let (from, answered) = (self.powered.pins().records.len(), self.answered);
        let start = self.powered.pins().touch(0);
        let (mut turned, mut turns) = (start, 0);
        loop {
            self.top_up();
            let now = self.powered.pins().touch(if turns % 2 == 1 { Key::Hold.bit() } else { 0 });
            if millis(&start, &now) >= LONG_MS {
                break;
            }
            if millis(&turned, &now) >= TURN_MS {
                (turned, turns) = (now, turns + 1);
                self.ask(&Request::Mode { mode: modes[turns / 2 % 2] });
            }
        }
        let records = &self.powered.pins().records[from..];
        let count = |wanted: What| records.iter().filter(|record| record.what == wanted).count();
        let (faces, pictures) = (count(What::Shown), count(What::Row));
        let poses = (self.answered - answered).saturating_sub(turns) / self.poses.len();
        Seen { poses_hz: poses * 1_000 / LONG_MS as usize, faces, pictures }
    }

    fn longest(&mut self) -> [u64; 2] {
        [What::Longest, What::Poll].map(|what| self.powered.pins().longest(what))
    }
}

fn millis(from: &Record, to: &Record) -> u64 {
    from.until(to) * NANOS / 1_000_000
}

/// The 3 m stage: its slowest picture, and its marks on air.
fn small_stage() -> [u64; 2] {
    let (folder, show) = (Scratch::new(), demo(DEMOS[0]));
    let key = show.shot_keys[0];
    let poses = (0..show.cameras.len() as u8).map(|i| pose(i, &key)).collect();
    let mut busy = Busy::with(&folder, &show, SLOWEST, poses);
    for modes in [[Some(Mode::Brief), None], [Some(Mode::Air), Some(Mode::Brief)]] {
        let seen = busy.press_on(modes);
        println!("3 m stage, {modes:?}: {seen:?}");
        assert!(seen.poses_hz >= 50 && seen.faces >= 10 && seen.pictures >= 4, "{seen:?}");
    }
    busy.longest()
}

/// The fullest question about marks: 8 cameras, 24 marks, 16 parts, all covered by the last part.
fn fullest_question() -> [u64; 2] {
    let (folder, show) = (Scratch::new(), all_covered_by_the_last());
    let poses = (0..).zip(cameras()).map(|(i, ask)| pose(i, &ask.key)).collect();
    let mut busy = Busy::with(&folder, &show, 0, poses);
    let seen = busy.press_on([Some(Mode::Air), Some(Mode::Air)]);
    println!("fullest question: {seen:?}");
    // Fresh enough for an answer each frame: poses count for a quarter of a second.
    assert!(seen.poses_hz >= 8 && seen.faces >= 10, "{seen:?}");
    busy.longest()
}

#[test]
fn the_keys_are_looked_at_whatever_the_box_does() {
    let budgets = Budgets::load();
    let (press, clock) = (budgets.press, budgets.frames.m4f_hz);
    let [look, poll] = small_stage();
    within("3 m stage: between two looks at the keys", look, press.look);
    within("3 m stage: between two polls", poll, press.poll);
    let [look, poll] = fullest_question();
    within("fullest question: between two looks at the keys", look, press.look);
    within("fullest question: between two polls", poll, press.poll);
    // On a part of another speed the timer's time is the same, and what it waits for takes as many instructions.
    let at_clock = EVERY_MS * clock / 1_000 + press.look - EVERY_MS * 1_000_000 / NANOS;
    println!("between two looks at {clock} Hz: at most {at_clock} instructions");
    assert!(at_clock * 1_000 <= QUIET_MS * clock, "more than {QUIET_MS} ms at {clock} Hz");
}
