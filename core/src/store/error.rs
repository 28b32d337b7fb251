//! Why the store failed.

/// Why the store failed; `E` is the flash port's own error.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum StoreError<E> {
    /// The flash's sizes cannot hold two slots and the journal, or its write size is over 32 bytes or no divisor of 32.
    Geometry,
    /// The content is longer than a slot.
    TooLong {
        /// Most bytes of content.
        expected: u32,
        /// Bytes given.
        got: u32,
    },
    /// The lent buffer is shorter than the stored content.
    Buffer {
        /// Bytes needed.
        expected: u32,
        /// Bytes lent.
        got: u32,
    },
    /// What was read back is not what was written: the flash is worn or failing.
    ReadBack,
    /// The flash port failed.
    Flash(E),
}
