//! Flash whose bytes are in a file as well, so that a box finds them after its program has ended, however it ended.

use std::fs::{File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;

use underfoot_core::ports::{FlashPort, Geometry};

use super::MemoryFlash;

/// Flash in memory, and in a file when there is one.
#[derive(Debug)]
pub struct KeptFlash {
    memory: MemoryFlash,
    file: Option<File>,
}

impl KeptFlash {
    /// Erased flash that is forgotten at the end.
    pub fn forgetful(size: Geometry) -> Self {
        Self { memory: MemoryFlash::new(size), file: None }
    }

    /// The flash in a file, which is made when there is none.
    ///
    /// # Errors
    /// The system's own; [`io::ErrorKind::InvalidData`] for a file of another length, which is not touched.
    pub fn in_file(size: Geometry, path: &Path) -> io::Result<Self> {
        let mut file = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes)?;
        if bytes.is_empty() {
            let memory = MemoryFlash::new(size);
            file.write_all(memory.bytes())?;
            return Ok(Self { memory, file: Some(file) });
        }
        let got = bytes.len();
        let memory = MemoryFlash::with_bytes(size, bytes).ok_or_else(|| {
            let why = format!("it has {got} bytes and a box's memory has {}", size.capacity);
            io::Error::new(io::ErrorKind::InvalidData, why)
        })?;
        Ok(Self { memory, file: Some(file) })
    }

    fn keep(&mut self, at: u32, len: usize) -> io::Result<()> {
        let Some(file) = &mut self.file else { return Ok(()) };
        let changed = self.memory.bytes().get(at as usize..at as usize + len).unwrap_or(&[]);
        file.seek(SeekFrom::Start(at.into()))?;
        file.write_all(changed)
    }
}

fn outside<T>(_: T) -> io::Error {
    io::ErrorKind::InvalidInput.into()
}

impl FlashPort for KeptFlash {
    type Error = io::Error;

    fn geometry(&self) -> Geometry {
        self.memory.geometry()
    }

    fn read(&mut self, at: u32, bytes: &mut [u8]) -> io::Result<()> {
        self.memory.read(at, bytes).map_err(outside)
    }

    fn erase(&mut self, from: u32, to: u32) -> io::Result<()> {
        self.memory.erase(from, to).map_err(outside)?;
        self.keep(from, to.saturating_sub(from) as usize)
    }

    fn write(&mut self, at: u32, bytes: &[u8]) -> io::Result<()> {
        self.memory.write(at, bytes).map_err(outside)?;
        self.keep(at, bytes.len())
    }
}
