//! Any Ethernet device of smoltcp as the core's network: one IPv4 address, a UDP socket for each door, and the
//! multicast group of one sACN universe.
//!
//! All work is bounded: [`NetPort::receive`] looks at [`FRAMES_PER_CALL`] frames at most and stops at the first
//! datagram, so each socket needs room for one. What comes faster waits in the device, and is lost there.

mod cable;

use core::net::Ipv4Addr;

use smoltcp::iface::{
    Config, Interface, MulticastError, PollIngressSingleResult, SocketHandle, SocketSet, SocketStorage,
};
use smoltcp::phy::{Device, TxToken};
use smoltcp::socket::udp::{self, PacketBuffer, PacketMetadata};
use smoltcp::time::Instant;
use smoltcp::wire::{
    ArpOperation, ArpPacket, ArpRepr, EthernetAddress, EthernetFrame, EthernetProtocol, EthernetRepr, HardwareAddress,
    IpAddress, IpCidr, IpEndpoint,
};
use underfoot_core::ports::{Address, DATAGRAM_BYTES, Datagram, Door, NetPort, Station};
use underfoot_core::sacn;
use underfoot_core::units;

use self::cable::Cable;

/// Longest frame that a device has to carry: Ethernet's header, the longest of IPv4, UDP's, a full datagram; in whole
/// words.
pub const FRAME_BYTES: usize = (14 + 60 + 8 + DATAGRAM_BYTES).next_multiple_of(4);
/// Most frames that one call looks at.
pub const FRAMES_PER_CALL: usize = 4;
/// A datagram that could not leave for this long, in milliseconds, is dropped: nobody answers at its address. Longer
/// than smoltcp waits between two questions for an address, one second.
const STUCK_MILLIS: u64 = 1_200;
/// Bytes of an announcement: Ethernet's header and ARP's packet.
const ANNOUNCEMENT_BYTES: usize = 14 + 28;

const DOORS: usize = Door::ALL.len();

/// Memory of a network, made to stand in static memory: sockets, and what is known of the datagrams in [`Letters`].
#[derive(Debug)]
pub struct Room<'r> {
    sockets: [SocketStorage<'r>; DOORS],
    metas: [[[PacketMetadata; 1]; 2]; DOORS],
}

impl Room<'_> {
    /// Room with nothing in it.
    pub const fn new() -> Self {
        Self { sockets: [const { SocketStorage::EMPTY }; DOORS], metas: [[[PacketMetadata::EMPTY]; 2]; DOORS] }
    }
}

impl Default for Room<'_> {
    fn default() -> Self {
        Self::new()
    }
}

/// For each door one datagram that came and one that goes. Apart from [`Room`] because it is nothing but zeros, which
/// cost no flash.
#[derive(Debug)]
pub struct Letters([[[u8; DATAGRAM_BYTES]; 2]; DOORS]);

impl Letters {
    /// No datagrams.
    pub const fn new() -> Self {
        Self([[[0; DATAGRAM_BYTES]; 2]; DOORS])
    }
}

impl Default for Letters {
    fn default() -> Self {
        Self::new()
    }
}

/// Why the network failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NetError {
    /// No box can have this address.
    Address(Address),
    /// The group of a universe could not be joined.
    Group(MulticastError),
}

/// A door's socket.
#[derive(Clone, Copy, Debug)]
struct Way {
    door: Door,
    socket: SocketHandle,
    /// Since when a datagram waits to leave.
    waits_since: Option<Instant>,
}

/// A network over a device.
pub struct Net<'r, D> {
    device: D,
    interface: Interface,
    sockets: SocketSet<'r>,
    ways: [Way; Door::ALL.len()],
    now: Instant,
    universe: u16,
    cable: Cable<D>,
}

impl<'r, D: Device> Net<'r, D> {
    /// A network with no address yet over `device`, whose Ethernet address is `hardware`.
    pub fn new(mut device: D, hardware: [u8; 6], room: &'r mut Room<'r>, letters: &'r mut Letters) -> Self {
        let now = Instant::ZERO;
        let config = Config::new(HardwareAddress::Ethernet(EthernetAddress(hardware)));
        let interface = Interface::new(config, &mut device, now);
        let Room { sockets, metas } = room;
        let mut sockets = SocketSet::new(&mut sockets[..]);
        let mut rooms = metas.iter_mut().zip(&mut letters.0);
        let ways = Door::ALL.map(|door| {
            let ([meta_in, meta_out], [inbox, outbox]) = rooms.next().expect("as many rooms as doors");
            let came = PacketBuffer::new(&mut meta_in[..], &mut inbox[..]);
            let mut socket = udp::Socket::new(came, PacketBuffer::new(&mut meta_out[..], &mut outbox[..]));
            open(&mut socket, door);
            Way { door, socket: sockets.add(socket), waits_since: None }
        });
        Self { device, interface, sockets, ways, now, universe: 0, cable: Cable::unknown() }
    }

    /// Takes the datagram that the last frame was, if it was one.
    fn take(&mut self, bytes: &mut [u8]) -> Option<Datagram> {
        self.ways.iter().find_map(|way| {
            let (len, meta) = self.sockets.get_mut::<udp::Socket<'_>>(way.socket).recv_slice(bytes).ok()?;
            let IpAddress::Ipv4(address) = meta.endpoint.addr;
            let from = Station { address: address.octets(), port: meta.endpoint.port };
            Some(Datagram { door: way.door, from, len })
        })
    }

