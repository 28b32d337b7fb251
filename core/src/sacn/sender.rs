//! Strips of pixels out: one packet at a time, in memory that is lent, and no other store.

use super::packet::{Cid, HEADER_BYTES, Header, PACKET_BYTES, Sync};
use super::strip::{Part, Pixels, Strip};
use super::write::{write_header, write_sync};
use super::{PRIORITY, group};
use crate::ports::{Door, NetPort, SACN_PORT, Station};

/// Priority of a backup's streams, which it sends only while it is in charge: above the main box's, so that tapes follow
/// at once and do not wait until that is lost.
pub const BACKUP_PRIORITY: u8 = PRIORITY + 1;
/// Longest name of a box as a source.
const NAME: usize = 24;

/// Who sends, as receivers see it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Identity {
    /// Its number for life.
    pub cid: Cid,
    /// Priority of its streams.
    pub priority: u8,
    name: [u8; NAME],
}

impl Identity {
    /// A box's identity, made of what stays as long as its setup does: a UUID of version 8 (RFC 9562, 5.8) with the
    /// letters `underf`, then controller, 1 for a backup, and IPv4 address in its last six bytes.
    pub fn of_box(controller: u8, is_backup: bool, [a, b, c, d]: [u8; 4]) -> Self {
        let [u, n, e, r, f] = *b"unerf";
        let cid = Cid([u, n, b'd', e, r, f, 0x80, 0, 0x80, 0, controller, is_backup.into(), a, b, c, d]);
        let mut name = [0; NAME];
        let digits = [controller / 100, controller / 10 % 10, controller % 10].map(|digit| b'0' + digit);
        let role: &[u8] = if is_backup { b" backup" } else { b"" };
        let letters = b"Underfoot ".iter().chain(&digits).chain(role);
        name.iter_mut().zip(letters).for_each(|(to, from)| *to = *from);
        Self { cid, priority: if is_backup { BACKUP_PRIORITY } else { PRIORITY }, name }
    }
}

/// What all packets of one frame of a strip have in common.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shot {
    /// The strip.
    pub strip: Strip,
    /// One more with each frame, modulo 256: a frame has one packet for each universe.
    pub sequence: u8,
    /// The stream ends with this.
    pub terminated: bool,
}

impl Shot {
    /// Synchronization address: the first universe's number, and none when there is only one, which is always whole.
    pub const fn sync_address(&self) -> u16 {
        if self.strip.universes() > 1 { self.strip.first() } else { 0 }
    }
}

/// Memory of the packet in work.
pub type Letter = [u8; PACKET_BYTES];

/// Makes packets and sends them, one at a time: the one that finds no room waits in the memory that was lent, which must
/// be the same each time.
#[derive(Clone, Copy, Debug)]
pub struct Sender {
    identity: Identity,
    /// Universe or synchronization address of the packet that waits, and its length.
    waiting: Option<(u16, usize)>,
}

impl Sender {
    /// A sender that has sent nothing.
    pub const fn new(identity: Identity) -> Self {
        Self { identity, waiting: None }
    }

    /// Who sends.
    pub const fn identity(&self) -> &Identity {
        &self.identity
    }

    /// The pixels of the next packet, black until they are painted; a packet that waits is dropped. The painter gives the
    /// rows of [`Part::rows`], of all blocks that have pixels there, in any order.
    pub fn pixels<'l>(&mut self, part: Part, letter: &'l mut Letter) -> Pixels<'l> {
        self.waiting = None;
        let slots = letter.get_mut(HEADER_BYTES..HEADER_BYTES + part.slots());
        Pixels::new(part, slots.unwrap_or(&mut []))
    }

    /// Makes a packet of the pixels of this part, to be sent by [`Sender::flush`].
    pub fn seal(&mut self, shot: &Shot, part: Part, letter: &mut Letter) {
        let header = Header {
            cid: self.identity.cid,
            name: &self.identity.name,
            priority: self.identity.priority,
            sync_address: shot.sync_address(),
            sequence: shot.sequence,
            preview: false,
            terminated: shot.terminated,
            // A tape that is a packet behind is better than one that stands still.
            force_sync: true,
            universe: part.universe,
        };
        let len = write_header(&header, part.slots(), letter);
        self.waiting = len.map(|len| (part.universe, len));
    }

    /// Makes the synchronization packet that lets a frame act. A strip of one universe needs none.
    pub fn seal_sync(&mut self, shot: &Shot, letter: &mut Letter) {
        let address = shot.sync_address();
        let sync = Sync { cid: self.identity.cid, sequence: shot.sequence, address };
        let len = write_sync(&sync, letter).filter(|_| address != 0);
        self.waiting = len.map(|len| (address, len));
    }

    /// Sends the packet that waits to the group of its universe; false when the network has no room now. True also when
    /// none waits.
    ///
    /// # Errors
    /// The network's own; the packet is dropped.
    pub fn flush<N: NetPort>(&mut self, net: &mut N, letter: &Letter) -> Result<bool, N::Error> {
        let Some((universe, len)) = self.waiting.take() else { return Ok(true) };
        let station = Station { address: group(universe), port: SACN_PORT };
        let sent = net.send(Door::Sacn, station, letter.get(..len).unwrap_or(&[]))?;
        if !sent {
            self.waiting = Some((universe, len));
        }
        Ok(sent)
    }
}
