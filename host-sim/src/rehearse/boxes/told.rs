//! What the page is told of the boxes.

use serde::Serialize;
use underfoot_core::engine::table::{self, MODES, Then};
use underfoot_core::engine::{Fault, Gate, Reveal, State};
use underfoot_core::look::MarkState;
use underfoot_core::panel::display::words;
use underfoot_core::panel::{CueTag, Face};
use underfoot_core::show::{Mode, Show};

use super::pulled::Pulled;
use crate::sim::{Panel, wording};

/// Everything about the boxes.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Told {
    /// Revision of the show that they run; 0 when it does not fit them.
    pub revision: u64,
    /// The front box: the one whose keys are pressed.
    pub front: usize,
    /// What its display says, word by word.
    pub lines: Vec<String>,
    /// What its panel says in parts; `None` without power.
    pub face: Option<Said>,
    /// What the lamp does.
    pub lamp: &'static str,
    /// The reveal relay is closed: CLEAR.
    pub relay: bool,
    /// How often the hand at the keys felt something, and whether the last time meant: taken.
    pub felt: (usize, bool),
    /// The show has an on-air light wired to its boxes; without one, pulling it changes nothing.
    pub wired: bool,
    /// Whole seconds since the cue on the floor began.
    pub cue_s: Option<u64>,
    /// Everybody in the cue, and what their marks say.
    pub people: Vec<Person>,
    /// All boxes.
    pub seats: Vec<Seat>,
    /// What is out of order.
    pub pulled: Pulled,
    /// What follows from every fault in the mode of now.
    pub table: Vec<Row>,
    /// What happened, the newest last.
    pub log: Vec<Entry>,
    /// Goes up when the display changed.
    pub display: u64,
    /// Goes up when the floor changed.
    pub floor: u64,
}

/// What a panel says, in parts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Said {
    /// The mode.
    pub mode: &'static str,
    /// Index of the cue on the floor.
    pub now: Option<u8>,
    /// Index of the cue that GO leads to.
    pub next: Option<u8>,
    /// Index of the cue that BACK leads to.
    pub back: Option<u8>,
    /// "open", "off", "armed", "held", "stopped".
    pub gate: &'static str,
    /// HOLD.
    pub hold: bool,
    /// The word to graphics.
    pub reveal: &'static str,
    /// Who made the last advance.
    pub control: &'static str,
    /// What is wrong now.
    pub faults: Vec<&'static str>,
    /// Show code.
    pub code: String,
    /// A short line about what was just done.
    pub line: Option<String>,
}

/// Somebody in the cue.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Person {
    /// The name in the show file.
    pub name: String,
    /// What their mark says.
    pub state: &'static str,
    /// Where they are, stage metres.
    pub at: [f32; 2],
    /// True when somebody put them there.
    pub moved: bool,
}

/// A box.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Seat {
    /// What crew call it.
    pub name: String,
    /// It has power.
    pub power: bool,
    /// Its network cable is in.
    pub cable: bool,
    /// Its rows go out.
    pub drives: bool,
    /// Its mode; "dark" without power.
    pub mode: &'static str,
    /// Index of its cue.
    pub cue: Option<u8>,
    /// What it says is wrong.
    pub faults: Vec<&'static str>,
}

/// A row of the fault table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Row {
    /// What the display calls it.
    pub fault: &'static str,
    /// True while it is so.
    pub now: bool,
    /// What follows in each mode.
    pub then: Vec<(&'static str, &'static str)>,
}

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Entry {
    /// Seconds since the page was opened, one decimal.
    pub t_s: f32,
    /// What.
    pub words: String,
}

/// What a panel says.
pub fn said(panel: &Panel) -> Option<Said> {
    let face = panel.face.as_ref()?;
    let id = |tag: &Option<CueTag>| tag.as_ref().map(|tag| tag.id.0);
    Some(Said {
        mode: words::mode(face.mode),
        now: id(&face.now),
        next: id(&face.next),
        back: id(&face.back),
        gate: gate(face.gate),
        hold: face.hold,
        reveal: reveal(face.reveal),
        control: words::control(face),
        faults: face.faults.iter().map(words::fault).collect(),
        code: words::code(face).to_owned(),
        line: face.line.as_ref().map(ToString::to_string),
    })
}

