//! Files of the host, through semihosting.

use cortex_m_semihosting::syscall;

pub(super) const READ_BINARY: usize = 1;
pub(super) const WRITE_BINARY: usize = 5;

/// A file of the host.
pub(super) struct HostFile(usize);

impl HostFile {
    /// Opens `name`, which ends in a zero byte.
    pub(super) fn open(name: &[u8], mode: usize) -> Self {
        // SAFETY: the name is zero-ended and outlives the call; its length excludes the zero.
        Self(unsafe { syscall!(OPEN, name.as_ptr(), mode, name.len() - 1) })
    }

    /// Fills `bytes`; false when the host has gone.
    pub(super) fn read(&mut self, bytes: &mut [u8]) -> bool {
        let mut done = 0;
        while done < bytes.len() {
            let rest = &mut bytes[done..];
            // SAFETY: the host writes at most `rest.len()` bytes into `rest`.
            let missing = unsafe { syscall!(READ, self.0, rest.as_mut_ptr(), rest.len()) };
            if missing >= rest.len() {
                return false;
            }
            done += rest.len() - missing;
        }
        true
    }

    pub(super) fn write(&mut self, bytes: &[u8]) {
        // SAFETY: the host reads `bytes.len()` bytes of `bytes`.
        unsafe { syscall!(WRITE, self.0, bytes.as_ptr(), bytes.len()) };
    }
}
