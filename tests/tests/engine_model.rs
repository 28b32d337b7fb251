//! The cue engine against a second writing of its rules (`tests/src/rules`), a million random inputs, and what must hold
//! whatever happens.

use std::thread;

use underfoot_core::engine::{Fault, Gate, Input, LOCKOUT, Refused, Reveal, Sense, Source, State, step};
use underfoot_core::geom::StagePoint;
use underfoot_core::look::View;
use underfoot_core::show::{Cue, CueId, FrameRate, Mode, Show, Timecode};
use underfoot_core::units::{Duration, Instant};
use underfoot_tests::device::shows::demo;
use underfoot_tests::dice::Dice;
use underfoot_tests::rules::{Book, Door, Event, FAULTS, Floor, Hand, No, Plan, Step, Word};

/// Steps over all shows and seeds.
const STEPS: usize = 1_000_000;
const SEEDS: [u64; 3] = [0xE1, 0xE2, 0xE3];

const MODES: [(Mode, Floor); 7] = [
    (Mode::Build, Floor::Build),
    (Mode::Brief, Floor::Brief),
    (Mode::Standby, Floor::Standby),
    (Mode::Air, Floor::Air),
    (Mode::Reset, Floor::Reset),
    (Mode::Off, Floor::Dark),
    (Mode::Worklight, Floor::Worklight),
];

const HANDS: [(Source, Hand); 5] = [
    (Source::Keys, Hand::Keys),
    (Source::Desk, Hand::Desk),
    (Source::Slots, Hand::Slots),
    (Source::Timecode, Hand::Timecode),
    (Source::Crew, Hand::Crew),
];

fn floor(mode: Mode) -> Floor {
    MODES.iter().find(|(m, _)| *m == mode).expect("a mode").1
}

/// The first numbers of each minute but the tenth that 29.97 leaves out (SMPTE ST 12-1).
const LEFT_OUT: u64 = 2;

/// Numbers of frames in a second, and how many are left out.
fn counting(rate: FrameRate) -> (u64, u64) {
    (u64::from(rate.num.div_ceil(rate.den)), if (rate.num, rate.den) == (30_000, 1001) { LEFT_OUT } else { 0 })
}

/// The frame of a timecode, by walking through the minutes.
fn frame_of(rate: FrameRate, at: Timecode) -> u64 {
    let (fps, out) = counting(rate);
    let minutes = u64::from(at.hours) * 60 + u64::from(at.minutes);
    let before: u64 = (0..minutes).map(|m| fps * 60 - if m % 10 == 0 { 0 } else { out }).sum();
    let left_out = if at.minutes.is_multiple_of(10) { 0 } else { out };
    before + u64::from(at.seconds) * fps + u64::from(at.frames) - left_out
}

/// The timecode of a frame, by walking through the minutes.
fn code_of(rate: FrameRate, mut frame: u64) -> Timecode {
    let (fps, out) = counting(rate);
    let mut minute = 0;
    loop {
        let left_out = if minute % 10 == 0 { 0 } else { out };
        if frame < fps * 60 - left_out {
            let number = frame + left_out;
            let part = |n: u64| u8::try_from(n).expect("within a day");
            let (hours, minutes) = (part(minute / 60), part(minute % 60));
            return Timecode { hours, minutes, seconds: part(number / fps), frames: part(number % fps) };
        }
        frame -= fps * 60 - left_out;
        minute += 1;
    }
}

