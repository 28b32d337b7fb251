//! Every word of the display.

use core::fmt::Write;

use heapless::String;

use super::super::face::{Face, Role};
use crate::engine::{Fault, Gate, Reveal, Source};
use crate::show::Mode;

/// Room for a number or a short sentence.
pub type Short = String<32>;

/// What a mode is called.
pub const fn mode(mode: Mode) -> &'static str {
    match mode {
        Mode::Build => "BUILD",
        Mode::Brief => "BRIEF",
        Mode::Standby => "STANDBY",
        Mode::Air => "AIR",
        Mode::Reset => "RESET",
        Mode::Off => "OFF",
        Mode::Worklight => "WORKLIGHT",
    }
}

/// The mode, with the time that is left of it.
pub fn mode_with_time(face: &Face) -> Short {
    let mut text = Short::new();
    let _ = text.push_str(mode(face.mode));
    if let Some(left) = face.mode_left_s {
        let _ = write!(text, " {}:{:02}", left / 60, left % 60);
    }
    text
}

/// The number of a cue in hundredths, without zeros that say nothing: 450 is 4.5.
pub fn number(hundredths: u32) -> Short {
    let mut text = Short::new();
    let (whole, part) = (hundredths / 100, hundredths % 100);
    let _ = match (part / 10, part % 10) {
        (0, 0) => write!(text, "{whole}"),
        (tenths, 0) => write!(text, "{whole}.{tenths}"),
        (tenths, rest) => write!(text, "{whole}.{tenths}{rest}"),
    };
    text
}

/// Why OFF is not simply OFF; `None` when it is, or when the floor is lit.
pub fn gate(gate: Gate) -> Option<Short> {
    let mut text = Short::new();
    let _ = match gate {
        Gate::Open | Gate::Off => return None,
        Gate::Armed { left_s } => write!(text, "ARM {left_s}"),
        Gate::Held => text.write_str("HELD"),
        Gate::Stopped => text.write_str("STOP"),
    };
    Some(text)
}

/// What keeps the floor dark.
pub const fn dark(face: &Face) -> &'static str {
    match face.gate {
        _ if face.faults.has(Fault::Show) => "its show is unreadable",
        _ if face.code.is_none() => "no show in this box",
        Gate::Open => "",
        Gate::Off => "all marks are off",
        Gate::Armed { .. } => "GO lights the floor",
        Gate::Held => "power went while lit",
        Gate::Stopped => "the house asks for dark",
    }
}

/// What to press next; `None` while GO simply leads on.
pub const fn prompt(face: &Face) -> Option<&'static str> {
    Some(match (face.gate, face.role) {
        (Gate::Open, _) => return None,
        _ if face.code.is_none() => "send one from the desk",
        (Gate::Stopped, _) => "no key lights the floor",
        (Gate::Off, _) => "HOLD till tick, then GO",
        (Gate::Armed { .. }, _) => "press GO",
        (Gate::Held, _) => "keep GO down",
    })
}

/// The word to graphics.
pub const fn reveal(reveal: Reveal) -> &'static str {
    match reveal {
        Reveal::Clear => "reveal CLEAR",
        Reveal::NotClear => "reveal NOT CLEAR",
        Reveal::Unknown => "reveal UNKNOWN",
    }
}

/// Who has control: the keys alone in HOLD, else who made the last advance.
pub const fn control(face: &Face) -> &'static str {
    match face.by {
        _ if face.hold => "KEYS",
        None => "",
        Some(Source::Keys) => "KEYS",
        Some(Source::Desk) => "DESK",
        Some(Source::Slots) => "sACN",
        Some(Source::Timecode) => "TC",
        Some(Source::Crew) => "CREW",
    }
}

/// What a fault is called in a few letters.
pub const fn fault(fault: Fault) -> &'static str {
    match fault {
        Fault::Tally => "TALLY",
        Fault::Tracking => "TRACKING",
        Fault::Desk => "DESK",
        Fault::Timecode => "TIMECODE",
        Fault::Controller => "BOX LOST",
        Fault::Partner => "PAIR LOST",
        Fault::Show => "BAD SHOW",
        Fault::Power => "POWER",
        Fault::Paint => "PICTURE",
        Fault::Port => "HARDWARE",
        Fault::Misfit => "OTHER BOX",
    }
}

/// The first fault and how many there are beside it; `None` when nothing is wrong.
pub fn health(face: &Face) -> Option<Short> {
    let mut all = Fault::ALL.into_iter().filter(|f| face.faults.has(*f));
    let first = all.next()?;
    let mut text = Short::new();
    let _ = write!(text, "! {}", fault(first));
    let rest = all.count();
    if rest > 0 {
        let _ = write!(text, " +{rest}");
    }
    Some(text)
}

/// Show code.
pub fn code(face: &Face) -> &str {
    face.code.as_ref().and_then(|code| core::str::from_utf8(code).ok()).unwrap_or("----")
}

/// Which box this is and what it is to its pair, or that nothing is wrong when there is only one.
pub fn role(face: &Face) -> Short {
    let mut text = Short::new();
    let _ = match (face.role, face.controller) {
        (Role::Alone, 0 | 1) => text.write_str("no faults"),
        (Role::Alone, number) => write!(text, "box {number}"),
        (Role::Drives, number) => write!(text, "box {number} drives"),
        (Role::Follows, number) => write!(text, "box {number} follows"),
    };
    text
}

/// Why GO leads nowhere.
pub const fn no_next(face: &Face) -> &'static str {
    if face.code.is_none() { "NO SHOW" } else { "END" }
}
