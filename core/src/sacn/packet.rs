//! Reading E1.31 packets: length once, then every fixed field, then the meaning.
//!
//! Numbers in brackets are clauses of ANSI E1.31-2018. All numbers on the wire are big-endian.

use super::layout::{
    CID_AT, COUNT_AT, DMP_AT, DMP_FIXED, FLAGS, FORCE_SYNC, FRAMING_AT, FRAMING_DATA, FRAMING_DISCOVERY, FRAMING_SYNC,
    NAME_AT, OPTIONS_AT, PREFIX, PREVIEW, PRIORITY_AT, PRIORITY_MAX, ROOT_AT, ROOT_DATA, ROOT_EXTENDED, SEQUENCE_AT,
    START_CODE_AT, SYNC_ADDRESS_AT, SYNC_OF_SYNC_AT, SYNC_SEQUENCE_AT, TERMINATED, UNIVERSE_AT,
};
use crate::limits;

/// Most slots of a universe.
pub const UNIVERSE_SLOTS: usize = 512;
/// Bytes of a data packet before its first slot, the start code included.
pub const HEADER_BYTES: usize = 126;
/// Longest data packet, bytes.
pub const PACKET_BYTES: usize = HEADER_BYTES + UNIVERSE_SLOTS;
/// Length of a synchronization packet, bytes.
pub const SYNC_BYTES: usize = 49;
/// Bytes of the field that holds the source's name.
pub const NAME_BYTES: usize = 64;

/// A field that is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Check {
    /// The packet is too short to hold its layers.
    Short,
    /// Preamble size (5.1).
    Preamble,
    /// Post-amble size (5.2).
    Postamble,
    /// ACN packet identifier (5.3).
    Identifier,
    /// Flags and length of the root layer (5.4).
    RootLength,
    /// Vector of the root layer (5.5).
    RootVector,
    /// Flags and length of the framing layer (6.1).
    FramingLength,
    /// Vector of the framing layer (6.2.1).
    FramingVector,
    /// Priority (6.2.3).
    Priority,
    /// Synchronization address (6.2.4, 6.3.3).
    SyncAddress,
    /// Universe (6.2.7).
    Universe,
    /// Flags and length of the DMP layer (7.1).
    DmpLength,
    /// Vector of the DMP layer (7.2).
    DmpVector,
    /// Address type and data type (7.3).
    AddressType,
    /// First property address (7.4).
    FirstAddress,
    /// Address increment (7.5).
    Increment,
    /// Property value count, the start code among them (7.6).
    Count,
}

/// Why some bytes are no packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct WireError {
    /// The check that failed.
    pub check: Check,
    /// What it wants: a value, or the bound that was passed.
    pub expected: u32,
    /// What came.
    pub got: u32,
}

/// A source's own number for life, a UUID (5.6).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Cid(pub [u8; 16]);

/// All of a data packet but its values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Header<'a> {
    /// Who sends.
    pub cid: Cid,
    /// What people call the sender: UTF-8 by the standard, not checked because nothing hangs on it.
    pub name: &'a [u8],
    /// 0 to 200, higher wins.
    pub priority: u8,
    /// Universe of the synchronization packets that this one waits for; 0 for none.
    pub sync_address: u16,
    /// One more with each packet of the universe, modulo 256.
    pub sequence: u8,
    /// Not for live output.
    pub preview: bool,
    /// The source ends this universe; the values mean nothing.
    pub terminated: bool,
    /// When synchronization packets stay away: run free, rather than freeze.
    pub force_sync: bool,
    /// 1 to 63999.
    pub universe: u16,
}

/// A data packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Data<'a> {
    /// All but the values.
    pub header: Header<'a>,
    /// 0 for levels.
    pub start_code: u8,
    /// At most 512; slot 1 comes first.
    pub slots: &'a [u8],
}

/// A synchronization packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sync {
    /// Who sends.
    pub cid: Cid,
    /// One more with each packet of the address, modulo 256.
    pub sequence: u8,
    /// The synchronization address; 0 is to be ignored (6.3.3).
    pub address: u16,
}

/// What some bytes are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Packet<'a> {
    /// Values for a universe.
    Data(Data<'a>),
    /// What waits for this address acts now.
    Sync(Sync),
    /// A list of universes that a source sends; not read any further.
    Discovery,
}

/// Reads one packet.
///
/// # Errors
/// The first check that fails, in the order of the bytes.
pub fn read(bytes: &[u8]) -> Result<Packet<'_>, WireError> {
    let raw = Raw { bytes };
    raw.at_least(SYNC_BYTES)?;
    raw.is(0, &PREFIX[..2], Check::Preamble)?;
    raw.is(2, &PREFIX[2..4], Check::Postamble)?;
    raw.is(4, &PREFIX[4..], Check::Identifier)?;
    raw.length(ROOT_AT, Check::RootLength)?;
    match raw.number(18, 4) {
        ROOT_DATA => raw.data().map(Packet::Data),
        ROOT_EXTENDED => raw.extended(),
        got => Err(WireError { check: Check::RootVector, expected: ROOT_DATA, got }),
    }
}

/// Bytes that are looked at by offset. Past their end everything reads as zero: the length is checked first.
struct Raw<'a> {
    bytes: &'a [u8],
}

