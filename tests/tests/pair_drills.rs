//! Main and backup with cables pulled and power cut: whole boxes on a simulated network, with a ledger of presses beside
//! them that shares no code with the engine and says which cue must be on.
//!
//! Bounds: takeover within 300 ms, no cue skipped, none doubled (the brief's feature 23 and question 11). While the two
//! can hear each other and both put rows out, their pictures differ for no longer than [`DISAGREE`].

use std::fmt::Write;

use underfoot_core::device::Setup;
use underfoot_core::limits;
use underfoot_core::pack;
use underfoot_core::ports::{Address, Key};
use underfoot_core::units::{Duration, Instant};
use underfoot_sim::project;
use underfoot_sim::sim::{Boxes, Chance, Rooms, Weather};

/// Longest time without a box in charge, and to the first light of the other one.
const TAKEOVER: Duration = Duration::from_millis(300);
/// Longest time with two different pictures while both boxes are connected: one beat, its way, and a picture.
const DISAGREE: Duration = Duration::from_millis(100);
/// Runs of every drill, each with other moments, delays and losses.
const SEEDS: u64 = 16;

const MAIN: usize = 0;
const BACKUP: usize = 1;

/// What somebody does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Act {
    Cut(usize),
    Boot(usize),
    Unplug(usize),
    Plug(usize),
    /// A press of GO: it leads one cue on.
    Go(usize),
    /// A press of GO at a box that may not live to notice it.
    GoMaybe(usize),
    /// A second press for the cue that a press at the other box asks for too: together they lead one cue on.
    GoToo(usize),
    Off(usize),
    /// The first of the two steps out of OFF.
    Arm(usize),
    /// Everybody who has power and a cable must agree with the ledger now.
    Agree,
}
use Act::{Agree, Arm, Boot, Cut, Go, GoMaybe, GoToo, Off, Plug, Unplug};

/// Name, and what is done when, milliseconds. The show is in its second cue when a drill begins; what is in brackets of
/// `any` comes at any moment within 100 ms.
struct Drill(&'static str, &'static [(u64, Act)]);

