//! The one checksum of packs, frames, stored slots and pictures.

use crc::{CRC_32_ISO_HDLC, Crc};

/// CRC-32/ISO-HDLC of the catalogue of parametrised CRC algorithms, by table.
pub const CRC: Crc<u32> = Crc::<u32>::new(&CRC_32_ISO_HDLC);

#[cfg(test)]
mod tests {
    use super::CRC;

    #[test]
    fn it_is_the_catalogued_one() {
        // Catalogue of parametrised CRC algorithms: check value over "123456789", and the residue over a message with
        // its own checksum behind it.
        assert_eq!(CRC.checksum(b"123456789"), 0xCBF4_3926);
        assert_eq!(CRC.checksum(b"123456789\x26\x39\xF4\xCB") ^ 0xFFFF_FFFF, 0xDEBB_20E3);
        assert_eq!(CRC.checksum(b""), 0);
    }
}