impl<'a> Raw<'a> {
    fn part(&self, at: usize, len: usize) -> &'a [u8] {
        self.bytes.get(at..at + len).unwrap_or(&[])
    }

    fn number(&self, at: usize, len: usize) -> u32 {
        self.part(at, len).iter().fold(0, |sum, byte| (sum << 8) | u32::from(*byte))
    }

    fn byte(&self, at: usize) -> u8 {
        self.number(at, 1) as u8
    }

    fn word(&self, at: usize) -> u16 {
        self.number(at, 2) as u16
    }

    fn cid(&self) -> Cid {
        Cid(self.bytes.get(CID_AT..).and_then(<[u8]>::first_chunk).copied().unwrap_or_default())
    }

    fn at_least(&self, len: usize) -> Result<(), WireError> {
        let (expected, got) = (len as u32, u32::try_from(self.bytes.len()).unwrap_or(u32::MAX));
        if got < expected { Err(WireError { check: Check::Short, expected, got }) } else { Ok(()) }
    }

    /// Bytes at `at` are `wanted`; the error has the first four of both.
    fn is(&self, at: usize, wanted: &[u8], check: Check) -> Result<(), WireError> {
        if self.part(at, wanted.len()) == wanted {
            return Ok(());
        }
        let wanted = Raw { bytes: wanted };
        let len = wanted.bytes.len().min(4);
        Err(WireError { check, expected: wanted.number(0, len), got: self.number(at, len) })
    }

    fn equal(&self, check: Check, expected: u32, got: u32) -> Result<(), WireError> {
        if got == expected { Ok(()) } else { Err(WireError { check, expected, got }) }
    }

    fn at_most(&self, check: Check, expected: u32, got: u32) -> Result<(), WireError> {
        if got <= expected { Ok(()) } else { Err(WireError { check, expected, got }) }
    }

    /// Flags and length at `at` tell of all bytes from there to the end.
    fn length(&self, at: usize, check: Check) -> Result<(), WireError> {
        self.equal(check, u32::from(FLAGS) + (self.bytes.len() - at) as u32, self.number(at, 2))
    }

    fn data(&self) -> Result<Data<'a>, WireError> {
        self.at_least(HEADER_BYTES)?;
        self.length(FRAMING_AT, Check::FramingLength)?;
        self.equal(Check::FramingVector, FRAMING_DATA, self.number(40, 4))?;
        let header = self.header()?;
        self.at_most(Check::Priority, PRIORITY_MAX.into(), header.priority.into())?;
        self.at_most(Check::SyncAddress, limits::UNIVERSE_MAX.into(), header.sync_address.into())?;
        self.universe(header.universe)?;
        self.dmp()?;
        let slots = self.bytes.get(HEADER_BYTES..).unwrap_or(&[]);
        Ok(Data { header, start_code: self.byte(START_CODE_AT), slots })
    }

    fn header(&self) -> Result<Header<'a>, WireError> {
        let name = self.part(NAME_AT, NAME_BYTES);
        let options = self.byte(OPTIONS_AT);
        Ok(Header {
            cid: self.cid(),
            name: name.split(|byte| *byte == 0).next().unwrap_or(&[]),
            priority: self.byte(PRIORITY_AT),
            sync_address: self.word(SYNC_ADDRESS_AT),
            sequence: self.byte(SEQUENCE_AT),
            preview: options & PREVIEW != 0,
            terminated: options & TERMINATED != 0,
            force_sync: options & FORCE_SYNC != 0,
            universe: self.word(UNIVERSE_AT),
        })
    }

    fn universe(&self, universe: u16) -> Result<(), WireError> {
        let (check, expected, got) = (Check::Universe, u32::from(limits::UNIVERSE_MAX), u32::from(universe));
        if universe == 0 { Err(WireError { check, expected, got }) } else { self.at_most(check, expected, got) }
    }

    fn dmp(&self) -> Result<(), WireError> {
        self.length(DMP_AT, Check::DmpLength)?;
        self.is(117, &DMP_FIXED[..1], Check::DmpVector)?;
        self.is(118, &DMP_FIXED[1..2], Check::AddressType)?;
        self.is(119, &DMP_FIXED[2..4], Check::FirstAddress)?;
        self.is(121, &DMP_FIXED[4..], Check::Increment)?;
        let count = self.number(COUNT_AT, 2);
        self.equal(Check::Count, (self.bytes.len() - START_CODE_AT) as u32, count)?;
        self.at_most(Check::Count, UNIVERSE_SLOTS as u32 + 1, count)
    }

    fn extended(&self) -> Result<Packet<'a>, WireError> {
        self.length(FRAMING_AT, Check::FramingLength)?;
        match self.number(40, 4) {
            FRAMING_SYNC => {}
            FRAMING_DISCOVERY => return Ok(Packet::Discovery),
            got => return Err(WireError { check: Check::FramingVector, expected: FRAMING_SYNC, got }),
        }
        self.equal(Check::FramingLength, SYNC_BYTES as u32, self.bytes.len() as u32)?;
        let address = self.word(SYNC_OF_SYNC_AT);
        self.at_most(Check::SyncAddress, limits::UNIVERSE_MAX.into(), address.into())?;
        Ok(Packet::Sync(Sync { cid: self.cid(), sequence: self.byte(SYNC_SEQUENCE_AT), address }))
    }
}
