//! Datagrams: the box's door to a network.

use crate::units::Instant;

/// Longest datagram that is taken or sent, bytes: a full sACN packet has 638.
pub const DATAGRAM_BYTES: usize = 640;

/// UDP port of sACN: `ACN_SDT_MULTICAST_PORT` of ANSI E1.31-2018, appendix A.
pub const SACN_PORT: u16 = 5568;
/// UDP port of the link with desks. This and the next are ours alone: from the range that nobody is ever assigned
/// (RFC 6335, section 6), above the ports that common systems lend to programs.
pub const LINK_PORT: u16 = 62_210;
/// UDP port of the boxes of a show among themselves.
pub const CREW_PORT: u16 = 62_211;

/// A box's own place in its network: IPv4 address and length of the network's prefix. There is no gateway: boxes and
/// desks of a show are in one network.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Address {
    /// IPv4 address.
    pub ip: [u8; 4],
    /// Bits of the address that all of the network share, 8 to 30.
    pub prefix: u8,
}

impl Address {
    /// What a box has until it is told otherwise: 10.62.N.1 for the main box of controller N, 10.62.N.2 for its backup,
    /// all in 10.62.0.0/16, a private range (RFC 1918). 10.62.N.100 and above are free for desks.
    pub const fn of_box(controller: u8, backup: bool) -> Self {
        Self { ip: [10, 62, controller, 1 + backup as u8], prefix: 16 }
    }

    /// True when a box can have it: no group, no broadcast, no loopback, not all zeros, and a prefix in range.
    pub const fn is_usable(self) -> bool {
        if self.prefix < 8 || self.prefix > 30 {
            return false;
        }
        let (first, whole) = (self.ip[0], u32::from_be_bytes(self.ip));
        let host = whole & (u32::MAX >> self.prefix);
        first != 0 && first != 127 && first < 224 && host != 0 && host != u32::MAX >> self.prefix
    }
}

/// Where a datagram came from, or goes to: an IPv4 address and a UDP port.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Station {
    /// IPv4 address.
    pub address: [u8; 4],
    /// UDP port.
    pub port: u16,
}

impl Station {
    /// Everybody in the box's network who listens at this UDP port.
    pub const fn everybody(port: u16) -> Self {
        Self { address: [255; 4], port }
    }
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

impl Door {
    /// All doors.
    pub const ALL: [Self; 3] = [Self::Sacn, Self::Link, Self::Crew];

    /// The box's UDP port of this door.
    pub const fn port(self) -> u16 {
        match self {
            Self::Sacn => SACN_PORT,
            Self::Link => LINK_PORT,
            Self::Crew => CREW_PORT,
        }
    }
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

    /// Takes this address, instead of any that it had.
    ///
    /// # Errors
    /// The network's own.
    fn settle(&mut self, address: Address) -> Result<(), Self::Error>;

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_box_has_an_address_of_its_own_that_can_be_used() {
        let mut seen = std::collections::BTreeSet::new();
        for (controller, backup) in (0..=255).flat_map(|c| [(c, false), (c, true)]) {
            let address = Address::of_box(controller, backup);
            assert!(address.is_usable() && seen.insert(address.ip), "{address:?}");
        }
    }

    /// Special addresses: RFC 1122, section 3.2.1.3.
    #[test]
    fn addresses_that_mean_something_else_are_no_box() {
        let no = [
            ([0, 0, 0, 0], 16),
            ([0, 1, 2, 3], 8),
            ([127, 0, 0, 1], 8),
            ([224, 0, 0, 1], 24),
            ([239, 255, 0, 1], 16),
            ([255, 255, 255, 255], 24),
            ([10, 62, 0, 0], 16),
            ([10, 62, 255, 255], 16),
            ([192, 168, 1, 255], 24),
            ([192, 168, 1, 7], 31),
            ([192, 168, 1, 7], 7),
        ];
        for (ip, prefix) in no {
            assert!(!Address { ip, prefix }.is_usable(), "{ip:?}/{prefix}");
        }
        assert!(Address { ip: [192, 168, 1, 254], prefix: 24 }.is_usable());
    }
}
