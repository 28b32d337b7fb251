//! Datagrams.

use super::hardware::Hardware;
use super::works::Works;
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// Takes what has come by the network.
    pub(super) fn network(&mut self, _now: Instant) {}
}
