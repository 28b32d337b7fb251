//! Boxes without engines: each has a word that it would show, and the one in charge decides it.

use std::vec;
use std::vec::Vec;

use super::*;
use crate::engine::Source;
use crate::limits;
use crate::show::{CueId, Mode};
use crate::units::{Duration, Instant};

const PACK: u32 = 0x1234_5678;

/// A box with the least engine: GO shows the cue, OFF makes it dark.
struct Mock {
    crew: Crew,
    state: Shared,
    /// Cannot be heard and hears nothing.
    is_cut: bool,
}

struct Stage {
    boxes: Vec<Mock>,
    now: Instant,
}

fn pair() -> Roster {
    let mut show = crate::test_support::samples::small();
    show.control.backup = true;
    for canvas in &mut show.canvases {
        canvas.controller = 1;
    }
    Roster::of(&show)
}

fn lit(cue: u8) -> Shared {
    Shared { mode: Mode::Air, running: true, cue: Some(CueId(cue)), ..Shared::POWER_UP }
}

const MAIN: Seat = Seat { controller: 1, backup: false };
const BACKUP: Seat = Seat { controller: 1, backup: true };

impl Mock {
    fn new(seat: Seat, now: Instant) -> Self {
        let mut crew = Crew::new(seat);
        crew.begin(seat, Some((PACK, pair())), now);
        Self { crew, state: Shared::POWER_UP, is_cut: false }
    }

    fn take(&mut self, ask: Ask) {
        match ask {
            Ask::Go(cue, _) => self.state = lit(cue.0),
            Ask::Hold(on, _) => self.state.hold = on,
            _ => {}
        }
    }

    fn press(&mut self, ask: Ask, now: Instant) {
        if self.crew.decides() { self.take(ask) } else { assert!(self.crew.ask(ask, now)) }
    }

    fn off(&mut self, now: Instant) {
        self.state.running = false;
        self.crew.off(now);
    }

    fn hear(&mut self, bytes: &[u8], now: Instant) {
        let news = self.crew.hear(bytes, now).unwrap();
        if news.off {
            self.state.running = false;
        }
        if let Some(state) = news.adopt {
            self.state = state;
        }
        news.asks.iter().for_each(|ask| self.take(*ask));
    }
}

impl Stage {
    fn of_pair() -> Self {
        let boxes = vec![Mock::new(MAIN, Instant::ZERO), Mock::new(BACKUP, Instant::ZERO)];
        let mut stage = Self { boxes, now: Instant::ZERO };
        stage.run(1_000);
        stage
    }

    /// Milliseconds of a network without delay.
    fn run(&mut self, millis: u64) {
        for _ in 0..millis {
            self.now = self.now.after(Duration::from_millis(1));
            for from in 0..self.boxes.len() {
                self.turn(from);
            }
        }
    }

    fn turn(&mut self, from: usize) {
        let now = self.now;
        let sender = &mut self.boxes[from];
        sender.crew.pass(sender.state, now);
        while let Some(ask) = sender.crew.take_ask() {
            sender.take(ask);
        }
        let (Some(beat), false) = (sender.crew.beat(sender.state, now), sender.is_cut) else { return };
        let mut bytes = [0; BEAT_BYTES];
        let len = beat.write(&mut bytes).unwrap();
        let others = self.boxes.iter_mut().enumerate().filter(|(i, other)| *i != from && !other.is_cut);
        others.for_each(|(_, other)| other.hear(&bytes[..len], now));
    }

    fn in_charge(&self) -> Vec<usize> {
        (0..self.boxes.len()).filter(|i| self.boxes[*i].crew.decides()).collect()
    }

    fn shown(&self) -> Vec<Option<u8>> {
        self.boxes.iter().map(|b| b.state.cue.filter(|_| b.state.running).map(|c| c.0)).collect()
    }
}

fn go(cue: u8) -> Ask {
    Ask::Go(CueId(cue), Source::Keys)
}

