//! Keys and contacts become inputs of the engine.
//!
//! What a press means is settled when it begins, from what the display showed then: somebody who pressed GO at cue 5
//! means cue 5, whatever else happens while the thumb is down.

use super::hardware::Hardware;
use super::works::Works;
use crate::engine::{Gate, Input, Refused, Sense, Source};
use crate::panel::{Contacts, Face, Key, KeyEvent, Keys};
use crate::ports::{Haptic, Levels, Look, PanelPort};
use crate::show::CueId;
use crate::units::Instant;

/// Looks of a board that one poll takes at most: more than a board keeps.
const MOST_LOOKS: usize = 256;

/// What is known of the hands on this box.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Hands {
    keys: Keys,
    contacts: Contacts,
    /// What comes of the key that is down, once it was held.
    meant: Option<(Key, Meaning)>,
}

/// What a long press does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Meaning {
    Restore(CueId),
    Back(CueId),
    Arm,
}

/// What a press does.
enum Press {
    /// At once.
    Do(Input<'static>),
    /// When it was held.
    Hold(Meaning),
    /// Nothing, and the hand is told.
    Refuse,
    /// Nothing: the level counts, not the press.
    Level,
}

impl<H: Hardware> Works<'_, H> {
    /// Takes what the board saw of keys and contacts since the last poll, and looks at them now.
    pub(super) fn hands(&mut self, now: Instant) {
        for _ in 0..MOST_LOOKS {
            let Some(Look { ago, levels }) = self.panel.earlier() else { break };
            self.feed(now, (now.before(ago), levels));
        }
        let levels = self.panel.levels();
        self.feed(now, (now, levels));
        if let Some(lit) = self.hands.contacts.on_air {
            self.sense(now, Sense::OnAir(lit));
        }
    }

    /// Takes levels of a moment up to `now`.
    fn feed(&mut self, now: Instant, (at, levels): (Instant, Levels)) {
        for event in self.hands.keys.feed(at, levels) {
            self.press(now, event);
        }
        self.contacts(now);
    }

    fn contacts(&mut self, now: Instant) {
        let contacts = self.hands.keys.contacts();
        let told = core::mem::replace(&mut self.hands.contacts, contacts);
        // A closed stop contact is told again should anything have made the engine forget it.
        if contacts.stop != told.stop || (contacts.stop && !self.state.heard.stop) {
            self.sense(now, Sense::Stop(contacts.stop));
        }
        if contacts.clear != told.clear {
            self.sense(now, Sense::ClearKey(contacts.clear));
        }
    }

    fn sense(&mut self, now: Instant, sense: Sense<'_>) {
        let _ = self.enter(now, Input::Sense(sense));
    }

    fn press(&mut self, now: Instant, event: KeyEvent) {
        match event {
            KeyEvent::Pressed(key) => match press(self.told.face.as_ref(), key) {
                Press::Do(input) => self.obey(now, input),
                Press::Hold(meaning) => self.hands.meant = Some((key, meaning)),
                Press::Refuse => self.panel.tick(Haptic::Refused),
                Press::Level => {}
            },
            KeyEvent::Held(key) => {
                let meant = self.hands.meant.take_if(|(of, _)| *of == key);
                if let Some((_, meaning)) = meant {
                    self.obey(now, meaning.input());
                }
            }
            KeyEvent::Released(key) => {
                // Let go too early: the hand has to know that nothing was done.
                if self.hands.meant.take_if(|(of, _)| *of == key).is_some() {
                    self.panel.tick(Haptic::Refused);
                }
            }
            KeyEvent::Slipped(_) => self.panel.tick(Haptic::Refused),
        }
    }

    fn obey(&mut self, now: Instant, input: Input<'_>) {
        let verdict: Result<(), Refused> = self.enter(now, input);
        self.panel.tick(if verdict.is_ok() { Haptic::Taken } else { Haptic::Refused });
    }
}

impl Meaning {
    const fn input(self) -> Input<'static> {
        let from = Source::Keys;
        match self {
            Self::Restore(to) => Input::Go { to, from },
            Self::Back(to) => Input::Back { to, from },
            Self::Arm => Input::Arm { from },
        }
    }
}

/// What a press of `key` means to somebody who sees `face`. OFF and CLEAR mean the same whatever it says.
fn press(face: Option<&Face>, key: Key) -> Press {
    let from = Source::Keys;
    let face = match (key, face) {
        (Key::Off, _) => return Press::Do(Input::Off { from }),
        (Key::Clear, _) => return Press::Level,
        (_, None) => return Press::Refuse,
        (_, Some(face)) => face,
    };
    let next = face.next.as_ref().map(|cue| cue.id);
    let back = face.back.as_ref().map(|cue| cue.id);
    match (key, face.gate) {
        (Key::Back, _) => back.map_or(Press::Refuse, |to| Press::Hold(Meaning::Back(to))),
        (Key::Hold, Gate::Open) => Press::Do(Input::Hold { on: !face.hold, from }),
        // In OFF there is nothing to hold: kept down, the key makes the first of the two steps out of it.
        (Key::Hold, _) => Press::Hold(Meaning::Arm),
        (_, Gate::Held) => next.map_or(Press::Refuse, |to| Press::Hold(Meaning::Restore(to))),
        _ => next.map_or(Press::Refuse, |to| Press::Do(Input::Go { to, from })),
    }
}

#[cfg(test)]
mod tests;