const fn gate(gate: Gate) -> &'static str {
    match gate {
        Gate::Open => "open",
        Gate::Off => "off",
        Gate::Armed { .. } => "armed",
        Gate::Held => "held",
        Gate::Stopped => "stopped",
    }
}

const fn reveal(reveal: Reveal) -> &'static str {
    match reveal {
        Reveal::Clear => "CLEAR",
        Reveal::NotClear => "NOT CLEAR",
        Reveal::Unknown => "UNKNOWN",
    }
}

/// What a mark says.
pub const fn state_word(state: MarkState) -> &'static str {
    match state {
        MarkState::Steady => "steady",
        MarkState::Later => "later",
        MarkState::StandBy => "stand by",
        MarkState::Go => "go",
        MarkState::Arrived => "arrived",
        MarkState::Off { .. } => "off the mark",
    }
}

/// The fault table, with what is so now.
pub fn table(state: Option<&State>) -> Vec<Row> {
    let row = |fault: Fault| Row {
        fault: words::fault(fault),
        now: state.is_some_and(|state| state.faults.has(fault)),
        then: MODES.iter().map(|&mode| (words::mode(mode), then(table::then(mode, fault)))).collect(),
    };
    Fault::ALL.into_iter().map(row).collect()
}

const fn then(then: Then) -> &'static str {
    match then {
        Then::Keep => "stays",
        Then::HoldCue => "stays, and nothing lost advances it",
        Then::Air => "AIR while it is lost",
        Then::FallToAir => "AIR until the next advance",
        Then::Blank => "what depends on it goes dark",
        Then::Off => "OFF",
        Then::Held => "OFF, one GO restores it",
    }
}

/// What changed on a display, in words for the log; `None` for what is not worth a line.
pub fn change(old: Option<&Face>, new: Option<&Face>) -> Option<String> {
    let (old, new) = match (old, new) {
        (None, None) => return None,
        (Some(_), None) => return Some("the box lost power".into()),
        (None, Some(_)) => return Some("the box has power".into()),
        (Some(old), Some(new)) => (old, new),
    };
    let mut parts = Vec::new();
    if (old.mode, &old.now) != (new.mode, &new.now) {
        let cue = new.now.as_ref().map_or(String::new(), |tag| format!(" · cue {}", wording::tag(tag)));
        let by = if new.mode == Mode::Off { "" } else { words::control(new) };
        let by = if by.is_empty() { String::new() } else { format!(" · by {by}") };
        parts.push(format!("{}{cue}{by}", words::mode(new.mode)));
    }
    for fault in Fault::ALL {
        match (old.faults.has(fault), new.faults.has(fault)) {
            (false, true) => parts.push(format!("{} lost", words::fault(fault))),
            (true, false) => parts.push(format!("{} back", words::fault(fault))),
            _ => {}
        }
    }
    if old.reveal != new.reveal {
        parts.push(words::reveal(new.reveal).to_owned());
    }
    if old.hold != new.hold {
        parts.push(if new.hold { "HOLD" } else { "HOLD ended" }.to_owned());
    }
    if old.line != new.line {
        parts.extend(new.line.as_ref().map(ToString::to_string));
    }
    (!parts.is_empty()).then(|| parts.join(" · "))
}

/// The name of a box.
pub fn seat_name(show: &Show, controller: u8, backup: bool) -> String {
    let alone = show.canvases.iter().all(|canvas| canvas.controller == controller) || controller == 0;
    let number = if alone { String::new() } else { format!(" {controller}") };
    match (show.control.backup, backup) {
        (false, _) => format!("box{number}"),
        (true, false) => format!("box{number} main"),
        (true, true) => format!("box{number} backup"),
    }
}
