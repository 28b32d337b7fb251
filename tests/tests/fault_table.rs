//! The fault table, row by row: each thing is pulled out through the engine's inputs, in every mode, and the floor and
//! the display are looked at. The rules beside the rows are those of the crew's book, not of the code.

use underfoot_core::engine::table::{MODES, TABLE, Then};
use underfoot_core::engine::{Fault, Gate, Input, Sense, Source, State, step};
use underfoot_core::geom::StagePoint;
use underfoot_core::show::*;
use underfoot_core::units::{Duration, Instant};

/// What is seen to happen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Seen {
    /// The floor stays as it is.
    Stays,
    /// AIR while it is lost, and the cue's mode again after.
    Air,
    /// AIR, and still AIR when it is back, until the next cue.
    AirTillNext,
    /// Marks go off within the step.
    MarksGo,
    /// OFF, and GO does not leave it by itself.
    Off,
    /// OFF, and one GO restores the cue.
    Held,
}

use Seen::{Air, AirTillNext, Held, MarksGo, Off, Stays};

/// What is pulled out, the rule, and what has to be seen in BUILD, BRIEF, STANDBY, AIR, RESET, WORKLIGHT and OFF.
const ROWS: [(Fault, &str, [Seen; 7]); 11] = [
    (Fault::Tally, "lost tally is AIR", [Air, Air, Air, Stays, AirTillNext, Air, Stays]),
    (
        Fault::Tracking,
        "a camera without poses sees everything: AIR blanks what depends on them; RESET falls to AIR",
        [Stays, Stays, Stays, MarksGo, AirTillNext, Stays, Stays],
    ),
    (
        Fault::Desk,
        "lost desk holds the cue; RESET falls to AIR",
        [Stays, Stays, Stays, Stays, AirTillNext, Stays, Stays],
    ),
    (
        Fault::Timecode,
        "lost timecode holds the cue after a second; RESET falls to AIR",
        [Stays, Stays, Stays, Stays, AirTillNext, Stays, Stays],
    ),
    (
        Fault::Controller,
        "the lost controller's floor shows the content without a layer; the others go on, in a break too",
        [Stays, Stays, Stays, Stays, Stays, Stays, Stays],
    ),
    (
        Fault::Partner,
        "the other box of the pair goes on alone, in a break too",
        [Stays, Stays, Stays, Stays, Stays, Stays, Stays],
    ),
    (Fault::Show, "a corrupt show is OFF, never half a show", [Off, Off, Off, Off, Off, Off, Stays]),
    (
        Fault::Power,
        "after a power cut the box stays OFF and HELD; one deliberate press restores",
        [Held, Held, Held, Held, Held, Held, Stays],
    ),
    (Fault::Paint, "keep, and tell", [Stays, Stays, Stays, Stays, AirTillNext, Stays, Stays]),
    (Fault::Port, "keep, and tell", [Stays, Stays, Stays, Stays, AirTillNext, Stays, Stays]),
    (Fault::Misfit, "nothing is lost: keep, and tell", [Stays, Stays, Stays, Stays, Stays, Stays, Stays]),
];

/// Two cues at 01:00:00:00 and 01:01:00:00, with one person on one mark.
fn show() -> Show {
    let mut show = Show { frame_rate: FrameRate { num: 25, den: 1 }, ..Show::default() };
    let mark = Mark {
        name: Name::new(),
        label: Label::new(),
        at: StagePoint::new(0.0, 0.0),
        facing_deg: 270.0,
        kind: MarkKind::Tee,
        person: None,
        who: Who::WhiteCircle,
    };
    show.marks.push(mark).expect("room");
    let place = CuePlace { person: PersonId(0), mark: Some(MarkId(0)), line: None };
    for i in 0..2 {
        show.cue_places.push(place).expect("room");
        let at = Some(Timecode { hours: 1, minutes: i, seconds: 0, frames: 0 });
        let places = Run { first: i.into(), len: 1 };
        let cue = Cue { number: 100, mode: Mode::Standby, at, places, ..Cue::default() };
        show.cues.push(cue).expect("room");
    }
    show
}

