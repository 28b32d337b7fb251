//! The way of painted rows to the LEDs.

use core::convert::Infallible;

use crate::paint::{RowTarget, Span};

/// Takes the rows of whole frames, canvas after canvas.
pub trait RowPort: RowTarget {
    /// Starts a frame of canvas `canvas`, `width_px` × `height_px`. Rows that are not painted are clear. A frame that was
    /// begun and not ended is given up.
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

/// Rows of a device without LEDs: taken, and gone.
#[derive(Clone, Copy, Debug, Default)]
pub struct Nowhere;

impl RowTarget for Nowhere {
    type Error = Infallible;

    fn begin_row(&mut self, _row: u16, _start: u16, _end: u16) -> Result<(), Infallible> {
        Ok(())
    }

    fn span(&mut self, _span: Span) -> Result<(), Infallible> {
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

impl RowPort for Nowhere {
    fn begin_frame(&mut self, _canvas: u8, _width_px: u16, _height_px: u16) -> Result<(), Infallible> {
        Ok(())
    }

    fn end_frame(&mut self) -> Result<(), Infallible> {
        Ok(())
    }

    fn blank(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}
