//! Numbers as text, without a heap.

/// One number's decimal digits.
pub(super) struct Digits {
    bytes: [u8; 10],
    first: usize,
}

impl Digits {
    pub(super) fn of(mut number: u32) -> Self {
        let mut bytes = [b'0'; 10];
        let mut first = bytes.len();
        for (i, byte) in bytes.iter_mut().enumerate().rev() {
            *byte = b'0' + (number % 10) as u8;
            number /= 10;
            first = i;
            if number == 0 {
                break;
            }
        }
        Self { bytes, first }
    }

    pub(super) fn text(&self) -> &str {
        self.bytes.get(self.first..).and_then(|b| core::str::from_utf8(b).ok()).unwrap_or("")
    }
}