#[test]
fn main_is_in_charge_and_backup_follows() {
    let mut stage = Stage::of_pair();
    assert_eq!(stage.in_charge(), [0]);
    let now = stage.now;
    stage.boxes[0].press(go(0), now);
    stage.run(2);
    assert_eq!(stage.shown(), [Some(0), Some(0)]);
    assert!(stage.boxes[0].crew.drives() && !stage.boxes[1].crew.drives());
}

#[test]
fn a_press_at_the_backup_is_decided_once_by_main() {
    let mut stage = Stage::of_pair();
    let now = stage.now;
    stage.boxes[1].press(go(3), now);
    stage.run(3);
    assert_eq!(stage.shown(), [Some(3), Some(3)]);
    assert!(!stage.boxes[1].crew.is_asking());
    // The ask is under way several times; a later press at main is not undone by its repeats.
    let now = stage.now;
    stage.boxes[0].press(go(4), now);
    stage.run(1_000);
    assert_eq!(stage.shown(), [Some(4), Some(4)]);
}

#[test]
fn silence_makes_the_backup_take_over_and_main_does_not_take_back() {
    let mut stage = Stage::of_pair();
    let now = stage.now;
    stage.boxes[0].press(go(2), now);
    stage.run(100);
    stage.boxes[0].is_cut = true;
    stage.run(SILENCE.as_millis() + 1);
    assert!(stage.boxes[1].crew.decides() && stage.boxes[1].crew.drives());
    assert_eq!(stage.shown()[1], Some(2));
    // Main got no power for a while and comes back knowing nothing.
    stage.boxes[0] = Mock::new(MAIN, stage.now);
    stage.run(2_000);
    assert_eq!((stage.in_charge(), stage.shown()), (vec![1], vec![Some(2), Some(2)]));
}

#[test]
fn a_press_that_the_dying_box_did_not_pass_on_is_decided_by_its_successor() {
    let mut stage = Stage::of_pair();
    let now = stage.now;
    stage.boxes[0].press(go(2), now);
    stage.run(100);
    stage.boxes[0].is_cut = true;
    let now = stage.now;
    stage.boxes[1].press(go(3), now);
    stage.run(300);
    assert_eq!(stage.shown()[1], Some(3));
}

#[test]
fn after_a_split_the_side_where_people_pressed_stays_in_charge() {
    for pressed in [0, 1] {
        let mut stage = Stage::of_pair();
        let now = stage.now;
        stage.boxes[0].press(go(2), now);
        stage.run(100);
        stage.boxes[0].is_cut = true;
        stage.run(10);
        // At once, before anybody can know of the split.
        let now = stage.now;
        stage.boxes[pressed].press(go(3), now);
        stage.run(1_000);
        assert_eq!(stage.in_charge(), [0, 1]);
        stage.boxes[0].is_cut = false;
        stage.run(60);
        assert_eq!((stage.in_charge(), stage.shown()), (vec![pressed], vec![Some(3), Some(3)]));
        let drivers = [0, 1].map(|i: usize| stage.boxes[i].crew.drives());
        assert_eq!(drivers[pressed] as u8 + drivers[1 - pressed] as u8, 1);
    }
}

#[test]
fn off_is_obeyed_by_all_whoever_is_in_charge_and_left_by_all() {
    for pressed in [0, 1] {
        let mut stage = Stage::of_pair();
        let now = stage.now;
        stage.boxes[0].press(go(2), now);
        stage.run(100);
        let now = stage.now;
        stage.boxes[pressed].off(now);
        stage.run(1);
        assert_eq!(stage.shown(), [None, None]);
        stage.run(1_000);
        assert_eq!(stage.shown(), [None, None]);
        let now = stage.now;
        stage.boxes[pressed].press(go(2), now);
        stage.run(3);
        assert_eq!(stage.shown(), [Some(2), Some(2)]);
        stage.run(1_000);
        assert_eq!(stage.shown(), [Some(2), Some(2)]);
    }
}

