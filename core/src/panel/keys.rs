//! Raw levels in, what hands did out: settled presses, long presses, settled contacts.

use heapless::Vec;

use super::levels::{Key, Levels};
use super::line::Line;
use crate::units::{Duration, Instant};

/// How long a key is held for a long press, from when it settled.
pub const LONG: Duration = Duration::from_millis(600);

/// Keys, and so the most events of one look.
const KEYS: usize = Key::ALL.len();

/// What a hand did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum KeyEvent {
    /// A key went down.
    Pressed(Key),
    /// A key that was pressed has been down for [`LONG`], and no other was pressed meanwhile.
    Held(Key),
    /// A key came up.
    Released(Key),
    /// A key went down while another was down: a slip of the hand, nothing more comes of it. Never told of OFF and CLEAR,
    /// which count beside any other key.
    Slipped(Key),
}

/// The settled contacts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Contacts {
    /// The house asks for darkness.
    pub stop: bool,
    /// The on-air light is lit; `None` without one.
    pub on_air: Option<bool>,
    /// CLEAR is down.
    pub clear: bool,
}

/// All keys and contacts of a panel.
#[derive(Clone, Copy, Debug)]
pub struct Keys {
    buttons: [Button; KEYS],
    stop: Line,
    on_air: Line,
    has_on_air: bool,
    began: bool,
}

#[derive(Clone, Copy, Debug)]
struct Button {
    key: Key,
    line: Line,
    press: Press,
}

/// What is known of a press.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Press {
    /// The key is up.
    Up,
    /// Down since power came: ignored until it was up.
    Stuck,
    /// Down since then, no other pressed meanwhile.
    Since(Instant),
    /// Down, and nothing more comes of it: it was held, or another key was pressed.
    Spent,
}

impl Default for Keys {
    fn default() -> Self {
        Self::new()
    }
}

impl Keys {
    /// A panel that nobody has looked at.
    pub const fn new() -> Self {
        const fn button(key: Key) -> Button {
            Button { key, line: Line::new(matches!(key, Key::Off)), press: Press::Up }
        }
        let [go, back, hold, off, clear] = Key::ALL;
        Self {
            buttons: [button(go), button(back), button(hold), button(off), button(clear)],
            stop: Line::new(true),
            on_air: Line::new(false),
            has_on_air: false,
            began: false,
        }
    }

    /// Takes the levels at `now`, and says what has settled since the last look, at most one event for each key. For OFF
    /// to be told within 35 ms of its first touch, looks are at most 5 ms apart.
    ///
    /// Keys that are down at the first look are ignored until they were up. A contact counts at once then, and a light
    /// that is newly wired counts as lit until it was seen dark.
    pub fn feed(&mut self, now: Instant, levels: Levels) -> Vec<KeyEvent, KEYS> {
        if !self.began {
            self.begin(now, levels);
        }
        self.stop.feed(now, levels.stop);
        if let Some(lit) = levels.on_air {
            if !self.has_on_air {
                self.on_air.start(now, true);
            }
            self.on_air.feed(now, lit);
        }
        self.has_on_air = levels.on_air.is_some();
        (0..KEYS).filter_map(|i| self.look(now, levels, i)).collect()
    }

    /// The contacts as they settled.
    pub fn contacts(&self) -> Contacts {
        let is_clear = |b: &Button| b.key == Key::Clear && matches!(b.press, Press::Since(_) | Press::Spent);
        Contacts {
            stop: self.stop.is_closed(),
            on_air: self.has_on_air.then(|| self.on_air.is_closed()),
            clear: self.buttons.iter().any(is_clear),
        }
    }

    /// Keys that were down when power came and have not been up since, as bits of [`Levels::keys`].
    pub fn stuck(&self) -> u8 {
        let stuck = self.buttons.iter().filter(|b| b.press == Press::Stuck);
        stuck.fold(0, |bits, b| bits | b.key.bit())
    }

    fn begin(&mut self, now: Instant, levels: Levels) {
        self.began = true;
        self.stop.start(now, levels.stop);
        for button in self.buttons.iter_mut().filter(|b| levels.keys & b.key.bit() != 0) {
            button.line.start(now, true);
            button.press = Press::Stuck;
        }
    }

    fn look(&mut self, now: Instant, levels: Levels, index: usize) -> Option<KeyEvent> {
        let others_down = self.buttons.iter().enumerate().any(|(i, b)| i != index && b.is_in_the_way());
        let button = self.buttons.get_mut(index)?;
        let event = button.look(now, levels, others_down)?;
        if matches!(event, KeyEvent::Pressed(_) | KeyEvent::Slipped(_)) && button.key != Key::Clear {
            // Two keys under one hand: whatever the first was held for is off.
            let others = self.buttons.iter_mut().enumerate().filter(|(i, b)| *i != index && b.is_in_the_way());
            others.for_each(|(_, other)| other.press = Press::Spent);
        }
        Some(event)
    }
}

impl Button {
    /// True while this key makes a press of another one a slip. A stuck key must not block the rest.
    fn is_in_the_way(&self) -> bool {
        self.key != Key::Clear && matches!(self.press, Press::Since(_) | Press::Spent)
    }

    fn look(&mut self, now: Instant, levels: Levels, others_down: bool) -> Option<KeyEvent> {
        let key = self.key;
        if !self.line.feed(now, levels.keys & key.bit() != 0) {
            return match self.press {
                Press::Since(start) if now.since(start) >= LONG => {
                    self.press = Press::Spent;
                    Some(KeyEvent::Held(key))
                }
                _ => None,
            };
        }
        if !self.line.is_closed() {
            let was = core::mem::replace(&mut self.press, Press::Up);
            return (was != Press::Stuck).then_some(KeyEvent::Released(key));
        }
        if others_down && !matches!(key, Key::Off | Key::Clear) {
            self.press = Press::Spent;
            return Some(KeyEvent::Slipped(key));
        }
        self.press = Press::Since(now);
        Some(KeyEvent::Pressed(key))
    }
}

#[cfg(test)]
mod tests;
