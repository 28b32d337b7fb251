//! A panel put together: keys, signals, display and log.

use embedded_hal::digital::{InputPin, OutputPin};
use underfoot_core::panel::Face;
use underfoot_core::ports::{Event, Haptic, Lamp, Levels, PanelPort};
use underfoot_core::units::Instant;

use super::keys::KeyPins;
use super::signals::SignalPins;

/// Shows faces to people, one way or another.
pub trait Shows {
    /// Shows `face`.
    fn show(&mut self, face: &Face);
}

/// Keeps events.
pub trait Notes {
    /// Keeps `event`.
    fn note(&mut self, event: Event);
}

/// A panel of pins, a display and a log.
#[derive(Debug)]
pub struct PinPanel<I, S, A, L, H, R, D, N> {
    /// Keys and contacts.
    pub keys: KeyPins<I, S, A>,
    /// Lamp, haptic tick and relay.
    pub signals: SignalPins<L, H, R>,
    /// What shows faces.
    pub display: D,
    /// What keeps events.
    pub log: N,
}

impl<I, S, A, L: OutputPin, H: OutputPin, R: OutputPin, D, N> PinPanel<I, S, A, L, H, R, D, N> {
    /// Moves what blinks and ticks on to `now`; see [`SignalPins::animate`].
    pub fn animate(&mut self, now: Instant) {
        self.signals.animate(now);
    }
}

impl<I, S, A, L, H, R, D, N> PanelPort for PinPanel<I, S, A, L, H, R, D, N>
where
    I: InputPin,
    S: InputPin,
    A: InputPin,
    L: OutputPin,
    H: OutputPin,
    R: OutputPin,
    D: Shows,
    N: Notes,
{
    fn levels(&mut self) -> Levels {
        self.keys.levels()
    }

    fn show(&mut self, face: &Face) {
        self.display.show(face);
    }

    fn lamp(&mut self, lamp: Lamp) {
        self.signals.lamp(lamp);
    }

    fn tick(&mut self, haptic: Haptic) {
        self.signals.tick(haptic);
    }

    fn relay(&mut self, closed: bool) {
        self.signals.relay(closed);
    }

    fn note(&mut self, event: Event) {
        self.log.note(event);
    }
}
