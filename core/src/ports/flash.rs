//! Flash memory that keeps the show.

/// Sizes of a flash memory, bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Geometry {
    /// Whole size; a multiple of `erase`.
    pub capacity: u32,
    /// Smallest stretch that can be erased.
    pub erase: u32,
    /// Smallest stretch that can be written; divides `erase`.
    pub write: u32,
}

/// Flash as most parts have it: erasing sets bytes to `0xFF`, writing needs erased bytes.
///
/// Guarantees asked for: a call that returned `Ok` survives a power cut; a call that was cut leaves anything in
/// the stretch it was given, and nothing elsewhere changes.
pub trait FlashPort {
    /// Why an operation failed.
    type Error;

    /// The sizes of this memory.
    fn geometry(&self) -> Geometry;

    /// Reads bytes from offset `at`.
    ///
    /// # Errors
    /// The memory's own.
    fn read(&mut self, at: u32, bytes: &mut [u8]) -> Result<(), Self::Error>;

    /// Erases `from..to`; both multiples of the erase size.
    ///
    /// # Errors
    /// The memory's own.
    fn erase(&mut self, from: u32, to: u32) -> Result<(), Self::Error>;

    /// Writes erased bytes at `at`; offset and length are multiples of the write size.
    ///
    /// # Errors
    /// The memory's own.
    fn write(&mut self, at: u32, bytes: &[u8]) -> Result<(), Self::Error>;
}