struct Bench {
    show: Show,
    state: State,
    now: Instant,
    lost: Fault,
    /// What is lost is still there.
    is_fed: bool,
    /// Frames of timecode since 00:59:58:00.
    frame: u32,
}

impl Bench {
    fn enter(&mut self, input: Input<'_>) {
        let (state, output) = step(self.state, &self.show, self.now, input);
        assert_eq!(output.verdict, Ok(()), "{input:?}");
        self.state = state;
    }

    /// Lets a frame pass with all that comes again and again.
    fn pass(&mut self) {
        self.now = self.now.after(Duration::from_millis(40));
        self.frame += 1;
        if self.is_fed || self.lost != Fault::Tally {
            self.enter(Input::Sense(Sense::OnAir(false)));
        }
        if self.is_fed || self.lost != Fault::Tracking {
            self.enter(Input::Sense(Sense::Unseen { marks: 1, props: 0 }));
        }
        if self.is_fed || self.lost != Fault::Desk {
            self.enter(Input::Sense(Sense::Desk));
        }
        if self.lost == Fault::Timecode && self.is_fed {
            // It runs through the last two seconds before the first cue's time and on.
            let frames = 59 * 60 * 25 + 58 * 25 + self.frame;
            let part = |n: u32| n as u8;
            let (minutes, seconds) = (part(frames / 1500 % 60), part(frames / 25 % 60));
            let at = Timecode { hours: part(frames / 90_000), minutes, seconds, frames: part(frames % 25) };
            self.enter(Input::Sense(Sense::Timecode(at)));
        }
        self.enter(Input::Tick);
    }

    fn pass_for(&mut self, millis: u64) {
        (0..millis / 40).for_each(|_| self.pass());
    }

    /// A floor in `mode` from which `lost` can be pulled.
    fn in_mode(mode: Mode, lost: Fault) -> Self {
        let mut show = show();
        show.control.on_air_contact = lost == Fault::Tally;
        let now = Instant::from_millis(100_000);
        let mut bench = Self { show, state: State::power_up(), now, lost, is_fed: true, frame: 0 };
        let from = if lost == Fault::Desk { Source::Desk } else { Source::Keys };
        bench.pass();
        if mode != Mode::Off {
            bench.enter(Input::Arm { from });
            bench.enter(Input::Go { to: CueId(0), from });
            bench.pass();
            bench.enter(Input::Mode { mode: Some(mode), from });
        }
        bench.pass_for(2_000);
        assert_eq!(bench.state.mode, mode, "before {lost:?} is pulled");
        bench
    }

    /// Pulls it out, and waits for as long as the rule gives.
    fn pull(&mut self) {
        self.is_fed = false;
        match self.lost {
            Fault::Tally | Fault::Timecode => self.pass_for(1_040),
            Fault::Tracking => self.pass_for(280),
            Fault::Desk => self.pass_for(3_040),
            Fault::Power => {
                let held = self.state.kept();
                self.state = State::power_up();
                self.enter(Input::Loaded { held });
            }
            lost => self.enter(Input::Sense(Sense::Fault(lost, true))),
        }
    }

    fn mend(&mut self) {
        self.is_fed = true;
        if !matches!(self.lost, Fault::Tally | Fault::Timecode | Fault::Tracking | Fault::Desk | Fault::Power) {
            self.enter(Input::Sense(Sense::Fault(self.lost, false)));
        }
        self.pass_for(2_000);
    }

