//! The box by keyboard. A terminal tells when a key goes down and not when it comes up, so each one stands for a tap or
//! for a long press, and CLEAR stays down until it is pressed again.

use std::time::{Duration as Span, Instant as Clock};

use crossterm::event::{self, Event, KeyCode, KeyEventKind, KeyModifiers};
use underfoot_core::device::Device;
use underfoot_core::ports::{Key, Levels};
use underfoot_core::units::{Duration, Instant};

use super::Stage;
use super::life::{AtDesk, live, write_floor};
use super::loading::Loader;
use super::screen::{Below, Screen};
use crate::cli::{Output, Refusal};
use crate::sim::{DeskLink, KeptFlash, Wire, link};

/// How long a tap and a long press keep a key down.
const TAP: Duration = Duration::from_millis(80);
const LONG: Duration = Duration::from_millis(750);
/// Between two looks at the keyboard.
const NAP: Span = Span::from_millis(1);

/// How a life ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    PowerCut,
    Quit,
}

struct Desk<'s> {
    stage: &'s Stage,
    screen: Screen,
    started: Clock,
    /// Time that passed in the box before the clock was started.
    before: Duration,
    levels: Levels,
    /// Until when each key is down.
    down: [Option<Instant>; Key::ALL.len()],
    link: String,
    line: String,
    drawn: Option<String>,
    written: u64,
}

pub(super) fn run(port: u16, flash: KeptFlash, stage: Stage, output: &mut Output<'_>) -> Result<(), Refusal> {
    let listener = link::listen(port).map_err(|e| {
        Refusal(format!("cannot listen on port {port}: {e}; another box may run: choose another with --port"))
    })?;
    let port = listener.local_addr().map_or(port, |address| address.port());
    let (flash, before) = load(flash, &stage)?;
    let call = format!("`underfoot send SHOW --to tcp:127.0.0.1:{port}` brings another show, in OFF");
    output.talk(&format!("the box takes desks at tcp:127.0.0.1:{port}"));
    let screen = Screen::open().map_err(|e| Refusal(format!("no terminal to draw in: {e}; --script needs none")))?;
    let mut desk = Desk {
        stage: &stage,
        screen,
        started: Clock::now(),
        before,
        levels: Levels::default(),
        down: [None; Key::ALL.len()],
        link: call,
        line: String::new(),
        drawn: None,
        written: 0,
    };
    let (mut flash, mut link) = (flash, DeskLink::listening(listener));
    loop {
        let (end, kept, line) = live(&stage, flash, link, |device| desk.life(device))?;
        if end == End::Quit {
            return Ok(());
        }
        (flash, link) = (kept, line);
    }
}

/// Brings the show into the box before it meets people.
fn load(flash: KeptFlash, stage: &Stage) -> Result<(KeptFlash, Duration), Refusal> {
    let Some(pack) = &stage.pack else { return Ok((flash, Duration::ZERO)) };
    let (wire, mut now) = (Wire::default(), Instant::ZERO);
    let body = |device: &mut Device<'_, AtDesk>| Loader::new(&wire).load(device, &mut now, pack);
    let ((), flash, _) = live(stage, flash, DeskLink::wired(wire.clone()), body)?;
    Ok((flash, now.since(Instant::ZERO)))
}

impl Desk<'_> {
    fn life(&mut self, device: &mut Device<'_, AtDesk>) -> Result<End, Refusal> {
        let cannot = |e: std::io::Error| Refusal(format!("the terminal failed: {e}"));
        self.drawn = None;
        loop {
            let now = self.now();
            self.stage.panel.set(self.levels_at(now));
            device.poll(now);
            self.draw().map_err(cannot)?;
            self.floor()?;
            if !event::poll(NAP).map_err(cannot)? {
                continue;
            }
            match event::read().map_err(cannot)? {
                Event::Key(key) if key.kind == KeyEventKind::Press => {
                    let is_break = key.code == KeyCode::Char('c') && key.modifiers.contains(KeyModifiers::CONTROL);
                    if is_break {
                        return Ok(End::Quit);
                    }
                    if let Some(end) = self.key(key.code)? {
                        return Ok(end);
                    }
                }
                Event::Resize(..) => self.drawn = None,
                _ => {}
            }
        }
    }

    fn now(&self) -> Instant {
        let micros = self.started.elapsed().as_micros() as u64;
        Instant::from_micros(micros).after(self.before)
    }

    fn levels_at(&self, now: Instant) -> Levels {
        let held = Key::ALL.into_iter().zip(self.down).filter(|(_, end)| end.is_some_and(|end| now < end));
        Levels { keys: held.fold(self.levels.keys, |bits, (key, _)| bits | key.bit()), ..self.levels }
    }

    fn key(&mut self, code: KeyCode) -> Result<Option<End>, Refusal> {
        let KeyCode::Char(letter) = code else { return Ok(None) };
        match letter {
            'g' => self.press(Key::Go, TAP),
            'G' => self.press(Key::Go, LONG),
            'b' | 'B' => self.press(Key::Back, LONG),
            'h' => self.press(Key::Hold, TAP),
            'H' => self.press(Key::Hold, LONG),
            'o' | 'O' => self.press(Key::Off, TAP),
            'c' => self.levels.keys ^= Key::Clear.bit(),
            's' => self.levels.stop = !self.levels.stop,
            'a' => {
                self.levels.on_air = match self.levels.on_air {
                    None => Some(false),
                    Some(false) => Some(true),
                    Some(true) => None,
                }
            }
            'p' => return Ok(Some(End::PowerCut)),
            'f' => self.write()?,
            'q' | 'Q' => return Ok(Some(End::Quit)),
            _ => {}
        }
        self.drawn = None;
        Ok(None)
    }

    fn press(&mut self, key: Key, time: Duration) {
        let end = self.now().after(time);
        if let Some(slot) = self.down.get_mut(key as usize) {
            *slot = Some(end);
        }
    }

    fn write(&mut self) -> Result<(), Refusal> {
        self.line = match &self.stage.floor {
            Some(path) => {
                write_floor(&self.stage.leds, path)?;
                format!("{} pixels lit, written to {}", self.stage.leds.lit(), path.display())
            }
            None => "say where with --floor PNG".into(),
        };
        Ok(())
    }

    /// Writes the floor when it changed.
    fn floor(&mut self) -> Result<(), Refusal> {
        let changes = self.stage.leds.changes();
        if self.stage.floor.is_some() && changes != self.written {
            self.written = changes;
            self.write()?;
        }
        Ok(())
    }

    /// Draws when something changed.
    fn draw(&mut self) -> std::io::Result<()> {
        let panel = self.stage.panel.panel();
        let state = format!(
            "{:?} {:?} {} {} {:?} {}",
            panel.face,
            panel.lamp,
            panel.relay,
            panel.ticks.len(),
            panel.levels,
            self.line
        );
        if self.drawn.as_ref() != Some(&state) {
            self.screen.draw(&panel, &Below { link: &self.link, line: &self.line })?;
            self.drawn = Some(state);
        }
        Ok(())
    }
}
