//! The box's panel: keys and contacts in; display, lamp, haptic tick and relay out. And its log.

use crate::panel::Face;
pub use crate::panel::{Key, Levels};
use crate::units::Duration;

/// What the status lamp does. No pure red or green: those mean tally, stand by and go to different crews.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Lamp {
    /// Dark: OFF, nothing to look at.
    #[default]
    Dark,
    /// Steady: the floor is lit and nothing is wrong.
    Steady,
    /// Slow sine: waiting for a deliberate press.
    Breathing,
    /// Two short lights: something is wrong, look at the display.
    Twice,
}

/// What the hand feels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Haptic {
    /// One tick: taken.
    Taken,
    /// Two ticks: not taken.
    Refused,
}

/// What happened, for the log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Event {
    /// A show is ready; its pack's checksum.
    ShowReady {
        /// Checksum at the end of the pack.
        pack_crc: u32,
    },
    /// There is no show: fresh memory, or nothing whole in it.
    NoShow,
    /// The stored show could not be read.
    StoreFailed,
    /// A pack was refused.
    PackRefused,
    /// The versions of desk and box do not meet.
    VersionMismatch,
    /// A damaged frame came over the link.
    BadFrame,
    /// A picture could not be painted; the floor is blank.
    PaintFault,
    /// A port failed.
    PortFault,
    /// The box was wiped.
    Wiped,
    /// The box was told which one it is.
    SetUp,
}

/// Levels that a board looked at by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Look {
    /// How long ago.
    pub ago: Duration,
    /// The levels then.
    pub levels: Levels,
}

/// The panel of a box.
pub trait PanelPort {
    /// Takes the oldest look that the board made by itself and that was not taken yet. A board whose polls may be more
    /// than 5 ms apart looks by itself, so that no press is missed and none counts late.
    fn earlier(&mut self) -> Option<Look> {
        None
    }

    /// The levels now; the box itself waits for them to settle.
    fn levels(&mut self) -> Levels;

    /// Shows `face` on the display; called when it changes.
    fn show(&mut self, face: &Face);

    /// Sets the lamp; called when it changes.
    fn lamp(&mut self, lamp: Lamp);

    /// Lets the hand feel something.
    fn tick(&mut self, haptic: Haptic);

    /// Closes or opens the reveal relay; called when it changes, and open at power-up. Closed means CLEAR.
    fn relay(&mut self, closed: bool);

    /// Writes `event` to the log.
    fn note(&mut self, event: Event);
}
