//! Somebody rides the trigger faders at random: no cue is skipped, none comes twice, and none comes that was not asked for.
//!
//! What was asked for is judged from the packets alone, looking back from each advance; it shares no code with the core.
//! The rules are those of `core/docs/sacn.md`; its worked example is played first.

use underfoot_core::engine::{Input, Source, State, step};
use underfoot_core::sacn::packet::PACKET_BYTES;
use underfoot_core::sacn::{Cid, Data, Desk, Header, write};
use underfoot_core::show::{Cue, CueId, Mode, Show};
use underfoot_core::units::{Duration, Instant};
use underfoot_tests::dice::Dice;
use underfoot_tests::document::Document;

const UNIVERSE: u16 = 20;

type Levels = [u8; 10];

/// A show, its engine, and a desk that sends to it; everything that was sent, with its time.
struct Stage {
    show: Show,
    state: State,
    desk: Desk,
    now_ms: u64,
    sequence: u8,
    sent: Vec<(u64, Levels)>,
    /// Time and cue of each advance by the slots.
    advances: Vec<(u64, usize)>,
}

impl Stage {
    fn new(cues: &[u32]) -> Self {
        let mut show = Show::vacant();
        show.control.slots_universe = UNIVERSE;
        for &number in cues {
            let cue = Cue { number, mode: Mode::Standby, ..Cue::default() };
            show.cues.push(cue).expect("room for cues");
        }
        let mut desk = Desk::new();
        desk.tune(&show);
        let mut stage =
            Self { show, state: State::power_up(), desk, now_ms: 60_000, sequence: 0, sent: vec![], advances: vec![] };
        stage.enter(Input::Arm { from: Source::Keys });
        stage.enter(Input::Go { to: CueId(0), from: Source::Keys });
        assert_eq!(stage.state.cue, Some(CueId(0)));
        stage
    }

    fn now(&self) -> Instant {
        Instant::from_millis(self.now_ms)
    }

    fn enter(&mut self, input: Input<'_>) {
        let before = self.state.cue;
        self.state = step(self.state, &self.show, self.now(), input).0;
        if let (Some(cue), true) =
            (self.state.cue, self.state.cue != before && matches!(input, Input::Go { from: Source::Slots, .. }))
        {
            self.advances.push((self.now_ms, cue.index()));
        }
    }

    fn send(&mut self, levels: Levels) {
        self.sequence = self.sequence.wrapping_add(1);
        let header = Header {
            cid: Cid([5; 16]),
            name: b"desk",
            priority: 100,
            sync_address: 0,
            sequence: self.sequence,
            preview: false,
            terminated: false,
            force_sync: false,
            universe: UNIVERSE,
        };
        let mut bytes = [0; PACKET_BYTES];
        let len = write(&Data { header, start_code: 0, slots: &levels }, &mut bytes).expect("a packet");
        self.sent.push((self.now_ms, levels));
        let input = self.desk.hear(&bytes[..len], &self.show, self.now()).expect("a good packet");
        if let Some(input) = input {
            self.enter(input);
        }
    }

    fn wait(&mut self, millis: u64) {
        for _ in 0..millis {
            self.now_ms += 1;
            if let Some(input) = self.desk.pass(&self.show, self.now()) {
                self.enter(input);
            }
        }
    }

    fn hold(&mut self, levels: Levels, millis: u64) {
        for _ in 0..millis.div_ceil(25) {
            self.send(levels);
            self.wait(25);
        }
    }
}

/// The demands on an advance that can be seen in the packets before it: GO is down in the last two, they and all back to
/// where GO was up name this cue, and so do all before that, back to where GO was up 100 ms and two packets earlier.
fn was_asked(sent: &[(u64, Levels)], at_ms: u64, number: u32) -> bool {
    let names = |levels: &Levels| u32::from(levels[1]) * 100 + u32::from(levels[2]) == number && levels[9] < 250;
    let back: Vec<&(u64, Levels)> = sent.iter().rev().skip_while(|(t, _)| *t > at_ms).collect();
    let down = back.iter().take_while(|(_, l)| l[3] >= 200).count();
    let rising = back.iter().take_while(|(_, l)| l[3] > 50).count();
    // A touch of GO that was too short for two packets takes nothing back.
    let up: Vec<_> = back[rising..].iter().take_while(|(_, l)| names(l)).filter(|(_, l)| l[3] <= 50).collect();
    let (Some(last), true) = (up.last(), up.len() >= 2 && down >= 2) else { return false };
    let first_pressed = back[rising - 1].0;
    back[..rising].iter().all(|(_, l)| names(l)) && first_pressed - last.0 >= 100
}