const DRILLS: &[Drill] = &[
    Drill("power of main", &[(0, Cut(MAIN)), (1_000, Go(BACKUP)), (1_800, Agree)]),
    Drill(
        "power of main, and back",
        &[(0, Cut(MAIN)), (700, Go(BACKUP)), (1_500, Boot(MAIN)), (2_600, Agree), (2_700, Go(MAIN)), (3_500, Agree)],
    ),
    Drill(
        "cable of main",
        &[
            (0, Unplug(MAIN)),
            (1_000, Go(MAIN)),
            (2_000, Plug(MAIN)),
            (2_600, Agree),
            (2_700, Go(BACKUP)),
            (3_500, Agree),
        ],
    ),
    Drill(
        "cable of backup",
        &[
            (0, Unplug(BACKUP)),
            (1_000, Go(MAIN)),
            (2_000, Plug(BACKUP)),
            (2_600, Agree),
            (2_700, Go(MAIN)),
            (3_500, Agree),
        ],
    ),
    Drill(
        "press at the backup while the cable is out",
        &[
            (0, Unplug(MAIN)),
            (1_000, Go(BACKUP)),
            (2_000, Plug(MAIN)),
            (2_600, Agree),
            (2_700, Go(MAIN)),
            (3_500, Agree),
        ],
    ),
    Drill(
        "cable swap",
        &[
            (0, Unplug(MAIN)),
            (150, Unplug(BACKUP)),
            (900, Plug(MAIN)),
            (1_000, Plug(BACKUP)),
            (1_700, Agree),
            (1_800, Go(MAIN)),
            (2_600, Agree),
        ],
    ),
    Drill(
        "slow cable swap",
        &[
            (0, Unplug(MAIN)),
            (600, Plug(MAIN)),
            (650, Unplug(BACKUP)),
            (1_300, Plug(BACKUP)),
            (2_000, Agree),
            (2_100, Go(BACKUP)),
            (2_900, Agree),
        ],
    ),
    Drill(
        "both cables",
        &[
            (0, Unplug(MAIN)),
            (10, Unplug(BACKUP)),
            (3_000, Plug(BACKUP)),
            (3_100, Plug(MAIN)),
            (3_800, Agree),
            (3_900, Go(MAIN)),
            (4_700, Agree),
        ],
    ),
    Drill(
        "short power bounce of main",
        &[(0, Cut(MAIN)), (60, Boot(MAIN)), (900, Agree), (1_000, Go(MAIN)), (1_800, Agree)],
    ),
    Drill(
        "long power bounce of main",
        &[(0, Cut(MAIN)), (2_000, Boot(MAIN)), (3_000, Agree), (3_100, Go(MAIN)), (3_900, Agree)],
    ),
    Drill(
        "power of the backup, and back",
        &[
            (0, Cut(BACKUP)),
            (700, Go(MAIN)),
            (1_500, Boot(BACKUP)),
            (2_500, Agree),
            (2_600, Go(BACKUP)),
            (3_400, Agree),
        ],
    ),
    Drill(
        "power of main during a press at main",
        &[(0, GoMaybe(MAIN)), (35, Cut(MAIN)), (900, Agree), (1_000, Go(BACKUP)), (1_800, Agree)],
    ),
    Drill(
        "power of main during a press at the backup",
        &[(0, Go(BACKUP)), (30, Cut(MAIN)), (900, Agree), (1_000, Go(BACKUP)), (1_800, Agree)],
    ),
    Drill(
        "power of main during a picture",
        &[(0, Go(MAIN)), (80, Cut(MAIN)), (900, Agree), (1_000, Go(BACKUP)), (1_800, Agree)],
    ),
    Drill(
        "cable of main during a press at main",
        &[(0, Go(MAIN)), (35, Unplug(MAIN)), (1_000, Plug(MAIN)), (1_700, Agree), (1_800, Go(BACKUP)), (2_600, Agree)],
    ),
    Drill(
        "cable of main during a press at the backup",
        &[(0, Go(BACKUP)), (30, Unplug(MAIN)), (1_000, Plug(MAIN)), (1_700, Agree), (1_800, Go(MAIN)), (2_600, Agree)],
    ),
    Drill(
        "presses at both at once",
        &[(0, Go(MAIN)), (20, GoToo(BACKUP)), (900, Agree), (1_000, Go(BACKUP)), (1_010, GoToo(MAIN)), (1_800, Agree)],
    ),
    Drill(
        "power of main in OFF",
        &[
            (0, Off(MAIN)),
            (300, Agree),
            (400, Cut(MAIN)),
            (1_000, Agree),
            (1_100, Arm(BACKUP)),
            (2_000, GoToo(BACKUP)),
            (2_800, Agree),
        ],
    ),
    Drill(
        "OFF at the backup while the cable is out",
        &[
            (0, Unplug(MAIN)),
            (600, Off(BACKUP)),
            (1_200, Plug(MAIN)),
            (1_500, Agree),
            (1_600, Arm(MAIN)),
            (2_500, GoToo(MAIN)),
            (3_300, Agree),
        ],
    ),
    Drill(
        "OFF at main while the cable is out",
        &[
            (0, Unplug(BACKUP)),
            (100, Off(MAIN)),
            (1_200, Plug(BACKUP)),
            (1_500, Agree),
            (1_600, Arm(BACKUP)),
            (2_500, GoToo(BACKUP)),
            (3_300, Agree),
        ],
    ),
    Drill(
        "main back, then the backup gone",
        &[
            (0, Cut(MAIN)),
            (600, Go(BACKUP)),
            (1_200, Boot(MAIN)),
            (2_400, Agree),
            (2_500, Cut(BACKUP)),
            (3_200, Agree),
            (3_300, Go(MAIN)),
            (4_100, Agree),
        ],
    ),
    Drill(
        "a loose cable",
        &[
            (0, Unplug(MAIN)),
            (120, Plug(MAIN)),
            (300, Unplug(MAIN)),
            (500, Plug(MAIN)),
            (650, Go(BACKUP)),
            (900, Unplug(MAIN)),
            (1_300, Plug(MAIN)),
            (2_000, Agree),
            (2_100, Go(MAIN)),
            (2_900, Agree),
        ],
    ),
];

