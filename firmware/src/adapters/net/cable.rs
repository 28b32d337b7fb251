//! What to do when the cable was out: the switch at its other end has forgotten us, or is another one.

use smoltcp::phy::Device;
use smoltcp::time::{Duration, Instant};

use super::{Net, NetError};

/// How often the device is asked for its cable.
const EVERY: Duration = Duration::from_millis(100);

/// Asks a device whether its cable came back since it was asked last.
pub(super) struct Cable<D> {
    came_back: fn(&mut D) -> bool,
    asked: Instant,
}

impl<D> Cable<D> {
    /// One that nobody looks after.
    pub(super) const fn unknown() -> Self {
        Self::of(|_| false)
    }

    const fn of(came_back: fn(&mut D) -> bool) -> Self {
        Self { came_back, asked: Instant::ZERO }
    }

    fn is_back(&mut self, device: &mut D, now: Instant) -> bool {
        let due = now >= self.asked + EVERY;
        if due {
            self.asked = now;
        }
        due && (self.came_back)(device)
    }
}

impl<D: Device> Net<'_, D> {
    /// The same network over a device that can be asked whether its cable was out since it was asked last, and is in.
    #[must_use]
    pub fn with_cable(mut self, came_back: fn(&mut D) -> bool) -> Self {
        self.cable = Cable::of(came_back);
        self
    }

    /// Says again where we are and what we listen to, when the cable was out.
    pub(super) fn greet_again(&mut self) -> Result<(), NetError> {
        if !self.cable.is_back(&mut self.device, self.now) {
            return Ok(());
        }
        self.leave()?;
        if let Some(ip) = self.interface.ipv4_addr() {
            self.announce(ip);
        }
        self.join(self.universe)
    }
}
