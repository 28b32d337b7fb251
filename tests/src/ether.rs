//! Ethernet frames made and read by hand, byte by byte from the standards: what the box's network is tried with. Shares
//! no code with the network under test.
//!
//! Ethernet II; ARP by RFC 826; IPv4 by RFC 791 with the checksum of RFC 1071; UDP by RFC 768; IGMP 2 by RFC 2236;
//! groups on Ethernet by RFC 1112, section 6.4.

/// The Ethernet address of everybody.
pub const EVERYBODY: [u8; 6] = [0xFF; 6];

/// One end of a conversation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct End {
    /// Ethernet address.
    pub mac: [u8; 6],
    /// IPv4 address.
    pub ip: [u8; 4],
    /// UDP port.
    pub port: u16,
}

impl End {
    /// The same machine at another port.
    pub const fn at(self, port: u16) -> Self {
        Self { port, ..self }
    }

    /// A multicast group.
    pub const fn group(ip: [u8; 4], port: u16) -> Self {
        Self { mac: [0x01, 0x00, 0x5E, ip[1] & 0x7F, ip[2], ip[3]], ip, port }
    }

    /// The group of a sACN universe: ANSI E1.31-2018, 9.3.1.
    pub const fn universe(universe: u16) -> Self {
        let [high, low] = universe.to_be_bytes();
        Self::group([239, 255, high, low], 5568)
    }
}

/// What a frame is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Seen {
    /// Somebody asks who has an address, or says so; sender and target.
    Arp {
        /// 1 asks, 2 answers.
        operation: u16,
        /// Who says it.
        sender: ([u8; 6], [u8; 4]),
        /// Whom it is about.
        target: [u8; 4],
    },
    /// A datagram with a right checksum.
    Udp {
        /// Who sent it.
        from: End,
        /// Where it goes.
        to: End,
        /// What it says.
        bytes: Vec<u8>,
    },
    /// A group is joined (0x16) or left (0x17).
    Igmp {
        /// Which of the two.
        kind: u8,
        /// The group.
        group: [u8; 4],
        /// Whom it was sent to.
        to: [u8; 4],
    },
    /// Anything else.
    Other,
}

/// The checksum of RFC 1071 over `parts`, each of which but the last has an even length.
pub fn checksum(parts: &[&[u8]]) -> u16 {
    let mut sum = 0_u32;
    for part in parts {
        for pair in part.chunks(2) {
            sum += u32::from(u16::from_be_bytes([pair[0], pair.get(1).copied().unwrap_or(0)]));
        }
    }
    while sum > 0xFFFF {
        sum = (sum & 0xFFFF) + (sum >> 16);
    }
    !(sum as u16)
}

fn ethernet(to: [u8; 6], from: [u8; 6], kind: u16, body: &[u8]) -> Vec<u8> {
    let mut frame = [&to[..], &from[..], &kind.to_be_bytes()[..], body].concat();
    // Short frames are filled up to what the wire wants.
    frame.resize(frame.len().max(60), 0);
    frame
}

fn ipv4(from: End, to: End, protocol: u8, body: &[u8]) -> Vec<u8> {
    let len = (20 + body.len()) as u16;
    let mut head = [0x45, 0, 0, 0, 0, 0, 0x40, 0, 64, protocol, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0];
    head[2..4].copy_from_slice(&len.to_be_bytes());
    head[12..16].copy_from_slice(&from.ip);
    head[16..20].copy_from_slice(&to.ip);
    let sum = checksum(&[&head]);
    head[10..12].copy_from_slice(&sum.to_be_bytes());
    ethernet(to.mac, from.mac, 0x0800, &[&head[..], body].concat())
}

/// A datagram.
pub fn udp(from: End, to: End, bytes: &[u8]) -> Vec<u8> {
    let len = (8 + bytes.len()) as u16;
    let ends = [from.port.to_be_bytes(), to.port.to_be_bytes(), len.to_be_bytes()].concat();
    let pseudo = [&from.ip[..], &to.ip[..], &[0, 17][..], &len.to_be_bytes()[..]].concat();
    let sum = match checksum(&[&pseudo, &ends, bytes]) {
        0 => 0xFFFF,
        sum => sum,
    };
    ipv4(from, to, 17, &[&ends[..], &sum.to_be_bytes()[..], bytes].concat())
}

