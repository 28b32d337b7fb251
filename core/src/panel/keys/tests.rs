use std::vec::Vec;

use super::*;

/// Numbers that look random: Marsaglia's xorshift with 64 bits ("Xorshift RNGs", 2003).
struct Dice(u64);

impl Dice {
    fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) % end
    }
}

/// What an oracle of one key says of it, millisecond by millisecond.
///
/// It keeps every level that it ever saw and looks back over all of them each time; it shares nothing with the code
/// under test but the definition.
struct Oracle {
    seen: Vec<bool>,
    down: bool,
    hasty: bool,
    /// Where the last rest at the settled level ended.
    rest: usize,
}

impl Oracle {
    fn new(hasty: bool) -> Self {
        Self { seen: Vec::new(), down: false, hasty, rest: 0 }
    }

    /// Levels of the last `ms` milliseconds, this one included, were all `level`: looks at both ends count.
    fn was(&self, level: bool, ms: usize) -> bool {
        self.seen.len() > ms && self.seen.iter().rev().take(ms + 1).all(|&l| l == level)
    }

    fn hear(&mut self, level: bool) -> bool {
        self.seen.push(level);
        let t = self.seen.len() - 1;
        if self.was(self.down, 30) {
            self.rest = t;
        }
        let touch = (self.rest..=t).find(|&i| self.seen[i] != self.down);
        let quiet = if self.hasty && !self.down { 5 } else { 30 };
        let changed = touch.is_some_and(|touch| t >= touch + 30) && self.was(!self.down, quiet);
        if changed {
            self.down = !self.down;
            self.rest = t;
        }
        changed
    }
}

fn at(ms: u64) -> Instant {
    Instant::from_millis(1_000 + ms)
}

fn levels(keys: u8) -> Levels {
    Levels { keys, ..Levels::default() }
}

/// Holds `keys` for `ms` milliseconds and collects what is told, with its time.
fn hold(panel: &mut Keys, now: &mut u64, keys: u8, ms: u64) -> Vec<(u64, KeyEvent)> {
    let mut told = Vec::new();
    for _ in 0..ms {
        *now += 1;
        told.extend(panel.feed(at(*now), levels(keys)).into_iter().map(|event| (*now, event)));
    }
    told
}

fn fresh() -> (Keys, u64) {
    let mut panel = Keys::new();
    assert!(panel.feed(at(0), levels(0)).is_empty());
    (panel, 0)
}

/// Keys that chatter at any rhythm, for any time: every settled change of the oracle is told once, at that millisecond,
/// and nothing else.
#[test]
fn whatever_contacts_do_each_settled_change_is_told_once_and_in_time() {
    for (seed, key) in (0..60).flat_map(|seed| [(seed, Key::Hold), (seed, Key::Off)]) {
        let mut dice = Dice::new(seed);
        let (mut panel, mut oracle) = (Keys::new(), Oracle::new(key == Key::Off));
        let (mut level, mut presses) = (false, 0);
        for ms in 0..6_000 {
            // Rests of some 2, 20 or 100 ms: chatter, worn contacts and presses.
            let rest = [2, 20, 100][(ms / 500 + seed as usize) % 3];
            level ^= ms > 0 && dice.below(rest) == 0;
            let told = panel.feed(at(ms as u64), levels(if level { key.bit() } else { 0 }));
            let told: Vec<KeyEvent> = told.into_iter().filter(|e| !matches!(e, KeyEvent::Held(_))).collect();
            let expected = match oracle.hear(level) {
                true if oracle.down => Some(KeyEvent::Pressed(key)),
                true => Some(KeyEvent::Released(key)),
                false => None,
            };
            presses += usize::from(told.contains(&KeyEvent::Pressed(key)));
            assert_eq!(told, expected.into_iter().collect::<Vec<_>>(), "seed {seed}, {key:?}, {ms} ms");
        }
        assert!(presses > 5, "seed {seed}: {presses}");
    }
}

/// Contacts of keys come to rest within 5 ms (data sheets of tactile switches, common practice); worn ones here within
/// 25. However they bounce, one press is one press, and OFF is told within 35 ms of the first touch.
#[test]
fn off_is_told_within_35_ms_however_it_bounces() {
    for seed in 0..200 {
        let mut dice = Dice::new(seed);
        let (mut panel, mut now) = fresh();
        let bounce = 1 + dice.below(25);
        let mut told = Vec::new();
        for ms in 0..bounce {
            let down = ms == 0 || dice.below(2) == 0;
            told.extend(hold(&mut panel, &mut now, if down { Key::Off.bit() } else { 0 }, 1));
        }
        told.extend(hold(&mut panel, &mut now, Key::Off.bit(), 60));
        assert_eq!(told.len(), 1, "seed {seed}: {told:?}");
        assert_eq!(told[0].1, KeyEvent::Pressed(Key::Off));
        assert!(told[0].0 <= 1 + 35, "seed {seed}: {} ms", told[0].0 - 1);
    }
}

/// Looks every 4 ms, as a box that paints between them takes.
#[test]
fn off_is_told_within_35_ms_at_the_pace_of_a_busy_box() {
    for shift in 0..4 {
        let mut panel = Keys::new();
        let press = 1_000 + shift;
        let looks = (0..400).map(|i| i * 4);
        let told = looks.clone().find(|&ms| {
            let down = if ms >= press { Key::Off.bit() } else { 0 };
            panel.feed(at(ms), levels(down)).contains(&KeyEvent::Pressed(Key::Off))
        });
        assert!(told.is_some_and(|ms| ms <= press + 35), "{press}: {told:?}");
    }
}

