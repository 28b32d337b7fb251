//! The way of painted rows to the LEDs.

use crate::paint::RowTarget;

/// Takes the rows of whole frames, canvas after canvas.
pub trait RowPort: RowTarget {
    /// Starts a frame of canvas `canvas`, `width_px` × `height_px`. Rows that are not painted are clear.
    ///
    /// # Errors
    /// The port's own.
    fn begin_frame(&mut self, canvas: u8, width_px: u16, height_px: u16) -> Result<(), Self::Error>;

    /// Ends the frame: what was painted may be shown.
    ///
    /// # Errors
    /// The port's own.
    fn end_frame(&mut self) -> Result<(), Self::Error>;

    /// Shows nothing at all, now, whatever was going on before.
    ///
    /// # Errors
    /// The port's own.
    fn blank(&mut self) -> Result<(), Self::Error>;
}
