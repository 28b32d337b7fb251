//! The box in a terminal: its display, beside it what the keyboard does, below it lamp, relay, contacts and link.

use std::io::{self, Write};

use crossterm::style::{Attribute, Color, SetAttribute, SetForegroundColor};
use crossterm::terminal::{
    Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use crossterm::{cursor, execute, queue};
use underfoot_core::ports::Key;

use super::says::{self, Grain};
use crate::sim::{Panel, wording};

const KEYS: [&str; 13] = [
    "g  GO",
    "G  GO, held",
    "b  BACK, held",
    "h  HOLD",
    "H  HOLD, held",
    "o  OFF",
    "c  CLEAR",
    "",
    "s  stop",
    "a  on-air light",
    "p  power cut",
    "f  write floor",
    "q  quit",
];
/// Columns that the list of keys takes.
const LEGEND: usize = 16;

/// A terminal that shows the box until it is dropped.
pub(super) struct Screen {
    out: io::Stdout,
}

/// What is told below the display.
pub(super) struct Below<'a> {
    pub(super) link: &'a str,
    pub(super) line: &'a str,
}

impl Screen {
    pub(super) fn open() -> io::Result<Self> {
        enable_raw_mode()?;
        let mut out = io::stdout();
        execute!(out, EnterAlternateScreen, cursor::Hide)?;
        Ok(Self { out })
    }

    /// Draws everything anew.
    pub(super) fn draw(&mut self, panel: &Panel, below: &Below<'_>) -> io::Result<()> {
        let (wide, tall) = crossterm::terminal::size().unwrap_or((80, 24));
        let roomy = usize::from(wide) >= 128 + LEGEND && tall >= 38;
        let lines = says::picture_of(panel.face.as_ref(), if roomy { Grain::Halves } else { Grain::Dots });
        let across = lines.first().map_or(0, |line| line.chars().count());
        queue!(self.out, cursor::MoveTo(0, 0))?;
        for (i, line) in lines.iter().enumerate() {
            let key = KEYS.get(i).copied().unwrap_or("");
            queue!(self.out, SetForegroundColor(Color::DarkYellow))?;
            write!(self.out, "{line}")?;
            queue!(self.out, SetForegroundColor(Color::Reset))?;
            let room = usize::from(wide).saturating_sub(across + 1);
            write!(self.out, " {key:.room$}")?;
            self.end_line()?;
        }
        for line in below_lines(panel, below) {
            let room = usize::from(wide).saturating_sub(1);
            write!(self.out, "{line:.room$}")?;
            self.end_line()?;
        }
        queue!(self.out, Clear(ClearType::FromCursorDown), SetAttribute(Attribute::Reset))?;
        self.out.flush()
    }

    fn end_line(&mut self) -> io::Result<()> {
        queue!(self.out, Clear(ClearType::UntilNewLine))?;
        write!(self.out, "\r\n")
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        let _ = execute!(self.out, cursor::Show, LeaveAlternateScreen);
        let _ = disable_raw_mode();
    }
}

fn below_lines(panel: &Panel, below: &Below<'_>) -> [String; 4] {
    let light = match panel.levels.on_air {
        None => "not wired",
        Some(true) => "lit",
        Some(false) => "dark",
    };
    let clear = panel.levels.keys & Key::Clear.bit() != 0;
    [
        format!(
            "lamp {} · reveal relay {} · the hand felt {}",
            wording::lamp(panel.lamp),
            if panel.relay { "closed" } else { "open" },
            says::felt(panel.ticks.last())
        ),
        format!(
            "stop contact {} · on-air light {light} · CLEAR {}",
            if panel.levels.stop { "closed" } else { "open" },
            if clear { "held down" } else { "up" }
        ),
        below.link.to_owned(),
        below.line.to_owned(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ECMA-48's usual screen, common practice; the last line stays free, so that nothing scrolls.
    #[test]
    fn everything_fits_80_by_24() {
        let dots = says::picture_of(None, Grain::Dots);
        let below = below_lines(&Panel::default(), &Below { link: "", line: "" });
        assert!(dots.len() >= KEYS.len() && dots.len() + below.len() < 24);
        let longest = KEYS.iter().map(|key| key.chars().count()).max().unwrap_or(0);
        assert!(dots.iter().all(|line| line.chars().count() + 1 + longest <= 80));
    }
}