#[test]
fn a_press_shorter_than_its_bounce_is_none() {
    for key in Key::ALL {
        let (mut panel, mut now) = fresh();
        let mut told = hold(&mut panel, &mut now, key.bit(), 3);
        told.extend(hold(&mut panel, &mut now, 0, 200));
        assert_eq!(told, [], "{key:?}");
    }
}

#[test]
fn a_long_press_is_told_once_at_0_6_s_and_not_before() {
    for key in Key::ALL {
        let (mut panel, mut now) = fresh();
        let told = hold(&mut panel, &mut now, key.bit(), 3_000);
        // Down at 1 ms, settled 30 ms later, held for 600.
        assert_eq!(told, [(31, KeyEvent::Pressed(key)), (631, KeyEvent::Held(key))]);
        assert_eq!(hold(&mut panel, &mut now, 0, 100), [(3_031, KeyEvent::Released(key))]);
    }
    let (mut panel, mut now) = fresh();
    let mut told = hold(&mut panel, &mut now, Key::Back.bit(), 599);
    told.extend(hold(&mut panel, &mut now, 0, 200));
    assert_eq!(told, [(31, KeyEvent::Pressed(Key::Back)), (630, KeyEvent::Released(Key::Back))]);
}

#[test]
fn a_key_stuck_at_power_up_says_nothing_until_it_was_up() {
    for key in Key::ALL {
        let mut panel = Keys::new();
        let mut now = 0;
        let mut told = hold(&mut panel, &mut now, key.bit(), 5_000);
        assert_eq!(panel.stuck(), key.bit());
        assert!(!panel.contacts().clear);
        // It may bounce on its way up.
        for down in [0, key.bit(), 0, key.bit()] {
            told.extend(hold(&mut panel, &mut now, down, 4));
        }
        told.extend(hold(&mut panel, &mut now, 0, 50));
        assert_eq!((told, panel.stuck()), (Vec::new(), 0), "{key:?}");
        let told = hold(&mut panel, &mut now, key.bit(), 50);
        assert_eq!(told.len(), 1, "{key:?}");
    }
}

#[test]
fn a_stuck_key_does_not_disarm_the_others() {
    for (stuck, key) in Key::ALL.into_iter().flat_map(|s| Key::ALL.map(|k| (s, k))).filter(|(s, k)| s != k) {
        let (mut panel, mut now) = (Keys::new(), 0);
        assert_eq!(hold(&mut panel, &mut now, stuck.bit(), 100), []);
        let told = hold(&mut panel, &mut now, stuck.bit() | key.bit(), 700);
        assert_eq!(told.iter().map(|t| t.1).collect::<Vec<_>>(), [KeyEvent::Pressed(key), KeyEvent::Held(key)]);
    }
}

/// The first key of two under one hand acts, the second slips, and nothing comes of holding either: but OFF and CLEAR
/// count beside every key.
#[test]
fn chords_do_at_most_what_their_first_key_does() {
    for (first, second) in Key::ALL.into_iter().flat_map(|f| Key::ALL.map(|s| (f, s))).filter(|(f, s)| f != s) {
        let (mut panel, mut now) = fresh();
        let mut told = hold(&mut panel, &mut now, first.bit(), 8);
        told.extend(hold(&mut panel, &mut now, first.bit() | second.bit(), 1_000));
        told.extend(hold(&mut panel, &mut now, 0, 100));
        let told: Vec<KeyEvent> = told.into_iter().map(|t| t.1).collect();
        let count = |event| told.iter().filter(|e| **e == event).count();
        let slips = first != Key::Clear && !matches!(second, Key::Off | Key::Clear);
        assert_eq!(count(KeyEvent::Pressed(first)), 1, "{first:?} {second:?}");
        assert_eq!(count(KeyEvent::Pressed(second)), usize::from(!slips), "{first:?} {second:?}");
        assert_eq!(count(KeyEvent::Slipped(second)), usize::from(slips), "{first:?} {second:?}");
        // What a hand holds while it presses CLEAR it still holds.
        let spoilt = second != Key::Clear && first != Key::Clear;
        assert_eq!(count(KeyEvent::Held(first)), usize::from(!spoilt), "{first:?} {second:?}");
        assert_eq!(count(KeyEvent::Held(second)), usize::from(!slips), "{first:?} {second:?}");
        assert_eq!(count(KeyEvent::Released(first)) + count(KeyEvent::Released(second)), 2);
    }
}

#[test]
fn the_stop_contact_counts_at_once_at_power_up_and_settles_after() {
    let mut panel = Keys::new();
    let with = |stop| Levels { stop, ..Levels::default() };
    panel.feed(at(0), with(true));
    assert!(panel.contacts().stop);
    let opened = (1..200).find(|&ms| {
        panel.feed(at(ms), with(false));
        !panel.contacts().stop
    });
    assert_eq!(opened, Some(31));
    let closed = (201..400).find(|&ms| {
        panel.feed(at(ms), with(ms % 9 != 0));
        panel.contacts().stop
    });
    assert!(closed.is_some_and(|ms| ms <= 201 + 35), "a contact that never rests still stops: {closed:?}");
}

#[test]
fn a_light_counts_as_lit_until_it_was_seen_dark() {
    let mut panel = Keys::new();
    let with = |on_air| Levels { on_air, ..Levels::default() };
    let mut told = Vec::new();
    for (ms, on_air) in [
        (0, None),
        (10, Some(false)),
        (20, Some(false)),
        (40, Some(false)),
        (50, Some(true)),
        (60, Some(false)),
        (95, None),
        (100, Some(false)),
    ] {
        panel.feed(at(ms), with(on_air));
        told.push(panel.contacts().on_air);
    }
    let lit = Some(true);
    assert_eq!(told, [None, lit, lit, Some(false), Some(false), Some(false), None, lit]);
}