/// A demo with other modes, limits and times, or a show of a few bare cues.
fn show(dice: &mut Dice, name: &str) -> Box<Show> {
    let mut show = if name.is_empty() { Box::new(Show::default()) } else { demo(name) };
    if name.is_empty() {
        for i in 0..dice.below(4) {
            show.cues.push(Cue { number: 100 * i as u32, ..Cue::default() }).expect("room");
        }
        let rates = [(24, 1), (25, 1), (30_000, 1001), (30, 1), (50, 1)];
        let (num, den) = rates[dice.below(rates.len())];
        show.frame_rate = FrameRate { num, den };
    }
    show.control.on_air_contact = dice.one_in(2);
    let is_timed = dice.one_in(2);
    for cue in &mut show.cues {
        cue.mode = MODES[dice.below(MODES.len())].0;
        cue.time_limit_ms = [0, 3_000, 6_000, 20_000][dice.below(4)];
        // Near a minute's end, where frames are left out.
        let at = code_of(show.frame_rate, 30 * 50 + dice.below(40 * 30) as u64);
        cue.at = (is_timed && !dice.one_in(3)).then_some(at);
    }
    show
}

fn plan(show: &Show) -> Plan {
    let step = |cue: &Cue| Step {
        floor: floor(cue.mode),
        frame: cue.at.map(|at| frame_of(show.frame_rate, at)),
        limit: u64::from(cue.time_limit_ms) * 1_000,
    };
    let rate = (show.frame_rate.num.into(), show.frame_rate.den.into());
    Plan { steps: show.cues.iter().map(step).collect(), has_light: show.control.on_air_contact, rate }
}

/// Somewhere no keep-out reaches.
const FAR: StagePoint = StagePoint::new(180.0, 180.0);

/// The engine and the book, side by side.
struct Pair<'s> {
    show: &'s Show,
    state: State,
    book: Book,
    now: u64,
    dice: Dice,
    /// Timecode as a machine plays it: a frame and when it was there.
    tape: (u64, u64),
    advances: u64,
}

