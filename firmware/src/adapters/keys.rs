//! Any input pins as the keys and contacts of a panel.

use embedded_hal::digital::InputPin;
use underfoot_core::ports::Levels;

use super::panel::Inputs;

/// Pins of five keys, of the house's stop contact, and of the on-air light where one is wired.
///
/// A pin counts by its logical level: high is a key that is down, a contact that asks for darkness, a light that is lit.
/// Boards whose wires are the other way round turn them with an inverting pin.
#[derive(Debug)]
pub struct KeyPins<K, S, A> {
    /// In the order of `underfoot_core::ports::Key::ALL`.
    pub keys: [K; 5],
    /// The stop contact.
    pub stop: S,
    /// The on-air light.
    pub on_air: Option<A>,
}

impl<K: InputPin, S: InputPin, A: InputPin> Inputs for KeyPins<K, S, A> {
    /// A key that cannot be read is up, a stop contact that cannot be read asks for darkness, and an
    /// on-air light that cannot be read is as one that is not there.
    fn levels(&mut self) -> Levels {
        let mut keys = 0;
        for (bit, key) in self.keys.iter_mut().enumerate() {
            keys |= u8::from(key.is_high().unwrap_or(false)) << bit;
        }
        Levels {
            keys,
            stop: self.stop.is_high().unwrap_or(true),
            on_air: self.on_air.as_mut().and_then(|light| light.is_high().ok()),
        }
    }
}

#[cfg(test)]
mod tests {
    use embedded_hal::digital::{ErrorKind, ErrorType};

    use super::*;

    /// A pin with a level, or a broken one.
    #[derive(Clone, Copy)]
    struct Wire(Option<bool>);

    impl ErrorType for Wire {
        type Error = ErrorKind;
    }

    impl InputPin for Wire {
        fn is_high(&mut self) -> Result<bool, ErrorKind> {
            self.0.ok_or(ErrorKind::Other)
        }
        fn is_low(&mut self) -> Result<bool, ErrorKind> {
            self.is_high().map(|high| !high)
        }
    }

    #[test]
    fn each_key_has_its_bit() {
        for (i, bit) in (0..5).map(|i| (i, 1_u8 << i)) {
            let mut keys = [Wire(Some(false)); 5];
            keys[i] = Wire(Some(true));
            let mut pins = KeyPins { keys, stop: Wire(Some(false)), on_air: Some(Wire(Some(true))) };
            assert_eq!(pins.levels(), Levels { keys: bit, stop: false, on_air: Some(true) });
        }
    }

    #[test]
    fn a_broken_wire_presses_nothing_and_stops() {
        let mut pins = KeyPins { keys: [Wire(None); 5], stop: Wire(None), on_air: Some(Wire(None)) };
        assert_eq!(pins.levels(), Levels { keys: 0, stop: true, on_air: None });
    }
}
