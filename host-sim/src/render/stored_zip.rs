//! A ZIP file of files that are packed already (PKWARE APPNOTE 6.3, "stored").

use underfoot_core::checksum::CRC;

/// Version of the format that a reader needs: 1.0.
const NEEDS: u16 = 10;
/// The day of all files, 1980-01-01: equal files give equal archives.
const DAY: u16 = 0x0021;
/// Names are UTF-8.
const UTF8: u16 = 1 << 11;
/// Files and bytes that the plain format can count.
const MOST_FILES: usize = 65_535;
const MOST_BYTES: usize = u32::MAX as usize;

/// An archive in memory that grows file by file.
#[derive(Clone, Debug, Default)]
pub struct StoredZip {
    bytes: Vec<u8>,
    directory: Vec<u8>,
    files: usize,
}

/// The archive would be larger than its format can tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooLarge;

impl std::fmt::Display for TooLarge {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the archive would have more than {MOST_FILES} files or 4 GiB")
    }
}

impl std::error::Error for TooLarge {}

impl StoredZip {
    /// Adds a file.
    ///
    /// # Errors
    /// [`TooLarge`].
    pub fn add(&mut self, name: &str, data: &[u8]) -> Result<(), TooLarge> {
        // Each file is told of twice, in 46 and 30 bytes and its name.
        let grown = self.bytes.len() + self.directory.len() + data.len() + 2 * name.len() + 128;
        if self.files >= MOST_FILES || grown > MOST_BYTES || name.len() > usize::from(u16::MAX) {
            return Err(TooLarge);
        }
        let about = about(name, data);
        let at = self.bytes.len() as u32;
        self.bytes.extend(b"PK\x03\x04");
        self.bytes.extend(&about);
        self.bytes.extend(name.as_bytes());
        self.bytes.extend(data);
        self.directory.extend(b"PK\x01\x02");
        self.directory.extend(NEEDS.to_le_bytes());
        self.directory.extend(&about);
        // No comment, first disk, no attributes.
        self.directory.extend([0; 10]);
        self.directory.extend(at.to_le_bytes());
        self.directory.extend(name.as_bytes());
        self.files += 1;
        Ok(())
    }

    /// The whole archive.
    pub fn finish(mut self) -> Vec<u8> {
        let (at, size, files) = (self.bytes.len() as u32, self.directory.len() as u32, self.files as u16);
        self.bytes.append(&mut self.directory);
        self.bytes.extend(b"PK\x05\x06\0\0\0\0");
        self.bytes.extend(files.to_le_bytes().repeat(2));
        self.bytes.extend(size.to_le_bytes());
        self.bytes.extend(at.to_le_bytes());
        self.bytes.extend([0; 2]);
        self.bytes
    }
}

/// What both records of a file have: version, flags, method, time, day, checksum, sizes, lengths of name and extra field.
fn about(name: &str, data: &[u8]) -> Vec<u8> {
    let size = (data.len() as u32).to_le_bytes();
    let mut about: Vec<u8> = [NEEDS, UTF8, 0, 0, DAY].iter().flat_map(|v| v.to_le_bytes()).collect();
    about.extend(CRC.checksum(data).to_le_bytes());
    about.extend(size.repeat(2));
    about.extend((name.len() as u16).to_le_bytes());
    about.extend([0; 2]);
    about
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An archive of nothing is its end record alone, 22 bytes (APPNOTE 4.3.16); one file of 3 bytes named "a" adds 30 + 1
    /// + 3 and 46 + 1.
    #[test]
    fn lengths_are_those_of_the_format() {
        assert_eq!(StoredZip::default().finish().len(), 22);
        let mut zip = StoredZip::default();
        zip.add("a", b"123").expect("room");
        let bytes = zip.finish();
        assert_eq!(bytes.len(), 22 + 34 + 47);
        assert_eq!(bytes[14..18], CRC.checksum(b"123").to_le_bytes());
    }

    #[test]
    fn more_files_than_can_be_counted_are_refused() {
        let mut full = StoredZip { files: MOST_FILES, ..StoredZip::default() };
        assert_eq!(full.add("a", b""), Err(TooLarge));
    }
}
