//! Any serial line that says whether it would wait, as the core's link.

use embedded_io::{Read, ReadReady, Write, WriteReady};
use underfoot_core::ports::LinkPort;

/// A serial line as a pipe that never waits.
#[derive(Debug)]
pub struct SerialPort<T>(pub T);

impl<T: Read + ReadReady + Write + WriteReady> LinkPort for SerialPort<T> {
    type Error = T::Error;

    fn read(&mut self, bytes: &mut [u8]) -> Result<usize, T::Error> {
        if self.0.read_ready()? { self.0.read(bytes) } else { Ok(0) }
    }

    fn write(&mut self, bytes: &[u8]) -> Result<usize, T::Error> {
        if self.0.write_ready()? { self.0.write(bytes) } else { Ok(0) }
    }
}