#[test]
fn riding_faders_skips_no_cue_and_doubles_none() {
    let numbers: Vec<u32> = (1..=40).map(|n| n * 100 + if n % 3 == 0 { 50 } else { 0 }).collect();
    let (mut advances, mut presses) = (0, 0);
    for seed in 0..40 {
        let mut dice = Dice::new(seed);
        let mut stage = Stage::new(&numbers);
        let mut levels: Levels = [0; 10];
        for _ in 0..400 {
            ride(&mut dice, &mut stage, &mut levels, &numbers);
        }
        // And a clean press in between always works: rest, name, press.
        let next = stage.state.cue.map_or(0, |cue| cue.index() + 1);
        if let Some(&number) = numbers.get(next).filter(|_| stage.state.mode != Mode::Off) {
            let named = [levels[0], (number / 100) as u8, (number % 100) as u8, 0, levels[4], 0, 0, 0, 0, 0];
            stage.hold(named, 500);
            stage.hold(named.map(|level| level).with(3, 255), 100);
            assert_eq!(stage.advances.last().map(|a| a.1), Some(next), "seed {seed}: a clean press");
            presses += 1;
        }
        judge(&stage, &numbers, seed);
        advances += stage.advances.len();
    }
    println!("{advances} advances, {presses} clean presses");
    assert!(advances > 200 && presses > 20, "the riding was wild enough to matter, and not too wild: {advances}");
}

trait With {
    fn with(self, at: usize, level: u8) -> Self;
}

impl With for Levels {
    fn with(mut self, at: usize, level: u8) -> Self {
        self[at] = level;
        self
    }
}

/// One move of a hand that knows a little of what it does.
fn ride(dice: &mut Dice, stage: &mut Stage, levels: &mut Levels, numbers: &[u32]) {
    let now = stage.state.cue.map_or(0, CueId::index);
    match dice.below(12) {
        // Names the next cue, or any.
        0..=2 => {
            let index = if dice.one_in(4) { dice.below(numbers.len()) } else { (now + 1).min(numbers.len() - 1) };
            (levels[1], levels[2]) = ((numbers[index] / 100) as u8, (numbers[index] % 100) as u8);
        }
        3..=5 => levels[3] = if dice.one_in(5) { dice.byte() } else { 255 },
        6..=7 => levels[3] = 0,
        8 => levels[dice.below(3)] = dice.byte(),
        9 => levels[4] = dice.byte(),
        10 => levels[9] = if dice.one_in(3) { 249 } else { 0 },
        _ => {
            // A blackout, and back.
            stage.hold([0; 10], 25 * (1 + dice.below(20) as u64));
        }
    }
    for _ in 0..1 + dice.below(8) {
        // Packets get lost, and desks do not send evenly.
        if dice.one_in(10) {
            stage.wait(dice.below(60) as u64);
        } else {
            stage.send(*levels);
        }
        stage.wait(10 + dice.below(40) as u64);
    }
}

fn judge(stage: &Stage, numbers: &[u32], seed: u64) {
    let mut before = (0, 0);
    for &(at_ms, cue) in &stage.advances {
        assert_eq!(cue, before.1 + 1, "seed {seed}: from cue {} to {cue}", before.1);
        assert!(at_ms - before.0 >= 400, "seed {seed}: two advances within the lockout");
        let near = stage.sent.iter().filter(|(t, _)| at_ms.abs_diff(*t) < 900);
        assert!(
            was_asked(&stage.sent, at_ms, numbers[cue]),
            "seed {seed}: cue {} at {at_ms} ms was not asked for: {:?}",
            numbers[cue],
            near.collect::<Vec<_>>()
        );
        before = (at_ms, cue);
    }
}

/// The table of the document: time in ms, ten levels held from then on, what the box does by the next line.
#[test]
fn the_worked_example_does_what_it_says() {
    let lines = Document::of_core("sacn.md").block("slots");
    assert!(lines.len() >= 8, "the example tells a story");
    let mut stage = Stage::new(&[100, 450, 500]);
    let start = stage.now_ms;
    for (at, line) in lines.iter().enumerate() {
        let levels: Vec<u8> = line[1..11].iter().map(|word| word.parse().expect("a level")).collect();
        let until: u64 = lines.get(at + 1).map_or_else(|| number(&line[0]) + 2_000, |next| number(&next[0]));
        stage.hold(levels.try_into().expect("ten levels"), until - number(&line[0]));
        assert_eq!(stage.now_ms - start, until, "lines are multiples of 25 ms apart");
        let (cue, mode, level) = (&line[11], &line[12], &line[13]);
        let shown = stage.state.cue.map(|cue| stage.show.cues[cue.index()].number);
        assert_eq!(shown, Some((cue.parse::<f32>().unwrap() * 100.0).round() as u32), "{line:?}");
        assert_eq!(format!("{:?}", stage.state.mode).to_uppercase(), *mode, "{line:?}");
        assert_eq!(stage.state.level.to_string(), *level, "{line:?}");
    }
    assert!(Duration::from_millis(stage.now_ms - start).as_millis() > 5_000);
}

fn number(word: &str) -> u64 {
    word.parse().expect("a number")
}
