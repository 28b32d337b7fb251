//! Seeded chance for simulations: the same seed gives the same faults on every machine.

use underfoot_core::units::Duration;

/// A seeded source of chance: a 64-bit xorshift with a multiplication at its end (Vigna 2016; constants from memory).
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// Chance that always falls the same way for the same `seed`.
    pub const fn new(seed: u64) -> Self {
        // Zero would stay zero.
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    const fn bits(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// A whole number from 0 to `count - 1`; 0 when `count` is 0.
    pub const fn below(&mut self, count: u64) -> u64 {
        if count == 0 { 0 } else { (self.bits() >> 16) % count }
    }

    /// True in `part` of a thousand throws.
    pub const fn in_thousand(&mut self, part: u32) -> bool {
        self.below(1_000) < part as u64
    }

    /// True in this share of throws, 0 to 1.
    pub const fn falls(&mut self, share: f64) -> bool {
        share > 0.0 && ((self.bits() >> 11) as f64) < share * (1u64 << 53) as f64
    }

    /// A span from `least` to `most`.
    pub const fn span(&mut self, least: Duration, most: Duration) -> Duration {
        let room = most.as_micros().saturating_sub(least.as_micros());
        Duration::from_micros(least.as_micros() + self.below(room + 1))
    }
}