#[test]
fn off_wins_when_a_split_ends() {
    for (off, more) in [(0, false), (1, false), (0, true), (1, true)] {
        let mut stage = Stage::of_pair();
        let now = stage.now;
        stage.boxes[0].press(go(2), now);
        stage.run(100);
        stage.boxes[0].is_cut = true;
        stage.run(500);
        let now = stage.now;
        stage.boxes[off].off(now);
        if more {
            // The other side goes on, and its claim is the greater one.
            (3..6).for_each(|cue| {
                let now = stage.now;
                stage.boxes[1 - off].press(go(cue), now);
                stage.run(500);
            });
        }
        stage.boxes[0].is_cut = false;
        stage.run(60);
        assert_eq!(stage.shown(), [None, None], "OFF at {off}, more {more}");
        assert_eq!(stage.in_charge().len(), 1);
        stage.run(1_000);
        assert_eq!(stage.shown(), [None, None]);
    }
}

#[test]
fn a_box_with_another_show_has_no_part_and_both_say_so() {
    let mut stage = Stage::of_pair();
    let now = stage.now;
    stage.boxes[0].press(go(2), now);
    stage.boxes[1].crew.begin(BACKUP, Some((PACK + 1, pair())), now);
    stage.boxes[1].state = Shared::POWER_UP;
    stage.run(2_000);
    assert_eq!(stage.shown(), [Some(2), None]);
    assert_eq!(stage.boxes[0].crew.misfit(stage.now), Some(Misfit::OtherShow(BACKUP)));
    assert_eq!(stage.boxes[1].crew.misfit(stage.now), Some(Misfit::OtherShow(MAIN)));
}

#[test]
fn the_longest_beat_fits() {
    let seat = Seat { controller: 255, backup: true };
    let stand = Stand { in_charge: true, seasoned: true, epoch: u32::MAX };
    let beat = Beat {
        seat,
        pack: u32::MAX,
        sequence: u32::MAX,
        decides: stand,
        drives: stand,
        off: OffTag { count: u16::MAX, seat },
        stop: true,
        desk: true,
        state: Shared {
            mode: Mode::Worklight,
            over: Some(Mode::Worklight),
            over_us: u64::MAX,
            running: true,
            held: true,
            cue: Some(CueId(255)),
            since_us: u64::MAX,
            lockout_us: u32::MAX,
            armed_us: u32::MAX,
            hold: true,
            hold_by_keys: true,
            by: Some(Source::Crew),
            level: 255,
        },
        asked: u16::MAX,
        asks: (0..ASKS).map(|_| Ask::Mode(Some(Mode::Worklight), Source::Crew)).collect(),
        changes: (0..CHANGES_TOLD)
            .map(|_| Stamped { stamp: u16::MAX, change: Change::Prop { id: 255, dx_mm: i16::MIN, dy_mm: i16::MIN } })
            .collect(),
        settled: (0..limits::CREW).map(|_| (seat, u16::MAX)).collect(),
    };
    let mut bytes = [0; BEAT_BYTES];
    let len = beat.write(&mut bytes).unwrap();
    assert_eq!(Beat::read(&bytes[..len]), Ok(beat));
}

#[test]
fn damage_is_found() {
    let mut bytes = [0; BEAT_BYTES];
    let len = Beat::default().write(&mut bytes).unwrap();
    assert_eq!(Beat::read(&bytes[..len]), Ok(Beat::default()));
    for i in 0..len {
        let mut hit = bytes;
        hit[i] ^= 0x10;
        assert!(Beat::read(&hit[..len]).is_err(), "byte {i}");
        assert!(Beat::read(&bytes[..i]).is_err(), "cut at {i}");
    }
    assert_eq!(Beat::read(&[]), Err(BeatError::TooShort));
}
