//! Keys and contacts.

use super::hardware::Hardware;
use super::works::Works;
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// Looks at keys and contacts.
    pub(super) fn hands(&mut self, _now: Instant) {}
}
