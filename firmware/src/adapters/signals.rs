//! Any output pins as a panel's lamp, haptic tick and relay.

use embedded_hal::digital::{OutputPin, PinState};
use underfoot_core::ports::{Haptic, Lamp};
use underfoot_core::units::Instant;

/// One turn of the lamp's patterns, milliseconds.
const TURN_MS: u64 = 2_000;
/// The haptic motor's pulse and the pause before a second one, milliseconds: as long as a fingertip needs (common
/// practice).
const TICK_MS: u64 = 40;
const PAUSE_MS: u64 = 80;

/// Pins of the status lamp, the haptic motor and the reveal relay.
///
/// What a pin's driver refuses is dropped: there is nobody to tell but by these pins.
#[derive(Debug)]
pub struct SignalPins<L, H, R> {
    lamp_pin: L,
    haptic_pin: H,
    relay_pin: R,
    lamp: Lamp,
    haptic: Option<Haptic>,
    /// When the haptic motor was started for it.
    since: Option<Instant>,
}

impl<L: OutputPin, H: OutputPin, R: OutputPin> SignalPins<L, H, R> {
    /// All of them at rest: the lamp dark, the relay open.
    pub fn new(mut lamp_pin: L, mut haptic_pin: H, mut relay_pin: R) -> Self {
        let _ = (lamp_pin.set_low(), haptic_pin.set_low(), relay_pin.set_low());
        Self { lamp_pin, haptic_pin, relay_pin, lamp: Lamp::Dark, haptic: None, since: None }
    }

    /// Takes another pattern of the lamp.
    pub fn lamp(&mut self, lamp: Lamp) {
        self.lamp = lamp;
    }

    /// Starts a tick; it takes the place of one that is not over.
    pub fn tick(&mut self, haptic: Haptic) {
        (self.haptic, self.since) = (Some(haptic), None);
    }

    /// Closes or opens the relay.
    pub fn relay(&mut self, closed: bool) {
        let _ = self.relay_pin.set_state(PinState::from(closed));
    }

    /// Moves lamp and motor on to `now`: to be called often, at least every 20 ms.
    pub fn animate(&mut self, now: Instant) {
        let _ = self.lamp_pin.set_state(PinState::from(is_lit(self.lamp, now.as_micros() / 1000)));
        let since = *self.since.get_or_insert(now);
        let after_ms = now.since(since).as_millis();
        let (moving, over) = self.haptic.map_or((false, true), |haptic| pulse(haptic, after_ms));
        let _ = self.haptic_pin.set_state(PinState::from(moving));
        if over {
            self.haptic = None;
        }
    }
}

/// Whether a lamp that knows only on and off is lit: it breathes in steps.
fn is_lit(lamp: Lamp, ms: u64) -> bool {
    match (lamp, ms % TURN_MS) {
        (Lamp::Dark, _) => false,
        (Lamp::Steady, _) => true,
        (Lamp::Breathing, at) => at < TURN_MS / 2,
        // Two lights a turn, so that no second has more than two.
        (Lamp::Twice, at) => at < 200 || (500..700).contains(&at),
    }
}

/// Whether the motor runs so long after its start, and whether it is over.
fn pulse(haptic: Haptic, after_ms: u64) -> (bool, bool) {
    let again = TICK_MS + PAUSE_MS;
    let second = haptic == Haptic::Refused && (again..again + TICK_MS).contains(&after_ms);
    let end = if haptic == Haptic::Refused { again + TICK_MS } else { TICK_MS };
    (after_ms < TICK_MS || second, after_ms >= end)
}

#[cfg(test)]
mod tests {
    use core::convert::Infallible;
    use std::cell::Cell;
    use std::vec::Vec;

    use embedded_hal::digital::ErrorType;

    use super::*;

    struct Wire<'c>(&'c Cell<bool>);

    impl ErrorType for Wire<'_> {
        type Error = Infallible;
    }

    impl OutputPin for Wire<'_> {
        fn set_high(&mut self) -> Result<(), Infallible> {
            self.0.set(true);
            Ok(())
        }
        fn set_low(&mut self) -> Result<(), Infallible> {
            self.0.set(false);
            Ok(())
        }
    }

    /// How often a pattern goes on within `ms` of its start.
    fn starts(pattern: impl Fn(u64) -> bool, ms: u64) -> usize {
        let levels: Vec<bool> = (0..ms).map(pattern).collect();
        levels.windows(2).filter(|pair| !pair[0] && pair[1]).count() + usize::from(levels[0])
    }

    #[test]
    fn no_lamp_flashes_more_than_twice_a_second() {
        for lamp in [Lamp::Dark, Lamp::Steady, Lamp::Breathing, Lamp::Twice] {
            for from in (0..TURN_MS).step_by(50) {
                let rises = (from..from + 1_000).filter(|&ms| is_lit(lamp, ms + 1) && !is_lit(lamp, ms)).count();
                assert!(rises <= 2, "{lamp:?} from {from}");
            }
        }
        assert_eq!(starts(|ms| is_lit(Lamp::Twice, ms), TURN_MS), 2);
        assert_eq!(starts(|ms| is_lit(Lamp::Breathing, ms), TURN_MS), 1);
    }

    #[test]
    fn a_taken_press_ticks_once_and_a_refused_one_twice() {
        assert_eq!(starts(|ms| pulse(Haptic::Taken, ms).0, 1_000), 1);
        assert_eq!(starts(|ms| pulse(Haptic::Refused, ms).0, 1_000), 2);
        let (lamp, motor, relay) = (Cell::new(true), Cell::new(true), Cell::new(true));
        let mut pins = SignalPins::new(Wire(&lamp), Wire(&motor), Wire(&relay));
        assert!(!lamp.get() && !motor.get() && !relay.get(), "at rest");
        pins.tick(Haptic::Taken);
        let at = |ms: u64| Instant::from_millis(1_000_000 + ms);
        pins.animate(at(0));
        assert!(motor.get());
        pins.animate(at(39));
        assert!(motor.get());
        pins.animate(at(40));
        assert!(!motor.get());
        pins.lamp(Lamp::Steady);
        pins.relay(true);
        pins.animate(at(41));
        assert!(lamp.get() && relay.get() && !motor.get());
    }
}
