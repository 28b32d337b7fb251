//! What is wired to the panel, as it is read.

/// A key of the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Key {
    /// To the cue shown as NEXT.
    Go,
    /// To the cue before; held.
    Back,
    /// Nobody else may advance.
    Hold,
    /// Everything off.
    Off,
    /// Says CLEAR while it is held.
    Clear,
}

impl Key {
    /// All keys, in the order of their bits in [`Levels::keys`].
    pub const ALL: [Self; 5] = [Self::Go, Self::Back, Self::Hold, Self::Off, Self::Clear];
}

/// The raw levels of everything that is wired to the panel, at one moment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Levels {
    /// Bit i is set while key i of [`Key::ALL`] is down.
    pub keys: u8,
    /// The house's stop contact asks for darkness.
    pub stop: bool,
    /// The on-air light is lit; `None` when no such light is wired to this box.
    pub on_air: Option<bool>,
}

impl Key {
    /// This key's bit in [`Levels::keys`].
    pub const fn bit(self) -> u8 {
        1 << self as u8
    }
}