    /// Sends what waits, and drops what has waited too long so that it does not hold up what comes after it.
    fn flush(&mut self) {
        self.interface.poll_egress(self.now, &mut self.device, &mut self.sockets);
        for way in &mut self.ways {
            if self.sockets.get::<udp::Socket<'_>>(way.socket).send_queue() == 0 {
                way.waits_since = None;
                continue;
            }
            let since = *way.waits_since.get_or_insert(self.now);
            if (self.now - since).total_millis() < STUCK_MILLIS {
                continue;
            }
            // Out of the set and in again: the set remembers for each socket whose address it waits for.
            let mut socket = self.sockets.remove(way.socket);
            if let Some(udp) = smoltcp::socket::AnySocket::downcast_mut(&mut socket) {
                let udp: &mut udp::Socket<'_> = udp;
                udp.close();
                open(udp, way.door);
            }
            let smoltcp::socket::Socket::Udp(udp) = socket;
            (way.socket, way.waits_since) = (self.sockets.add(udp), None);
        }
    }

    /// True for stations in our network, and for everybody and groups.
    fn reaches(&self, to: Station) -> bool {
        let address = Ipv4Addr::from(to.address);
        let near = self.interface.ip_addrs().iter().any(|own| own.contains_addr(&IpAddress::Ipv4(address)));
        to.port != 0 && (near || address.is_multicast() || address.is_broadcast())
    }

    /// Tells everybody where we are, for those who knew our address from somebody else: RFC 5227, section 2.3.
    fn announce(&mut self, ip: Ipv4Addr) {
        let HardwareAddress::Ethernet(hardware) = self.interface.hardware_addr();
        let Some(token) = self.device.transmit(self.now) else { return };
        token.consume(ANNOUNCEMENT_BYTES, |bytes| {
            let mut frame = EthernetFrame::new_unchecked(bytes);
            let header = EthernetRepr {
                src_addr: hardware,
                dst_addr: EthernetAddress::BROADCAST,
                ethertype: EthernetProtocol::Arp,
            };
            header.emit(&mut frame);
            let arp = ArpRepr::EthernetIpv4 {
                operation: ArpOperation::Request,
                source_hardware_addr: hardware,
                source_protocol_addr: ip,
                target_hardware_addr: EthernetAddress([0; 6]),
                target_protocol_addr: ip,
            };
            arp.emit(&mut ArpPacket::new_unchecked(frame.payload_mut()));
        });
    }

    fn join(&mut self, universe: u16) -> Result<(), NetError> {
        if universe == 0 {
            return Ok(());
        }
        self.interface.join_multicast_group(Ipv4Addr::from(sacn::group(universe))).map_err(NetError::Group)
    }

    /// Leaves the group of the universe, and says so.
    fn leave(&mut self) -> Result<(), NetError> {
        if self.universe == 0 {
            return Ok(());
        }
        let group = Ipv4Addr::from(sacn::group(self.universe));
        self.interface.leave_multicast_group(group).map_err(NetError::Group)?;
        self.flush();
        Ok(())
    }
}

fn open(socket: &mut udp::Socket<'_>, door: Door) {
    socket.bind(door.port()).expect("a closed socket and a port");
    if door == Door::Sacn {
        // Groups are of this network only.
        socket.set_hop_limit(Some(1));
    }
}

impl<D: Device> NetPort for Net<'_, D> {
    type Error = NetError;

    fn settle(&mut self, address: Address) -> Result<(), NetError> {
        if !address.is_usable() {
            return Err(NetError::Address(address));
        }
        self.leave()?;
        let ip = Ipv4Addr::from(address.ip);
        self.interface.update_ip_addrs(|all| {
            all.clear();
            // Room for one is what the list has.
            let _ = all.push(IpCidr::new(IpAddress::Ipv4(ip), address.prefix));
        });
        self.announce(ip);
        self.join(self.universe)
    }

    fn receive(&mut self, now: units::Instant, bytes: &mut [u8]) -> Result<Option<Datagram>, NetError> {
        self.now = Instant::from_micros(now.as_micros().cast_signed());
        self.greet_again()?;
        self.flush();
        for _ in 0..FRAMES_PER_CALL {
            let looked = self.interface.poll_ingress_single(self.now, &mut self.device, &mut self.sockets);
            if looked == PollIngressSingleResult::None {
                return Ok(None);
            }
            if let Some(datagram) = self.take(bytes) {
                return Ok(Some(datagram));
            }
        }
        Ok(None)
    }

    fn send(&mut self, door: Door, to: Station, bytes: &[u8]) -> Result<bool, NetError> {
        if !self.reaches(to) {
            // Lost, as it would be on the way.
            return Ok(true);
        }
        let Some(way) = self.ways.iter().find(|way| way.door == door) else { return Ok(false) };
        let end = IpEndpoint::new(IpAddress::Ipv4(Ipv4Addr::from(to.address)), to.port);
        if self.sockets.get_mut::<udp::Socket<'_>>(way.socket).send_slice(bytes, end).is_err() {
            return Ok(false);
        }
        self.flush();
        Ok(true)
    }

    fn listen(&mut self, universe: u16) -> Result<(), NetError> {
        if universe == self.universe {
            return Ok(());
        }
        self.leave()?;
        self.universe = universe;
        self.join(universe)
    }
}