impl Pair<'_> {
    fn wait(&mut self) -> u64 {
        const EDGES: [u64; 8] = [400_000, 399_999, 10_000_000, 1_000_000, 250_000, 500_000, 3_000_000, 1];
        let most = [40_000, 40_000, 400_000, 1_500_000, 12_000_000, 240_000_000];
        match self.dice.below(12) {
            0 => EDGES[self.dice.below(EDGES.len())],
            // Frame by frame, so that timecode runs.
            1..6 => 40_000,
            i => self.dice.below(most[i - 6]) as u64,
        }
    }

    fn cue(&mut self, likely: Option<usize>) -> usize {
        if self.dice.one_in(4) { self.dice.below(self.show.cues.len() + 2) } else { likely.unwrap_or(0) }
    }

    /// Something that happens, as both know it.
    fn event(&mut self) -> (Input<'static>, Event) {
        let (from, hand) = HANDS[self.dice.below(HANDS.len())];
        let on = self.dice.one_in(2);
        let sense = |sense, event| (Input::Sense(sense), event);
        match self.dice.below(40) {
            0..8 => {
                let to = self.cue(self.book.next());
                (Input::Go { to: CueId(to as u8), from }, Event::Go(to, hand))
            }
            8..11 => {
                let to = self.cue(self.book.back());
                (Input::Back { to: CueId(to as u8), from }, Event::Back(to, hand))
            }
            11..15 => (Input::Arm { from }, Event::Arm),
            15 => (Input::Off { from }, Event::Off),
            16..18 => (Input::Hold { on, from }, Event::Hold(on, hand)),
            18..22 => {
                let asked = (!self.dice.one_in(4)).then(|| MODES[self.dice.below(MODES.len())]);
                (Input::Mode { mode: asked.map(|m| m.0), from }, Event::Ask(asked.map(|m| m.1)))
            }
            22 => {
                let held = self.dice.one_in(2).then(|| self.dice.below(self.show.cues.len() + 1));
                if !self.dice.one_in(10) {
                    return (Input::Tick, Event::Pass);
                }
                (Input::Loaded { held: held.map(|cue| CueId(cue as u8)) }, Event::Loaded(held))
            }
            23 => {
                let on = on && self.dice.one_in(4);
                sense(Sense::Stop(on), Event::Stop(on))
            }
            24..27 => {
                let lit = self.dice.one_in(4);
                sense(Sense::OnAir(lit), Event::Light(lit))
            }
            27 => sense(Sense::ClearKey(on), Event::ClearKey(on)),
            28 => sense(Sense::Desk, Event::DeskHeard),
            29..31 => self.people(),
            31 => sense(Sense::Unseen { marks: u64::MAX, props: u32::MAX }, Event::Unseen),
            32 => {
                let (which, is_there) = (self.dice.below(FAULTS), self.dice.one_in(3));
                sense(Sense::Fault(Fault::ALL[which], is_there), Event::Broken(which, is_there))
            }
            33 => (Input::Level { level: self.dice.byte(), from }, Event::Pass),
            34..38 => self.timecode(),
            _ => (Input::Tick, Event::Pass),
        }
    }

    /// Nobody, or one person out of every way: where people are in the way is geometry and has tests of its own.
    fn people(&mut self) -> (Input<'static>, Event) {
        const ONE: &[StagePoint] = &[FAR];
        let people = if self.dice.one_in(2) { ONE } else { &[] };
        (Input::Sense(Sense::Presence(people)), Event::People(false))
    }

    /// The tape runs on, is parked or jumps; now and then a frame is misread.
    fn timecode(&mut self) -> (Input<'static>, Event) {
        let rate = self.show.frame_rate;
        let (frame, at) = self.tape;
        let ran = (self.now - at) * u64::from(rate.num) / (u64::from(rate.den) * 1_000_000);
        let near = 30 * 50 + self.dice.below(40 * 30) as u64;
        let misread = self.dice.one_in(20);
        match self.dice.below(12) {
            0 => self.tape = (near, self.now),
            1..3 => self.tape = (frame, self.now),
            // The frame's own beginning, so that no fraction is lost from read to read.
            _ if frame + ran < 10_000 => {}
            _ => self.tape = (near, self.now),
        }
        let (frame, at) = self.tape;
        let ran = (self.now - at) * u64::from(rate.num) / (u64::from(rate.den) * 1_000_000);
        let read = if misread { near } else { frame + ran };
        (Input::Sense(Sense::Timecode(code_of(rate, read))), Event::Code(read))
    }

    fn step(&mut self, number: usize) {
        self.now += self.wait();
        let (input, event) = self.event();
        let now = Instant::from_micros(self.now);
        let before = self.state;
        let (state, output) = step(before, self.show, now, input);
        let due = self.book.enter(self.now, event);
        let context = || format!("step {number} at {} us: {input:?}\n{before:?}\n{:?}", self.now, self.book);
        assert_eq!(output.verdict.map_err(no), due, "{}", context());
        assert_eq!(output.keep, state.kept() != before.kept(), "{}", context());
        self.state = state;
        self.compare(now, &context);
        self.hold_true(&before, &input, output.verdict, now, &context);
        self.advances += u64::from(self.state.advanced != before.advanced);
    }

    /// What people are told is what the book says.
    fn compare(&self, now: Instant, context: &dyn Fn() -> String) {
        let (told, book) = (self.state.outlook(self.show, now), &self.book);
        let cue = |id: Option<CueId>| id.map(CueId::index);
        assert_eq!(floor(told.mode), book.floor, "{}", context());
        assert_eq!(
            (cue(told.now), cue(told.next), cue(told.back)),
            (book.on(), book.next(), book.back()),
            "{}",
            context()
        );
        assert_eq!(told.gate, gate(book.door(self.now)), "{}", context());
        assert_eq!((told.hold, cue(self.state.kept())), (book.is_held(), book.kept()), "{}", context());
        let by = told.by.map(|by| HANDS.iter().find(|(source, _)| *source == by).expect("a source").1);
        assert_eq!(by, book.by, "{}", context());
        let word = [(Reveal::Clear, Word::Clear), (Reveal::NotClear, Word::NotClear), (Reveal::Unknown, Word::Unknown)];
        assert!(word.contains(&(told.reveal, book.word(self.now))), "{}", context());
        assert_eq!(Fault::ALL.map(|fault| told.faults.has(fault)), book.wrong, "{}", context());
    }

    /// What holds whatever the book says.
    fn hold_true(
        &self,
        before: &State,
        input: &Input<'_>,
        verdict: Result<(), Refused>,
        now: Instant,
        context: &dyn Fn() -> String,
    ) {
        let (state, show) = (&self.state, self.show);
        let view = state.view(show, now);
        assert_eq!((view.mode, view.cue), (state.mode, state.shown()), "{}", context());
        if matches!(input, Input::Off { .. }) || state.heard.stop || !state.running {
            assert_eq!(view, View::new(Mode::Off, None), "nothing is lit in OFF: {}", context());
        }
        if matches!(input, Input::Off { .. }) {
            assert_eq!(verdict, Ok(()), "OFF is always obeyed: {}", context());
        }
        let is_dark = state.heard.on_air.is_some_and(|(lit, at)| !lit && now.since(at) < Duration::from_millis(1_000));
        if show.control.on_air_contact && !is_dark {
            assert!(matches!(view.mode, Mode::Air | Mode::Off), "on air, or unknown: {}", context());
        }
        if view.mode == Mode::Air && state.faults.has(Fault::Tracking) {
            assert_eq!((view.shown.marks, view.shown.props), (0, 0), "nothing hides without poses: {}", context());
        }
        if state.advanced != before.advanced {
            let passed = before.advanced.map_or(LOCKOUT, |last| now.since(last));
            assert!(passed >= LOCKOUT, "an advance after {passed:?}: {}", context());
        }
        if let (Input::Go { to, .. }, Ok(())) = (input, verdict) {
            assert_eq!(state.shown(), Some(*to), "GO is absolute: {}", context());
        }
    }
}

