//! COBS byte stuffing (Cheshire & Baker, IEEE/ACM Transactions on Networking 7(2), 1999): data without zero
//! bytes, ended by one.

/// Why stuffed bytes could not be taken apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum StuffError {
    /// More data than the buffer holds.
    TooLong,
    /// The delimiter came before the announced bytes.
    Cut,
}

/// Stuffs into a slice, byte by byte.
pub(super) struct Stuffer<'o> {
    out: &'o mut [u8],
    /// Where the current block's code byte goes.
    code_at: usize,
    /// Next free byte.
    at: usize,
}

impl<'o> Stuffer<'o> {
    pub(super) fn new(out: &'o mut [u8]) -> Option<Self> {
        (!out.is_empty()).then_some(Self { out, code_at: 0, at: 1 })
    }

    pub(super) fn push(&mut self, byte: u8) -> Option<()> {
        // A full block is closed only when more data follows, so 254 bytes need no empty block behind them.
        if self.at - self.code_at == 0xFF {
            self.close_block()?;
        }
        if byte == 0 {
            return self.close_block();
        }
        *self.out.get_mut(self.at)? = byte;
        self.at += 1;
        Some(())
    }

    fn close_block(&mut self) -> Option<()> {
        *self.out.get_mut(self.code_at)? = (self.at - self.code_at) as u8;
        self.code_at = self.at;
        self.at += 1;
        Some(())
    }

    pub(super) fn finish(mut self) -> Option<usize> {
        self.close_block()?;
        // `close_block` has opened a block that stays empty: its code byte becomes the delimiter.
        *self.out.get_mut(self.code_at)? = 0;
        Some(self.at)
    }
}

/// Takes a stuffed stream apart, byte by byte, up to `N` bytes of data between delimiters.
#[derive(Clone, Debug)]
pub(super) struct Unstuffer<const N: usize> {
    bytes: [u8; N],
    state: Progress,
}

#[derive(Clone, Copy, Debug)]
struct Progress {
    /// Bytes of data so far.
    len: usize,
    /// Data bytes still to come in the current block.
    left: u8,
    /// The current block ends in a zero of the data, unless it is the last.
    zero_after: bool,
    too_long: bool,
    started: bool,
}

const START: Progress = Progress { len: 0, left: 0, zero_after: false, too_long: false, started: false };

impl<const N: usize> Unstuffer<N> {
    pub(super) const fn new() -> Self {
        Self { bytes: [0; N], state: START }
    }

    /// Takes the next byte; true for a delimiter, after which [`Unstuffer::take`] must be called.
    pub(super) fn feed(&mut self, byte: u8) -> bool {
        if byte == 0 {
            return true;
        }
        if self.state.left == 0 {
            if self.state.zero_after {
                self.store(0);
            }
            self.state.started = true;
            self.state.left = byte - 1;
            self.state.zero_after = byte != 0xFF;
        } else {
            self.state.left -= 1;
            self.store(byte);
        }
        false
    }

    fn store(&mut self, byte: u8) {
        match self.bytes.get_mut(self.state.len) {
            Some(slot) => {
                *slot = byte;
                self.state.len += 1;
            }
            None => self.state.too_long = true,
        }
    }

    /// The data since the last delimiter, or nothing between two delimiters.
    pub(super) fn take(&mut self) -> Option<Result<&[u8], StuffError>> {
        let was = core::mem::replace(&mut self.state, START);
        if !was.started {
            return None;
        }
        if was.too_long {
            return Some(Err(StuffError::TooLong));
        }
        if was.left > 0 {
            return Some(Err(StuffError::Cut));
        }
        Some(Ok(self.bytes.get(..was.len).unwrap_or(&[])))
    }
}
