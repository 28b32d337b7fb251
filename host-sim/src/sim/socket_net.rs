//! A box's network made of sockets of this machine.

use std::io::{self, ErrorKind};
use std::net::{Ipv4Addr, SocketAddr, SocketAddrV4, UdpSocket};

use underfoot_core::ports::{Address, Datagram, Door, NetPort, Station};
use underfoot_core::sacn;
use underfoot_core::units::Instant;

/// One socket for each door, all at one address of this machine.
#[derive(Debug)]
pub struct SocketNet {
    ip: Ipv4Addr,
    doors: [(Door, UdpSocket); Door::ALL.len()],
    universe: u16,
}

impl SocketNet {
    /// A box at `ip` with its own ports.
    ///
    /// # Errors
    /// When a port is taken, or the address is none of this machine's.
    pub fn at(ip: Ipv4Addr) -> io::Result<Self> {
        Self::open(ip, Door::port)
    }

    /// A box on the loopback address with ports that are free.
    ///
    /// # Errors
    /// When no port is.
    pub fn loopback() -> io::Result<Self> {
        Self::open(Ipv4Addr::LOCALHOST, |_| 0)
    }

    fn open(ip: Ipv4Addr, port: impl Fn(Door) -> u16) -> io::Result<Self> {
        let open = |door| {
            let socket = UdpSocket::bind((ip, port(door)))?;
            socket.set_nonblocking(true)?;
            socket.set_broadcast(true)?;
            Ok::<_, io::Error>((door, socket))
        };
        let [sacn, link, crew] = Door::ALL;
        Ok(Self { ip, doors: [open(sacn)?, open(link)?, open(crew)?], universe: 0 })
    }

    /// Where a door is.
    ///
    /// # Errors
    /// The system's.
    pub fn address(&self, door: Door) -> io::Result<SocketAddr> {
        self.socket(door).local_addr()
    }

    fn socket(&self, door: Door) -> &UdpSocket {
        let [sacn, link, crew] = &self.doors;
        match door {
            Door::Sacn => &sacn.1,
            Door::Link => &link.1,
            Door::Crew => &crew.1,
        }
    }
}

/// Nothing there, or no room: what a network does every day.
fn is_everyday(error: &io::Error) -> bool {
    use ErrorKind::{ConnectionRefused, ConnectionReset, Interrupted, WouldBlock};
    matches!(error.kind(), WouldBlock | Interrupted | ConnectionRefused | ConnectionReset)
}

impl NetPort for SocketNet {
    type Error = io::Error;

    fn settle(&mut self, _address: Address) -> io::Result<()> {
        // A program has the address of its machine.
        Ok(())
    }

    fn receive(&mut self, _now: Instant, bytes: &mut [u8]) -> io::Result<Option<Datagram>> {
        for (door, socket) in &self.doors {
            match socket.recv_from(bytes) {
                Ok((len, SocketAddr::V4(from))) => {
                    let from = Station { address: from.ip().octets(), port: from.port() };
                    return Ok(Some(Datagram { door: *door, from, len }));
                }
                Ok(_) => {}
                Err(error) if is_everyday(&error) => {}
                Err(error) => return Err(error),
            }
        }
        Ok(None)
    }

    fn send(&mut self, door: Door, to: Station, bytes: &[u8]) -> io::Result<bool> {
        let to = SocketAddrV4::new(to.address.into(), to.port);
        match self.socket(door).send_to(bytes, to) {
            Ok(_) => Ok(true),
            Err(error) if error.kind() == ErrorKind::WouldBlock => Ok(false),
            Err(error) if is_everyday(&error) => Ok(true),
            Err(error) => Err(error),
        }
    }

    fn listen(&mut self, universe: u16) -> io::Result<()> {
        if universe == self.universe {
            return Ok(());
        }
        let group = |universe| Ipv4Addr::from(sacn::group(universe));
        if self.universe != 0 {
            self.socket(Door::Sacn).leave_multicast_v4(&group(self.universe), &self.ip)?;
        }
        self.universe = universe;
        if universe == 0 { Ok(()) } else { self.socket(Door::Sacn).join_multicast_v4(&group(universe), &self.ip) }
    }
}
