//! Desks that black out, fade, come back and fight: the show goes on as it was.

use super::*;
use crate::engine::{State, step};

/// A show on the floor with a desk that drove it there: cue 2 of 2, brightness down, the key of GO still down.
struct Floor {
    bench: Bench,
    state: State,
    look: Levels,
}

impl Floor {
    fn new() -> Self {
        let mut floor = Self { bench: Bench::new(), state: State::power_up(), look: [0; SLOTS] };
        let keys = Source::Keys;
        floor.input(Input::Arm { from: keys });
        floor.input(Input::Go { to: CueId(0), from: keys });
        let (first, second) = (floor.bench.name_of(0), floor.bench.name_of(1));
        floor.hold(levels(26, first, 0, 255, 0), 1_000);
        floor.hold(levels(26, second, 0, 120, 0), 1_000);
        floor.hold(levels(26, second, 255, 120, 0), 1_000);
        floor.look = levels(77, second, 255, 120, 0);
        floor.hold(floor.look, 1_000);
        assert_eq!((floor.state.cue, floor.state.mode), (Some(CueId(1)), Mode::Brief), "the desk drove the show");
        assert!(floor.state.level < 255);
        floor
    }

    fn input(&mut self, input: Input<'_>) {
        self.state = step(self.state, &self.bench.show, self.bench.now, input).0;
    }

    fn drain(&mut self) {
        for input in self.bench.take() {
            self.input(input);
        }
    }

    fn hold(&mut self, levels: Levels, millis: u64) {
        for _ in 0..millis / STEP.as_millis() {
            self.bench.packet(levels);
            self.drain();
            self.bench.wait(STEP.as_millis());
            self.drain();
        }
    }

    /// The whole desk at `percent` hundredths, as its grand master scales it.
    fn scaled(&self, percent: u64) -> Levels {
        self.look.map(|level| (u64::from(level) * percent / 100) as u8)
    }

    fn fade(&mut self, percents: impl Iterator<Item = u64>, millis_each: u64) {
        for percent in percents {
            self.hold(self.scaled(percent), millis_each);
        }
    }

    /// What must not change; faults come and go with the desk.
    fn picture(&self) -> (Mode, Option<CueId>, Instant, u8, bool) {
        (self.state.mode, self.state.cue, self.state.since, self.state.level, self.state.hold)
    }
}

/// A name, and what the desk does.
type Way = (&'static str, fn(&mut Floor));

/// Ten ways a desk may go dark and come back, each with the show as it was after every step.
#[test]
fn a_blackout_changes_nothing() {
    let ways: [Way; 10] = [
        ("at once", |floor| floor.hold([0; SLOTS], 3_000)),
        ("at once, for a moment", |floor| floor.hold([0; SLOTS], 25)),
        ("faded in 2.5 s", |floor| floor.fade((0..=100).rev(), 25)),
        ("faded in 20 s", |floor| floor.fade((0..=100).rev(), 200)),
        ("flickering", |floor| {
            for _ in 0..40 {
                floor.hold([0; SLOTS], 50);
                floor.hold(floor.look, 25);
            }
        }),
        ("half way and back", |floor| floor.fade((30..=100).rev().chain(30..=100), 50)),
        ("a source of higher priority, all zero", |floor| {
            floor.bench.header = Header { cid: Cid([8; 16]), priority: 200, ..HEADER };
            floor.hold([0; SLOTS], 3_000);
            floor.bench.header = HEADER;
        }),
        ("priority up with the blackout, and down again", |floor| {
            floor.bench.header.priority = 150;
            floor.hold([0; SLOTS], 1_000);
            floor.bench.header.priority = 50;
            floor.hold([0; SLOTS], 1_000);
            floor.bench.header.priority = 100;
        }),
        ("two desks that take turns, one of them dark", |floor| {
            for turn in 0..60_u8 {
                let dark = turn % 2 == 1;
                let (cid, priority) = (Cid([7 + turn % 2; 16]), 100 + turn);
                floor.bench.header = Header { cid, priority, ..HEADER };
                floor.hold(if dark { [0; SLOTS] } else { floor.look }, 50 * u64::from(1 + turn % 5));
            }
            floor.bench.header = HEADER;
            floor.bench.wait(2_500);
            floor.drain();
        }),
        ("no packets at all, and back", |floor| {
            floor.bench.wait(4_000);
            floor.drain();
            assert!(floor.state.outlook(&floor.bench.show, floor.bench.now).faults.has(Fault::Desk));
        }),
    ];
    for (way, darken) in ways {
        for back in [0, 25, 200] {
            let mut floor = Floor::new();
            let before = floor.picture();
            darken(&mut floor);
            assert_eq!(floor.picture(), before, "{way}");
            floor.hold([0; SLOTS], 700);
            assert_eq!(floor.picture(), before, "{way}, dark");
            if back > 0 {
                floor.fade(0..=100, back);
            }
            floor.hold(floor.look, 2_000);
            assert_eq!(floor.picture(), before, "{way}, and back by {back} ms a step");
            assert!(!floor.state.outlook(&floor.bench.show, floor.bench.now).faults.has(Fault::Desk), "{way}");
        }
    }
}

/// No fade of a whole desk makes a GO, whatever cue it names and however its levels round: between GO up and GO down the
/// number cannot stay.
#[test]
fn no_fade_names_the_same_cue_with_go_up_and_down() {
    let rounded = |level: u8, master: u32| [u32::from(level) * master / 255, (u32::from(level) * master + 127) / 255];
    for whole in 0..=255_u8 {
        for rest in 0..100_u8 {
            for rounding in 0..2 {
                let at = |master| {
                    let level = |value| rounded(value, master)[rounding] as u8;
                    cue_of(&levels(0, (level(whole), level(rest)), 0, 0, 0))
                };
                // Masters at which a GO that stands at full is up, at the most, and down, at the least.
                let (up, down) = (at(u32::from(LOW)), at(u32::from(HIGH)));
                assert!(up.is_none() || up != down, "{whole}.{rest}");
            }
        }
    }
}