    fn seen(&mut self) -> Seen {
        let (before, marks) = (self.state.outlook(&self.show, self.now), self.marks());
        self.pull();
        let (after, left) = (self.state.outlook(&self.show, self.now), self.marks());
        let is_pulled = after.faults.has(self.lost);
        // In OFF nobody was relied on, and nothing was lit that power could take away.
        let is_idle = before.mode == Mode::Off && matches!(self.lost, Fault::Desk | Fault::Power);
        assert!(is_pulled || is_idle, "{:?} is told", self.lost);
        if after.mode == Mode::Off && before.mode != Mode::Off {
            assert_eq!(after.now, None);
            return self.seen_in_off(after.gate);
        }
        if after.mode == before.mode {
            assert_eq!((after.now, after.next), (before.now, before.next), "the cue stays");
            self.nothing_comes_of_silence();
            return if marks != 0 && left == 0 { MarksGo } else { Stays };
        }
        assert_eq!((after.mode, after.now), (Mode::Air, before.now));
        self.mend();
        if self.state.mode == Mode::Air { self.till_next() } else { Air }
    }

    fn marks(&self) -> u64 {
        let view = self.state.view(&self.show, self.now);
        if view.mode == Mode::Air { view.shown.marks } else { 0 }
    }

    fn seen_in_off(&mut self, gate: Gate) -> Seen {
        let go = Input::Go { to: CueId(0), from: Source::Keys };
        let (state, output) = step(self.state, &self.show, self.now, go);
        match (gate, output.verdict) {
            (Gate::Held, Ok(())) => {
                assert_eq!(state.shown(), Some(CueId(0)));
                Held
            }
            (Gate::Off, Err(_)) => Off,
            other => panic!("{other:?}"),
        }
    }

    /// Two minutes later the next cue's time is long over.
    fn nothing_comes_of_silence(&mut self) {
        let shown = self.state.shown();
        if matches!(self.lost, Fault::Timecode | Fault::Desk) {
            self.pass_for(120_000);
            assert_eq!(self.state.shown(), shown, "what is lost advances nothing");
        }
    }

    fn till_next(&mut self) -> Seen {
        self.enter(Input::Go { to: CueId(1), from: Source::Keys });
        assert_eq!(self.state.mode, Mode::Standby);
        AirTillNext
    }
}

#[test]
fn each_thing_is_pulled_out_in_each_mode() {
    for (lost, rule, due) in ROWS {
        for (mode, due) in MODES.into_iter().zip(due) {
            let seen = Bench::in_mode(mode, lost).seen();
            assert_eq!(seen, due, "{lost:?} in {mode:?}: {rule}");
        }
    }
}

#[test]
fn the_table_has_these_rows_and_acts_like_them() {
    assert_eq!(TABLE.map(|(lost, _)| lost), ROWS.map(|(lost, _, _)| lost));
    for ((lost, then), (_, _, seen)) in TABLE.into_iter().zip(ROWS) {
        for ((mode, then), seen) in MODES.into_iter().zip(then).zip(seen) {
            let due = match then {
                Then::Keep | Then::HoldCue => Stays,
                // The light's return ends RESET for good.
                Then::Air if mode == Mode::Reset => AirTillNext,
                Then::Air => Air,
                Then::FallToAir => AirTillNext,
                Then::Blank => MarksGo,
                Then::Off => Off,
                Then::Held => Held,
            };
            assert_eq!(seen, due, "{lost:?} in {mode:?}");
        }
    }
}

/// The table of `core/docs/engine.md` is the engine's, cell by cell.
#[test]
fn the_document_has_the_same_table() {
    let document = include_str!("../../core/docs/engine.md");
    let words = |then: Then| match then {
        Then::Keep => "keep",
        Then::HoldCue => "hold the cue",
        Then::Air => "AIR",
        Then::FallToAir => "fall to AIR",
        Then::Blank => "blank",
        Then::Off => "OFF",
        Then::Held => "HELD",
    };
    for (lost, cells) in TABLE {
        let row = format!("| {lost:?} | {} |", cells.map(words).join(" | "));
        assert!(document.contains(&row), "core/docs/engine.md lacks the row\n{row}");
    }
    let heads = MODES.map(|mode| format!("{mode:?}").to_uppercase()).join(" | ");
    assert!(document.contains(&format!("| what is lost | {heads} |")), "the columns are {heads}");
}
