//! A panel put together: keys, signals, display and log.

use embedded_hal::digital::OutputPin;
use underfoot_core::panel::Face;
use underfoot_core::ports::{Event, Haptic, Lamp, Levels, Look, PanelPort};
use underfoot_core::units::Instant;

use super::signals::SignalPins;

/// Keys and contacts.
pub trait Inputs {
    /// The levels now.
    fn levels(&mut self) -> Levels;

    /// The oldest look that was made between two polls and not taken yet; none where nobody looks then.
    fn earlier(&mut self) -> Option<Look> {
        None
    }
}

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
pub struct PinPanel<K, L, H, R, D, N> {
    /// Keys and contacts.
    pub keys: K,
    /// Lamp, haptic tick and relay.
    pub signals: SignalPins<L, H, R>,
    /// What shows faces.
    pub display: D,
    /// What keeps events.
    pub log: N,
}

impl<K, L: OutputPin, H: OutputPin, R: OutputPin, D, N> PinPanel<K, L, H, R, D, N> {
    /// Moves what blinks and ticks on to `now`; see [`SignalPins::animate`].
    pub fn animate(&mut self, now: Instant) {
        self.signals.animate(now);
    }
}

impl<K, L, H, R, D, N> PanelPort for PinPanel<K, L, H, R, D, N>
where
    K: Inputs,
    L: OutputPin,
    H: OutputPin,
    R: OutputPin,
    D: Shows,
    N: Notes,
{
    fn earlier(&mut self) -> Option<Look> {
        self.keys.earlier()
    }

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
