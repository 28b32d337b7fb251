mod looks;

use std::boxed::Box;
use std::vec;
use std::vec::Vec;

use super::*;
use crate::device::hardware::Setup;
use crate::device::memory::Memory;
use crate::engine::{Fault, Faults};
use crate::limits;
use crate::pack;
use crate::ports::{Geometry, Lamp, Levels};
use crate::show::{Mode, Show};
use crate::store::Store;
use crate::test_support::mock_flash::MockFlash;
use crate::test_support::mock_ports::{MockHardware, MockNet, MockPanel, MockRows};
use crate::test_support::samples;
use crate::units::Duration;

/// A box with a show and a hand on its keys, looked at every millisecond.
struct Bench {
    works: Works<'static, MockHardware>,
    panel: MockPanel,
    now: Instant,
    levels: Levels,
}

const ARMING: u64 = 700;

impl Bench {
    fn with(show: &Show, levels: Levels) -> Self {
        let flash = MockFlash::new(Geometry { capacity: 2 * 36 * 1024 + 2 * 4096, erase: 4096, write: 4 });
        let mut bytes = vec![0; limits::PACK_BYTES];
        let len = pack::encode(show, &mut bytes).unwrap();
        let mut store = Store::open(flash).unwrap_or_else(|_| panic!());
        store.save(&bytes[..len]).unwrap_or_else(|_| panic!());
        let panel = MockPanel::default();
        let ports = (MockNet::default(), store.into_flash(), MockRows::default(), panel.clone());
        let memory = Box::leak(Box::new(Memory::new()));
        let works = Works::new(memory, Setup::FIRST, ports, Instant::ZERO).unwrap_or_else(|_| panic!());
        let mut bench = Self { works, panel, now: Instant::from_millis(5_000), levels };
        bench.wait(50);
        bench
    }

    fn new() -> Self {
        Self::with(&samples::small(), Levels::default())
    }

    fn lit() -> Self {
        let mut bench = Self::new();
        bench.hold(Key::Hold, ARMING);
        bench.tap(Key::Go);
        assert_eq!(bench.ticks(), [Haptic::Taken, Haptic::Taken]);
        bench.wait(400);
        bench
    }

    fn wait(&mut self, millis: u64) {
        for _ in 0..millis {
            self.now = self.now.after(Duration::from_millis(1));
            *self.panel.levels.borrow_mut() = self.levels;
            self.works.hands(self.now);
            self.works.pass(self.now);
            self.works.tell(self.now, true);
        }
    }

    /// Keeps a key down for some time, and then up long enough to settle.
    fn hold(&mut self, key: Key, millis: u64) {
        self.levels.keys |= key.bit();
        self.wait(millis);
        self.levels.keys &= !key.bit();
        self.wait(40);
    }

    fn tap(&mut self, key: Key) {
        self.hold(key, 60);
    }

    fn ticks(&mut self) -> Vec<Haptic> {
        self.panel.ticks.borrow_mut().drain(..).collect()
    }

    fn face(&self) -> Face {
        self.panel.shown.borrow().last().cloned().unwrap()
    }

    fn now_shown(&self) -> Option<u8> {
        self.face().now.map(|cue| cue.id.0)
    }

    fn desk(&mut self, to: u8) -> Result<(), Refused> {
        self.works.enter(self.now, Input::Go { to: CueId(to), from: Source::Desk })
    }
}

#[test]
fn go_alone_does_not_leave_off() {
    let mut bench = Bench::new();
    bench.tap(Key::Go);
    bench.hold(Key::Go, 2_000);
    assert_eq!((bench.face().mode, bench.ticks()), (Mode::Off, vec![Haptic::Refused, Haptic::Refused]));
}

#[test]
fn off_is_left_by_hold_kept_down_and_then_go() {
    let mut bench = Bench::lit();
    assert_eq!((bench.face().gate, bench.now_shown()), (Gate::Open, Some(0)));
    assert!(!bench.face().hold, "the key that armed does not hold as well");
    bench.tap(Key::Off);
    assert_eq!((bench.face().mode, bench.ticks()), (Mode::Off, vec![Haptic::Taken]));
    bench.hold(Key::Hold, ARMING);
    assert!(matches!(bench.face().gate, Gate::Armed { left_s: 10 }));
    bench.wait(500);
    bench.tap(Key::Go);
    assert_eq!((bench.now_shown(), bench.face().by), (Some(0), Some(Source::Keys)), "the cue that was on the floor");
}

