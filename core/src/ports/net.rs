//! Datagrams: the box's door to a network.

use core::convert::Infallible;

use crate::units::Instant;

/// Longest datagram that is taken or sent, bytes: a full sACN packet has 638.
pub const DATAGRAM_BYTES: usize = 640;

/// Where a datagram came from, or goes to: an IPv4 address and a UDP port.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Station {
    /// IPv4 address.
    pub address: [u8; 4],
    /// UDP port.
    pub port: u16,
}

/// Which of the box's own ports a datagram came to, or leaves by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Door {
    /// sACN, both ways.
    Sacn,
    /// The link with desks.
    Link,
    /// The other boxes of the show.
    Crew,
}

/// A datagram that has come; its bytes are at the front of the buffer that was lent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Datagram {
    /// Where it came in.
    pub door: Door,
    /// Who sent it.
    pub from: Station,
    /// Its length, bytes.
    pub len: usize,
}

/// A network that never waits and may lose, repeat and reorder what it carries.
pub trait NetPort {
    /// Why the network failed.
    type Error;

    /// Looks after the network at `now` and takes one datagram that has come; longer ones than `bytes` are dropped.
    ///
    /// # Errors
    /// The network's own; lost datagrams are no error.
    fn receive(&mut self, now: Instant, bytes: &mut [u8]) -> Result<Option<Datagram>, Self::Error>;

    /// Sends a datagram; false when there is no room for it now.
    ///
    /// # Errors
    /// The network's own.
    fn send(&mut self, door: Door, to: Station, bytes: &[u8]) -> Result<bool, Self::Error>;

    /// Listens to the multicast group of a sACN universe as well, and to no other.
    ///
    /// # Errors
    /// The network's own.
    fn listen(&mut self, universe: u16) -> Result<(), Self::Error>;
}

/// A device without a network.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoNet;

impl NetPort for NoNet {
    type Error = Infallible;

    fn receive(&mut self, _now: Instant, _bytes: &mut [u8]) -> Result<Option<Datagram>, Infallible> {
        Ok(None)
    }

    fn send(&mut self, _door: Door, _to: Station, _bytes: &[u8]) -> Result<bool, Infallible> {
        Ok(false)
    }

    fn listen(&mut self, _universe: u16) -> Result<(), Infallible> {
        Ok(())
    }
}
