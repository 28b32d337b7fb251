//! What people do now and then, by a seed: keys, the on-air light, the desk and the lighting desk.

use std::collections::VecDeque;

use underfoot_core::link::Request;
use underfoot_core::ports::Key;
use underfoot_core::show::{CueId, Mode};
use underfoot_core::units::{Duration, Instant};

use super::model::Model;
use crate::dice::Dice;
use crate::rules::{Door, Event, Floor, Hand};

/// A key counts so long after its first touch (`core/docs/panel.md`).
const SETTLE_MS: u64 = 30;
/// And does what it is held for so much later.
const HELD_MS: u64 = SETTLE_MS + 600;
/// From an act to the look at what came of it.
const LOOK_MS: u64 = 1_600;

/// One thing to do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Do {
    /// A key goes down, or up.
    Key(Key, bool),
    /// The on-air light.
    Light(bool),
    /// The lighting desk sends these levels from now on.
    Levels([u8; 10]),
    /// The lighting desk presses GO to this cue, counted from 0, by the levels that it sends.
    Slots(usize),
    /// The desk asks; this is what it means.
    Ask(Request<'static>, Event),
    /// What was done has come to mean this.
    Means(Event),
    /// GO goes down, and leads to another cue.
    GoDown,
    /// OFF goes down.
    OffDown,
    /// Everything must be as the rules say.
    Look,
}

/// Throws acts, and says what is due.
#[derive(Clone, Debug)]
pub struct Operator {
    dice: Dice,
    due: VecDeque<(Instant, Do)>,
    /// When the next act begins.
    next: Instant,
    /// On the way back through the running order.
    is_going_back: bool,
    is_lit: bool,
}

impl Operator {
    /// Equal seeds do the same.
    pub fn new(seed: u64, now: Instant) -> Self {
        let due = VecDeque::with_capacity(16);
        // The light counts as lit until it was seen dark.
        Self { dice: Dice::new(seed), due, next: now, is_going_back: false, is_lit: true }
    }

    /// The next thing that is due at `now`.
    pub fn take(&mut self, now: Instant) -> Option<Do> {
        self.due.pop_front_if(|(at, _)| *at <= now).map(|(_, what)| what)
    }

    /// True between two acts.
    pub fn is_idle(&self) -> bool {
        self.due.is_empty()
    }

    /// Begins an act when one is due. `calm` says that nobody sends levels that the lighting desk did not mean.
    pub fn act(&mut self, now: Instant, model: &Model, calm: bool) {
        if !self.is_idle() || now < self.next {
            return;
        }
        self.throw(now, model, calm);
        self.push(now, LOOK_MS, Do::Look);
        self.next = now.after(Duration::from_millis(LOOK_MS + 900 + self.dice.below(3_000) as u64));
    }

    fn push(&mut self, now: Instant, ms: u64, what: Do) {
        self.due.push_back((now.after(Duration::from_millis(ms)), what));
    }

    fn throw(&mut self, now: Instant, model: &Model, calm: bool) {
        let book = model.book();
        let (open, armed) = match book.door(now.as_micros()) {
            Door::Open => (true, false),
            Door::Armed(_) => (false, true),
            _ => return self.hold_key(now, Key::Hold, Event::Arm),
        };
        self.is_going_back = match (book.next(), book.back()) {
            (None, _) => true,
            (_, None) => false,
            _ => self.is_going_back,
        };
        match self.dice.below(100) {
            _ if armed => self.go(now, model),
            0..8 => self.light(now),
            8..20 if book.is_held() => self.tap(now, Key::Hold, Event::Hold(false, Hand::Keys)),
            8..12 => self.tap(now, Key::Hold, Event::Hold(true, Hand::Keys)),
            12..22 => self.ask_mode(now),
            22..25 => {
                self.push(now, 0, Do::OffDown);
                self.tap(now, Key::Off, Event::Off);
            }
            25..27 => self.push(now, 0, Do::Ask(Request::Off, Event::Off)),
            27..37 => self.desk(now, model),
            37..47 if open && calm => self.slots(now, model),
            _ if self.is_going_back => self.back(now, model),
            _ => self.go(now, model),
        }
    }

    fn tap(&mut self, now: Instant, key: Key, event: Event) {
        self.push(now, 0, Do::Key(key, true));
        self.push(now, SETTLE_MS, Do::Means(event));
        self.push(now, 90, Do::Key(key, false));
    }

    fn hold_key(&mut self, now: Instant, key: Key, event: Event) {
        self.push(now, 0, Do::Key(key, true));
        self.push(now, HELD_MS, Do::Means(event));
        self.push(now, HELD_MS + 90, Do::Key(key, false));
    }

    fn go(&mut self, now: Instant, model: &Model) {
        if let Some(to) = model.book().next() {
            self.push(now, 0, Do::GoDown);
            self.tap(now, Key::Go, Event::Go(to, Hand::Keys));
        }
    }

    fn back(&mut self, now: Instant, model: &Model) {
        if let Some(to) = model.book().back() {
            self.hold_key(now, Key::Back, Event::Back(to, Hand::Keys));
        }
    }

    fn light(&mut self, now: Instant) {
        self.is_lit = !self.is_lit;
        self.push(now, 0, Do::Light(self.is_lit));
        self.push(now, SETTLE_MS, Do::Means(Event::Light(self.is_lit)));
    }

    /// The desk asks for a mode; on air it is refused most of them.
    fn ask_mode(&mut self, now: Instant) {
        const MODES: [(Option<Mode>, Option<Floor>); 5] = [
            (None, None),
            (Some(Mode::Brief), Some(Floor::Brief)),
            (Some(Mode::Reset), Some(Floor::Reset)),
            (Some(Mode::Air), Some(Floor::Air)),
            (Some(Mode::Worklight), Some(Floor::Worklight)),
        ];
        let (mode, floor) = MODES[self.dice.below(MODES.len())];
        self.push(now, 0, Do::Ask(Request::Mode { mode }, Event::Ask(floor)));
    }

    /// The desk goes on or back; in HOLD it is refused.
    fn desk(&mut self, now: Instant, model: &Model) {
        let cue = |to: usize| CueId(to as u8);
        let book = model.book();
        match (book.next(), book.back()) {
            (_, Some(to)) if self.is_going_back => {
                self.push(now, 0, Do::Ask(Request::Back { to: cue(to) }, Event::Back(to, Hand::Desk)));
            }
            (Some(to), _) => self.push(now, 0, Do::Ask(Request::Go { to: cue(to) }, Event::Go(to, Hand::Desk))),
            _ => {}
        }
    }

    /// The lighting desk names the next cue, presses GO, and rests.
    fn slots(&mut self, now: Instant, model: &Model) {
        let Some(to) = model.book().next() else { return };
        let number = model.number(to);
        let mut levels = [0; 10];
        (levels[1], levels[2]) = ((number / 100) as u8, (number % 100) as u8);
        self.push(now, 0, Do::Levels(levels));
        levels[3] = 255;
        self.push(now, 500, Do::Slots(to));
        self.push(now, 500, Do::Levels(levels));
        self.push(now, 800, Do::Levels([0; 10]));
    }
}