/// The presses so far, and what they must have led to.
struct Ledger {
    /// Least and greatest number of the cue that may be on.
    cue: (u8, u8),
    lit: bool,
}

impl Ledger {
    fn take(&mut self, act: Act) {
        match act {
            Go(_) => self.cue = (self.cue.0 + 1, self.cue.1 + 1),
            GoMaybe(_) => self.cue.1 += 1,
            // The cue that OFF interrupted comes back; a second press for one cue adds nothing.
            GoToo(_) => self.lit = true,
            Off(_) => self.lit = false,
            _ => {}
        }
    }
}

/// What a run measured.
#[derive(Default)]
struct Measured {
    /// Longest time without a box in charge.
    takeover: Option<Duration>,
    /// From a pulled cable of the box in charge until the other one is in charge too.
    parted: Option<Duration>,
    /// From a power cut of the box that put rows out to the other's first picture.
    light: Option<Duration>,
    disagreed: Duration,
    faults: Vec<String>,
}

fn setups() -> [Setup; 2] {
    [false, true].map(|backup| Setup { controller: 1, backup, address: Address::of_box(1, backup) })
}

fn show() -> Vec<u8> {
    let mut text = String::from(
        "[show]\ntitle = \"Drill\"\nframe_rate = 50\nunit = \"m\"\n\n[control]\nbackup_box = true\n\n\
         [floor]\nedges = { DS = \"level\", SL = \"level\", US = \"level\", SR = \"level\" }\n\n\
         [[canvas]]\nname = \"FLOOR\"\nsize_px = [96, 96]\ncontroller = 1\n\n\
         [[block]]\nname = \"FLOOR\"\ncanvas = \"FLOOR\"\npanels = [6, 6]\npanel_mm = [500, 500]\npanel_px = [16, 16]\n",
    );
    let cues = 14;
    for i in 0..cues {
        let (x, y) = (-1.0 + 0.5 * f64::from(i % 5), -0.8 + 0.8 * f64::from(i / 5));
        write!(text, "\n[[person]]\nname = \"P{i}\"\nheight_m = 1.7\nwho = \"white-circle\"\n").unwrap();
        write!(text, "\n[[mark]]\nname = \"M{i}\"\nat = [{x}, {y}]\nfacing_deg = 270\nperson = \"P{i}\"\n").unwrap();
    }
    for i in 0..cues {
        write!(text, "\n[[cue]]\nnumber = {}\nname = \"C{i}\"\nmode = \"brief\"\nplaces = [\"M{i}\"]\n", i + 1)
            .unwrap();
    }
    let show = project::parse("drill.toml", &text).unwrap_or_else(|errors| panic!("{errors}")).show;
    let mut bytes = vec![0; limits::PACK_BYTES];
    let len = pack::encode(&show, &mut bytes).expect("a show that fits");
    bytes.truncate(len);
    bytes
}

/// One run: the boxes, what is out of order, and what was seen.
struct Run<'m> {
    boxes: Boxes<'m>,
    has_power: [bool; 2],
    plugged: [bool; 2],
    ledger: Ledger,
    watch: Watch,
}

/// What is watched after every poll.
#[derive(Default)]
struct Watch {
    headless: Duration,
    differing: Duration,
    last_cue: [Option<u8>; 2],
    cut: Option<(Instant, usize)>,
    parted: Option<(Instant, usize)>,
    measured: Measured,
}

const TICK: Duration = underfoot_sim::sim::POLL;

fn plus(a: Duration, b: Duration) -> Duration {
    Duration::from_micros(a.as_micros() + b.as_micros())
}