#[test]
fn a_short_press_of_hold_does_not_arm_and_the_hand_feels_it() {
    let mut bench = Bench::new();
    bench.hold(Key::Hold, 500);
    assert_eq!((bench.face().gate, bench.ticks()), (Gate::Off, vec![Haptic::Refused]));
    bench.tap(Key::Go);
    assert_eq!(bench.face().mode, Mode::Off);
}

/// Whatever lies on the keys when OFF is pressed, it is not the first step out of it.
#[test]
fn a_key_that_is_down_when_off_comes_does_not_arm() {
    let mut bench = Bench::lit();
    bench.levels.keys = Key::Hold.bit();
    bench.wait(100);
    bench.levels.keys |= Key::Off.bit();
    bench.wait(3_000);
    assert_eq!((bench.face().gate, bench.face().hold), (Gate::Off, true));
    bench.levels.keys = 0;
    bench.wait(100);
    assert_eq!(bench.face().gate, Gate::Off);
}

/// The brief's question 13.
#[test]
fn five_presses_in_a_second_are_one_advance() {
    let mut bench = Bench::lit();
    bench.levels.keys = 0;
    for _ in 0..5 {
        bench.hold(Key::Go, 35);
    }
    assert_eq!(bench.now_shown(), Some(1));
    let ticks = bench.ticks();
    assert_eq!(ticks.iter().filter(|t| **t == Haptic::Taken).count(), 1, "{ticks:?}");
}

#[test]
fn go_and_a_desk_in_the_same_moment_advance_once() {
    for lead in 0..80 {
        let mut bench = Bench::lit();
        bench.levels.keys = Key::Go.bit();
        bench.wait(lead);
        let _ = bench.desk(1);
        bench.wait(80);
        assert_eq!(bench.now_shown(), Some(1), "{lead} ms");
    }
}

#[test]
fn back_acts_only_when_it_is_held() {
    let mut bench = Bench::lit();
    bench.tap(Key::Go);
    bench.wait(400);
    bench.ticks();
    bench.hold(Key::Back, 560);
    assert_eq!((bench.now_shown(), bench.ticks()), (Some(1), vec![Haptic::Refused]));
    bench.hold(Key::Back, 640);
    assert_eq!((bench.now_shown(), bench.ticks()), (Some(0), vec![Haptic::Taken]));
    bench.hold(Key::Back, 700);
    assert_eq!((bench.now_shown(), bench.ticks()), (Some(0), vec![Haptic::Refused]), "there is none before the first");
}

#[test]
fn off_acts_within_35_ms_in_every_state() {
    for hold in [false, true] {
        let mut bench = Bench::lit();
        if hold {
            bench.tap(Key::Hold);
        }
        bench.tap(Key::Go);
        bench.levels.keys = Key::Off.bit() | Key::Back.bit();
        bench.wait(35);
        assert_eq!((bench.face().mode, bench.face().gate), (Mode::Off, Gate::Off));
    }
}

#[test]
fn after_a_power_cut_go_has_to_be_held() {
    let mut bench = Bench::new();
    bench.works.enter(bench.now, Input::Loaded { held: Some(CueId(2)) }).unwrap();
    bench.wait(10);
    assert_eq!(bench.face().gate, Gate::Held);
    bench.tap(Key::Go);
    assert_eq!((bench.face().gate, bench.ticks()), (Gate::Held, vec![Haptic::Refused]));
    bench.hold(Key::Go, 700);
    assert_eq!((bench.now_shown(), bench.ticks()), (Some(2), vec![Haptic::Taken]));
}

#[test]
fn in_hold_only_keys_advance_and_hold_ends_it() {
    let mut bench = Bench::lit();
    bench.tap(Key::Hold);
    assert!(bench.face().hold);
    assert_eq!(bench.desk(1), Err(Refused::Held));
    bench.tap(Key::Go);
    assert_eq!(bench.now_shown(), Some(1));
    bench.wait(400);
    bench.tap(Key::Hold);
    assert!(!bench.face().hold);
    assert_eq!(bench.desk(2), Ok(()));
}

