//! Pixel tape of a simulated box: a network that carries its sACN streams to LEDs at the desk, and nothing else.

use std::convert::Infallible;

use underfoot_core::ports::{Address, Datagram, Door, NetPort, Station};
use underfoot_core::sacn::{Data, Packet, read};
use underfoot_core::units::Instant;

use super::Leds;

/// The cable from a box to its tapes. There is nobody else on it.
#[derive(Clone, Debug)]
pub struct TapeNet {
    leds: Leds,
    /// Pixels of the frame on its way: of the strip whose first universe is its synchronization address.
    coming: Vec<[u8; 3]>,
}

impl TapeNet {
    /// Tapes that are seen among `leds`.
    pub const fn new(leds: Leds) -> Self {
        Self { leds, coming: Vec::new() }
    }

    fn take(&mut self, data: &Data<'_>) {
        let (universe, sync) = (data.header.universe, data.header.sync_address);
        if sync == 0 || sync == universe {
            self.coming.clear();
        }
        self.coming.extend(data.slots.as_chunks::<3>().0);
        if data.header.terminated {
            self.coming.clear();
            self.leds.tape(if sync == 0 { universe } else { sync }, &[]);
        } else if sync == 0 {
            self.leds.tape(universe, &self.coming);
        }
    }
}

impl NetPort for TapeNet {
    type Error = Infallible;

    fn settle(&mut self, _address: Address) -> Result<(), Infallible> {
        Ok(())
    }

    fn receive(&mut self, _now: Instant, _bytes: &mut [u8]) -> Result<Option<Datagram>, Infallible> {
        Ok(None)
    }

    fn send(&mut self, door: Door, _to: Station, bytes: &[u8]) -> Result<bool, Infallible> {
        if door != Door::Sacn {
            return Ok(false);
        }
        match read(bytes) {
            Ok(Packet::Data(data)) => self.take(&data),
            Ok(Packet::Sync(sync)) if !self.coming.is_empty() => self.leds.tape(sync.address, &self.coming),
            Ok(_) | Err(_) => {}
        }
        Ok(true)
    }

    fn listen(&mut self, _universe: u16) -> Result<(), Infallible> {
        Ok(())
    }
}