impl Watch {
    fn look(&mut self, boxes: &Boxes<'_>, connected: bool, greatest: u8) {
        let seen =
            [MAIN, BACKUP].map(|i| boxes.with(i, |b| (b.crew().decides(), b.crew().drives(), b.state().shown())));
        let in_charge = seen.iter().flatten().filter(|(decides, ..)| *decides).count();
        self.headless = if in_charge == 0 { plus(self.headless, TICK) } else { Duration::ZERO };
        if self.headless > Duration::ZERO {
            self.measured.takeover = self.measured.takeover.max(Some(self.headless));
        }
        if let Some((at, other)) = self.parted
            && seen[other].is_some_and(|(decides, ..)| decides)
        {
            self.measured.parted = self.measured.parted.max(Some(boxes.now().since(at)));
            self.parted = None;
        }
        self.look_at_pictures(boxes, connected, &seen.map(|s| s.is_some_and(|(_, drives, _)| drives)));
        for (i, shown) in seen.iter().enumerate() {
            self.look_at_cue(i, shown.and_then(|(.., cue)| cue).map(|cue| cue.0), greatest, boxes.now());
        }
    }

    fn look_at_pictures(&mut self, boxes: &Boxes<'_>, connected: bool, drives: &[bool; 2]) {
        let pictures = [MAIN, BACKUP].map(|i| boxes.output(i).picture(0));
        let differ = connected && drives.iter().all(|d| *d) && pictures[0] != pictures[1];
        self.differing = if differ { plus(self.differing, TICK) } else { Duration::ZERO };
        self.measured.disagreed = self.measured.disagreed.max(self.differing);
        if let Some((at, other)) = self.cut
            && pictures[other].is_some()
        {
            self.measured.light = self.measured.light.max(Some(boxes.now().since(at)));
            self.cut = None;
        }
    }

    /// Cues come one by one on every box, and never more of them than presses.
    fn look_at_cue(&mut self, i: usize, cue: Option<u8>, greatest: u8, now: Instant) {
        let before = self.last_cue[i];
        if cue.is_some() && cue != before {
            let follows = before.is_none() || cue == before.map(|b| b + 1);
            if !follows || cue > Some(greatest) {
                self.measured.faults.push(format!("box {i} went from {before:?} to {cue:?} at {} ms", now.as_millis()));
            }
            self.last_cue[i] = cue;
        }
    }
}

impl Run<'_> {
    fn pass(&mut self, span: Duration) {
        let connected = self.plugged == [true; 2] && self.has_power == [true; 2];
        let Self { boxes, watch, ledger, .. } = self;
        boxes.run(span, |boxes| watch.look(boxes, connected, ledger.cue.1));
    }

    fn act(&mut self, act: Act) {
        self.ledger.take(act);
        let short = Duration::from_millis(90);
        match act {
            Cut(i) => {
                let drove = self.boxes.with(i, |b| b.crew().drives()) == Some(true) && self.ledger.lit;
                self.watch.cut = drove.then_some((self.boxes.now(), 1 - i));
                self.boxes.power_off(i);
                self.has_power[i] = false;
                self.watch.last_cue[i] = None;
            }
            Boot(i) => {
                self.boxes.power_on(i);
                self.has_power[i] = true;
                self.watch.cut = None;
            }
            Unplug(i) | Plug(i) => {
                self.plugged[i] = act == Plug(i);
                self.boxes.network().set_plugged(i, self.plugged[i]);
                self.watch.parted = self.parted(act);
            }
            Go(i) | GoMaybe(i) | GoToo(i) => self.boxes.press(i, Key::Go, short),
            Off(i) => self.boxes.press(i, Key::Off, short),
            Arm(i) => self.boxes.press(i, Key::Hold, Duration::from_millis(750)),
            Agree => self.agree(),
        }
    }

    /// Whom to watch when a cable is pulled: the other box, unless it is in charge or has no power itself.
    fn parted(&self, act: Act) -> Option<(Instant, usize)> {
        let was_pulled = matches!(act, Unplug(_)) && self.plugged != [false; 2];
        let other = [MAIN, BACKUP].into_iter().find(|i| self.boxes.with(*i, |b| b.crew().decides()) == Some(false));
        other.filter(|_| was_pulled).map(|other| (self.boxes.now(), other))
    }

    fn agree(&mut self) {
        let boxes = &self.boxes;
        let shown = [MAIN, BACKUP].map(|i| boxes.with(i, |b| b.state().shown().map(|cue| cue.0)));
        let counts = |cue: &Option<u8>| match cue {
            Some(cue) => self.ledger.lit && (self.ledger.cue.0..=self.ledger.cue.1).contains(cue),
            None => !self.ledger.lit,
        };
        let mut there = shown.iter().flatten();
        let in_charge = [MAIN, BACKUP].iter().filter(|i| boxes.with(**i, |b| b.crew().decides()) == Some(true)).count();
        let drivers = [MAIN, BACKUP].iter().filter(|i| boxes.with(**i, |b| b.crew().drives()) == Some(true)).count();
        let first = there.clone().next().copied();
        if !there.all(|cue| counts(cue) && Some(*cue) == first) || in_charge != 1 || drivers != 1 {
            let (cue, lit, now) = (self.ledger.cue, self.ledger.lit, boxes.now().as_millis());
            let fault = format!(
                "at {now} ms shown {shown:?}, {in_charge} in charge, {drivers} drive; ledger {cue:?} lit {lit}"
            );
            self.watch.measured.faults.push(fault);
        }
        // What a dying box did or did not notice is known now.
        if let Some(Some(cue)) = first {
            self.ledger.cue = (cue, cue);
        }
    }
}

