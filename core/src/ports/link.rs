//! The byte pipe between desk and box.

/// A pipe of bytes that never waits.
pub trait LinkPort {
    /// Why the pipe failed.
    type Error;

    /// Takes the bytes that have arrived, as many as fit, and returns their number; 0 when there are none.
    ///
    /// # Errors
    /// The pipe's own; lost bytes are no error here, the frames' checksums find them.
    fn read(&mut self, bytes: &mut [u8]) -> Result<usize, Self::Error>;

    /// Sends bytes from the front, as many as the pipe takes now, and returns their number.
    ///
    /// # Errors
    /// The pipe's own.
    fn write(&mut self, bytes: &[u8]) -> Result<usize, Self::Error>;
}
