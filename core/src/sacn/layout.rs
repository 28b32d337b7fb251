//! Where the fields of an E1.31 packet stand, and what the fixed ones hold. Offsets are from the first byte of the datagram.

/// Flags that stand before each length; the low twelve bits are the length (5.4).
pub(super) const FLAGS: u16 = 0x7000;
/// Where the lengths stand; each counts the bytes from its own field to the packet's end.
pub(super) const ROOT_AT: usize = 16;
pub(super) const FRAMING_AT: usize = 38;
pub(super) const DMP_AT: usize = 115;
pub(super) const CID_AT: usize = 22;
pub(super) const NAME_AT: usize = 44;
pub(super) const PRIORITY_AT: usize = 108;
pub(super) const SYNC_ADDRESS_AT: usize = 109;
pub(super) const SEQUENCE_AT: usize = 111;
pub(super) const OPTIONS_AT: usize = 112;
pub(super) const UNIVERSE_AT: usize = 113;
pub(super) const COUNT_AT: usize = 123;
pub(super) const START_CODE_AT: usize = 125;
pub(super) const SYNC_SEQUENCE_AT: usize = 44;
pub(super) const SYNC_OF_SYNC_AT: usize = 45;

/// Option bits (6.2.6).
pub(super) const PREVIEW: u8 = 0x80;
pub(super) const TERMINATED: u8 = 0x40;
pub(super) const FORCE_SYNC: u8 = 0x20;

/// Root vectors (5.5) and framing vectors (6.2.1, 6.3.1, 6.4.1).
pub(super) const ROOT_DATA: u32 = 4;
pub(super) const ROOT_EXTENDED: u32 = 8;
pub(super) const FRAMING_DATA: u32 = 2;
pub(super) const FRAMING_SYNC: u32 = 1;
pub(super) const FRAMING_DISCOVERY: u32 = 2;
/// Highest priority that may be sent (6.2.3).
pub(super) const PRIORITY_MAX: u8 = 200;

/// The bytes every E1.31 packet begins with: preamble, post-amble, ACN packet identifier (5.1 to 5.3).
pub(super) const PREFIX: [u8; 16] = *b"\x00\x10\x00\x00ASC-E1.17\x00\x00\x00";
/// The fixed part of the DMP layer: vector, address and data type, first address, increment (7.2 to 7.5).
pub(super) const DMP_FIXED: [u8; 6] = [0x02, 0xA1, 0x00, 0x00, 0x00, 0x01];