fn no(why: Refused) -> No {
    match why {
        Refused::NoShow => No::NoShow,
        Refused::NotShown { shown } => No::NotShown(shown.map(CueId::index)),
        Refused::Lockout { left } => No::Lockout(left.as_micros()),
        Refused::NotArmed => No::NotArmed,
        Refused::Held => No::Held,
        Refused::Stopped => No::Stopped,
        Refused::OnAir => No::OnAir,
    }
}

fn gate(door: Door) -> Gate {
    match door {
        Door::Open => Gate::Open,
        Door::Shut => Gate::Off,
        Door::Armed(left_us) => Gate::Armed { left_s: left_us.div_ceil(1_000_000) as u8 },
        Door::Held => Gate::Held,
        Door::Stopped => Gate::Stopped,
    }
}

/// Runs one show; how many advances there were.
fn run(seed: u64, name: &str, steps: usize) -> u64 {
    let mut dice = Dice::new(seed);
    let show = show(&mut dice, name);
    let book = Book::new(plan(&show));
    let mut pair = Pair { show: &show, state: State::power_up(), book, now: 0, dice, tape: (30 * 50, 0), advances: 0 };
    (0..steps).for_each(|number| pair.step(number));
    pair.advances
}

#[test]
fn a_million_random_inputs_do_what_the_rules_say() {
    const SHOWS: [&str; 8] = ["clock-cabinet", "", "harbour-hour", "", "lantern-field", "", "", ""];
    let each = STEPS.div_ceil(SHOWS.len() * SEEDS.len());
    let all = move |seed: u64| (0..).zip(SHOWS).map(|(i, name)| run(seed * 1_000 + i, name, each)).sum::<u64>();
    let runs: Vec<_> = SEEDS.into_iter().map(|seed| thread::spawn(move || all(seed))).collect();
    let advances: u64 = runs.into_iter().map(|run| run.join().expect("no difference")).sum();
    // A test that hardly ever advances would say little.
    assert!(advances > STEPS as u64 / 50, "{advances} advances");
}