fn run(pack: &[u8], drill: &Drill, seed: u64) -> Measured {
    let mut rooms = Rooms::new(2);
    let weather = if seed.is_multiple_of(2) { Weather::FINE } else { Weather::ROUGH };
    let boxes = Boxes::new(&mut rooms, &setups(), pack, seed, weather);
    let ledger = Ledger { cue: (0, 0), lit: false };
    let watch = Watch::default();
    let mut run = Run { boxes, has_power: [true; 2], plugged: [true; 2], ledger, watch };
    let mut chance = Chance::new(seed.wrapping_mul(77));
    run.act(Boot(MAIN));
    run.boxes.run(chance.span(Duration::ZERO, Duration::from_millis(50)), |_| {});
    run.act(Boot(BACKUP));
    run.boxes.run(Duration::from_millis(800), |_| {});
    run.ledger.lit = true;
    for (wait, act) in [(900, Arm(MAIN)), (900, GoToo(MAIN)), (700, Go(BACKUP))] {
        run.act(act);
        run.pass(Duration::from_millis(wait));
    }
    run.act(Agree);
    run.pass(chance.span(Duration::ZERO, Duration::from_millis(100)));
    let mut done = 0;
    for (at, act) in drill.1 {
        run.pass(Duration::from_millis(at - done));
        run.act(*act);
        done = *at;
    }
    run.watch.measured
}

fn report(what: &str, spans: &mut [Duration]) {
    spans.sort_unstable();
    let at = |part: usize| spans[(spans.len() - 1) * part / 100].as_millis();
    println!("{what}: {} times; ms at 0/50/95/100 %: {} {} {} {}", spans.len(), at(0), at(50), at(95), at(100));
}

#[test]
fn whatever_is_unplugged_one_box_goes_on_with_the_right_cue() {
    let pack = show();
    let (mut takeovers, mut parted, mut lights) = (Vec::new(), Vec::new(), Vec::new());
    let (mut disagreed, mut faults) = (Vec::new(), Vec::new());
    for drill in DRILLS {
        for seed in 0..SEEDS {
            let measured = run(&pack, drill, seed);
            takeovers.extend(measured.takeover);
            parted.extend(measured.parted);
            lights.extend(measured.light);
            disagreed.push(measured.disagreed);
            faults.extend(measured.faults.iter().map(|fault| format!("{}, seed {seed}: {fault}", drill.0)));
        }
    }
    println!("{} drills, {SEEDS} runs each", DRILLS.len());
    report("without a box in charge", &mut takeovers);
    report("from pulled cable to the other in charge", &mut parted);
    report("from power cut to the other's light", &mut lights);
    report("connected, and two different pictures", &mut disagreed);
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    assert!(takeovers.len() > 100 && parted.len() > 100 && lights.len() > 100, "the drills must make boxes take over");
    for spans in [&takeovers, &parted, &lights] {
        assert!(spans.last() <= Some(&TAKEOVER));
    }
    assert!(disagreed.last() <= Some(&DISAGREE));
}
