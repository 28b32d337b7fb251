//! Any NOR flash driver as the core's flash.

use embedded_storage::nor_flash::NorFlash;
use underfoot_core::ports::{FlashPort, Geometry};

/// A NOR flash.
#[derive(Debug)]
pub struct NorPort<T>(pub T);

impl<T: NorFlash> FlashPort for NorPort<T> {
    type Error = T::Error;

    fn geometry(&self) -> Geometry {
        Geometry { capacity: self.0.capacity() as u32, erase: T::ERASE_SIZE as u32, write: T::WRITE_SIZE as u32 }
    }

    fn read(&mut self, at: u32, bytes: &mut [u8]) -> Result<(), T::Error> {
        self.0.read(at, bytes)
    }

    fn erase(&mut self, from: u32, to: u32) -> Result<(), T::Error> {
        self.0.erase(from, to)
    }

    fn write(&mut self, at: u32, bytes: &[u8]) -> Result<(), T::Error> {
        self.0.write(at, bytes)
    }
}
