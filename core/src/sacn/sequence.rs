//! Sequence numbers: what is late is dropped, what jumps back far is a source that began anew.

/// True when a packet numbered `number` is taken after one numbered `last`: it is dropped when it is one of the last 20
/// before, or the same again (ANSI E1.31-2018, 6.7.2).
pub const fn follows(last: u8, number: u8) -> bool {
    let step = number.wrapping_sub(last) as i8;
    !(step > -20 && step <= 0)
}