/// Somebody asks for the Ethernet address of `wanted`, or (operation 2) gives his own to `to`.
pub fn arp(operation: u16, from: End, to: [u8; 6], wanted: [u8; 4]) -> Vec<u8> {
    let target = if operation == 1 { [0; 6] } else { to };
    let head = [0, 1, 8, 0, 6, 4];
    let body =
        [&head[..], &operation.to_be_bytes()[..], &from.mac[..], &from.ip[..], &target[..], &wanted[..]].concat();
    ethernet(to, from.mac, 0x0806, &body)
}

/// A router asks who is in any group.
pub fn igmp_query(from: End) -> Vec<u8> {
    let mut body = [0x11, 10, 0, 0, 0, 0, 0, 0];
    let sum = checksum(&[&body]);
    body[2..4].copy_from_slice(&sum.to_be_bytes());
    ipv4(from, End::group([224, 0, 0, 1], 0), 2, &body)
}

/// Reads a frame.
pub fn read(frame: &[u8]) -> Seen {
    parse(frame).unwrap_or(Seen::Other)
}

fn parse(frame: &[u8]) -> Option<Seen> {
    let (head, body) = frame.split_at_checked(14)?;
    let macs: ([u8; 6], [u8; 6]) = (head[..6].try_into().ok()?, head[6..12].try_into().ok()?);
    match u16::from_be_bytes([head[12], head[13]]) {
        0x0806 => Some(Seen::Arp {
            operation: u16::from_be_bytes(body.get(6..8)?.try_into().ok()?),
            sender: (body.get(8..14)?.try_into().ok()?, body.get(14..18)?.try_into().ok()?),
            target: body.get(24..28)?.try_into().ok()?,
        }),
        0x0800 => parse_ip(macs, body),
        _ => None,
    }
}

fn parse_ip((to, from): ([u8; 6], [u8; 6]), packet: &[u8]) -> Option<Seen> {
    let head_len = usize::from(packet.first()? & 15) * 4;
    let len = usize::from(u16::from_be_bytes(packet.get(2..4)?.try_into().ok()?));
    let (head, body) = packet.get(..len)?.split_at_checked(head_len)?;
    if checksum(&[head]) != 0 {
        return None;
    }
    let ips: ([u8; 4], [u8; 4]) = (head[12..16].try_into().ok()?, head[16..20].try_into().ok()?);
    let port = |at: usize| Some(u16::from_be_bytes(body.get(at..at + 2)?.try_into().ok()?));
    match head[9] {
        2 if checksum(&[body]) == 0 => {
            Some(Seen::Igmp { kind: *body.first()?, group: body.get(4..8)?.try_into().ok()?, to: ips.1 })
        }
        17 => {
            let pseudo = [&head[12..20], &[0, 17], body.get(4..6)?].concat();
            (checksum(&[&pseudo, body]) == 0).then_some(())?;
            let from = End { mac: from, ip: ips.0, port: port(0)? };
            let to = End { mac: to, ip: ips.1, port: port(2)? };
            Some(Seen::Udp { from, to, bytes: body.get(8..)?.to_vec() })
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 1071, section 3: the sum of these bytes is ddf2, and the checksum its complement.
    #[test]
    fn the_checksum_is_the_standards_example() {
        assert_eq!(checksum(&[&[0x00, 0x01, 0xF2, 0x03, 0xF4, 0xF5, 0xF6, 0xF7]]), !0xDDF2);
    }

    #[test]
    fn what_is_made_is_read_and_damage_is_seen() {
        let from = End { mac: [2, 0, 0, 0, 0, 1], ip: [10, 0, 0, 1], port: 4000 };
        let to = End::group([239, 255, 0, 7], 5568);
        let frame = udp(from, to, b"odd");
        assert_eq!(read(&frame), Seen::Udp { from, to, bytes: b"odd".to_vec() });
        // The words of addresses and ports may change places without the sum's notice, but no single bit may.
        for bit in (14 * 8)..(14 + 20 + 8 + 3) * 8 {
            let mut damaged = frame.clone();
            damaged[bit / 8] ^= 1 << (bit % 8);
            assert!(!matches!(read(&damaged), Seen::Udp { ref bytes, .. } if bytes != b"odd"), "bit {bit}");
        }
    }
}
