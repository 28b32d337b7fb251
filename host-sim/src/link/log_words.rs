//! What happened in a box, in words.

use std::fmt::Write;

use underfoot_core::engine::{Fault, Source};
use underfoot_core::link::{Entry, Happened, Start};

use super::strike::Log;
use crate::findings::day_of;

/// The whole list as text: show code first, then a line for each entry.
pub fn text(log: &Log) -> String {
    let mut out = match log.code {
        Some(code) => format!("show code {code}\n"),
        None => "no show\n".to_owned(),
    };
    if log.lost > 0 {
        let _ = writeln!(out, "{} earlier entries are no longer kept", log.lost);
    }
    for (at, entry) in &log.entries {
        let _ = writeln!(out, "{}  {}", time(*at), words(entry));
    }
    out
}

/// "2031-05-09 13:04:05.250 UTC".
fn time(epoch_ms: u64) -> String {
    let (day, ms) = (day_of(epoch_ms / 86_400_000), epoch_ms % 86_400_000);
    let (hours, minutes, seconds) = (ms / 3_600_000, ms / 60_000 % 60, ms / 1000 % 60);
    format!("{day} {hours:02}:{minutes:02}:{seconds:02}.{:03} UTC", ms % 1000)
}

fn words(entry: &Entry) -> String {
    let what = match entry.what {
        Happened::Started(start) => started(start),
        Happened::Advanced { from, to } => {
            format!("to cue {} of the running order, by {}", u16::from(to.0) + 1, who(from))
        }
        Happened::Off { from: Some(from) } => format!("OFF, by {}", who(from)),
        Happened::Off { from: None } => "OFF, by the stop contact or a new show".to_owned(),
        Happened::Mode { from, mode: Some(mode) } => {
            format!("{} asked for, by {}", format!("{mode:?}").to_uppercase(), who(from))
        }
        Happened::Mode { from, mode: None } => format!("the cue's own mode asked for, by {}", who(from)),
        Happened::Hold { from, on: true } => format!("HOLD, by {}", who(from)),
        Happened::Hold { from, on: false } => format!("HOLD ended, by {}", who(from)),
        Happened::Refused { from, why } => format!("refused to {}: {why:?}", who(from)),
        Happened::Fault { fault, there: true } => format!("fault: {}", broken(fault)),
        Happened::Fault { fault, there: false } => format!("fault ended: {}", broken(fault)),
        Happened::ShowReady { pack_crc } => {
            format!("show {} is ready", underfoot_core::pack::ShowCode::of_crc(pack_crc))
        }
        Happened::NoShow => "no show".to_owned(),
        Happened::StoreFailed => "flash could not be read or written".to_owned(),
        Happened::PackRefused => "a pack was refused".to_owned(),
        Happened::VersionMismatch => "a desk called whose versions do not meet the box's".to_owned(),
        Happened::BadFrame => "a damaged frame came over the link".to_owned(),
        Happened::PaintFault => "a picture could not be painted".to_owned(),
        Happened::PortFault => "a port failed".to_owned(),
        Happened::Wiped => "wiped".to_owned(),
        Happened::SetUp => "told which box it is".to_owned(),
    };
    if entry.times > 1 { format!("{what} ({} times in a row)", entry.times) } else { what }
}

fn started(start: Start) -> String {
    match start {
        Start::Power => "started: power".to_owned(),
        Start::Watchdog => "started: its watchdog was not fed".to_owned(),
        Start::Panic { file, line } => format!("started: its program found itself wrong, file {file:08x}, line {line}"),
        Start::Fault { at } => format!("started: its processor could not go on at {at:08x}"),
        Start::BrownOut => "started: its supply sagged".to_owned(),
    }
}

const fn who(source: Source) -> &'static str {
    match source {
        Source::Keys => "the box's keys",
        Source::Desk => "a desk",
        Source::Slots => "the lighting desk",
        Source::Timecode => "timecode",
        Source::Crew => "another box",
    }
}

const fn broken(fault: Fault) -> &'static str {
    match fault {
        Fault::Tally => "nothing is heard of the on-air light",
        Fault::Tracking => "a hot camera's poses are missing or old",
        Fault::Desk => "the desk is silent",
        Fault::Timecode => "timecode stopped or jumps",
        Fault::Controller => "another controller is silent",
        Fault::Partner => "the other box of the pair is silent",
        Fault::Show => "the stored show could not be read",
        Fault::Power => "power went away while the floor was lit",
        Fault::Paint => "a picture could not be painted",
        Fault::Port => "a port failed",
        Fault::Misfit => "another box of the show does not fit this one",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1,000,000,000 s of the epoch are 2001-09-09 01:46:40 UTC (`date -u -d @1000000000`).
    #[test]
    fn times_are_of_the_day() {
        assert_eq!(time(1_000_000_000_250), "2001-09-09 01:46:40.250 UTC");
    }
}