#[test]
fn the_stop_contact_darkens_and_nothing_leaves_off_while_it_is_closed() {
    let mut bench = Bench::lit();
    bench.levels.stop = true;
    bench.wait(35);
    assert_eq!((bench.face().mode, bench.face().gate), (Mode::Off, Gate::Stopped));
    bench.hold(Key::Hold, ARMING);
    bench.tap(Key::Go);
    assert_eq!((bench.face().gate, bench.ticks()), (Gate::Stopped, vec![Haptic::Refused, Haptic::Refused]));
    bench.levels.stop = false;
    bench.wait(100);
    assert_eq!(bench.face().gate, Gate::Off, "opening the contact lights nothing");
    bench.hold(Key::Hold, ARMING);
    bench.tap(Key::Go);
    assert_eq!(bench.now_shown(), Some(0));
}

#[test]
fn a_stop_contact_that_is_closed_at_power_up_counts_at_once() {
    let bench = Bench::with(&samples::small(), Levels { stop: true, ..Levels::default() });
    assert_eq!(bench.panel.shown.borrow().first().map(|face| face.gate), Some(Gate::Stopped));
}

#[test]
fn clear_says_so_while_it_is_down() {
    let mut bench = Bench::lit();
    bench.levels.keys = Key::Clear.bit();
    bench.wait(100);
    assert!(bench.works.state.heard.clear_key);
    // It is held while GO is pressed: that is what it is for.
    bench.levels.keys |= Key::Go.bit();
    bench.wait(100);
    assert_eq!(bench.now_shown(), Some(1));
    bench.levels.keys = 0;
    bench.wait(100);
    assert!(!bench.works.state.heard.clear_key);
}

#[test]
fn the_on_air_light_is_heard_while_it_is_wired() {
    let mut show = samples::small();
    show.control.on_air_contact = true;
    let mut bench = Bench::with(&show, Levels { on_air: Some(false), ..Levels::default() });
    bench.hold(Key::Hold, ARMING);
    bench.tap(Key::Go);
    bench.wait(5_000);
    assert_eq!((bench.face().mode, bench.face().faults), (Mode::Brief, Faults::NONE));
    bench.levels.on_air = Some(true);
    bench.wait(35);
    assert_eq!(bench.face().mode, Mode::Air);
    bench.levels.on_air = Some(false);
    bench.wait(35);
    assert_eq!(bench.face().mode, Mode::Brief);
    bench.levels.on_air = None;
    bench.wait(1_100);
    assert_eq!((bench.face().mode, bench.face().faults.has(Fault::Tally)), (Mode::Air, true));
}

#[test]
fn the_display_counts_reset_down() {
    let mut show = samples::small();
    show.cues[0].time_limit_ms = 20_000;
    let mut bench = Bench::with(&show, Levels::default());
    bench.hold(Key::Hold, ARMING);
    bench.tap(Key::Go);
    bench.works.enter(bench.now, Input::Mode { mode: Some(Mode::Reset), from: Source::Desk }).unwrap();
    bench.wait(1);
    // 20 s less the 5 s before T.
    assert_eq!((bench.face().mode, bench.face().mode_left_s), (Mode::Reset, Some(15)));
    bench.wait(14_000);
    assert_eq!(bench.face().mode_left_s, Some(1));
    bench.wait(1_000);
    assert_eq!((bench.face().mode, bench.face().mode_left_s), (Mode::Air, None));
}

#[test]
fn the_lamp_says_dark_waiting_lit_and_broken() {
    let mut bench = Bench::new();
    bench.hold(Key::Hold, ARMING);
    bench.tap(Key::Go);
    bench.works.enter(bench.now, Input::Sense(Sense::Fault(Fault::Port, true))).unwrap();
    bench.wait(1);
    assert_eq!(*bench.panel.lamps.borrow(), [Lamp::Dark, Lamp::Breathing, Lamp::Steady, Lamp::Twice]);
}

#[test]
fn a_display_that_has_nothing_new_to_say_is_left_alone() {
    let mut bench = Bench::lit();
    let shown = bench.panel.shown.borrow().len();
    bench.wait(5_000);
    assert_eq!(bench.panel.shown.borrow().len(), shown);
}
