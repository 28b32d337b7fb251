//! Seeded random numbers: the same seed gives the same case on every machine.
//!
//! The generator is SplitMix64 (Steele, Lea and Flood 2014; constants from memory): three lines, no
//! state to save but one word, good enough to choose test cases.

/// A seeded source of random numbers.
#[derive(Clone, Debug)]
pub struct Dice {
    state: u64,
}

impl Dice {
    /// Dice that always fall the same way for the same `seed`.
    pub const fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// Any 64 bits.
    pub const fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number from 0 to `count - 1`; 0 when `count` is 0.
    pub const fn below(&mut self, count: usize) -> usize {
        if count == 0 { 0 } else { (self.bits() % count as u64) as usize }
    }

    /// Any byte.
    pub const fn byte(&mut self) -> u8 {
        self.bits() as u8
    }

    /// A number from 0 up to, not including, 1.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A number from `low` up to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.unit() * (high - low)
    }

    /// True once in `count` throws.
    pub const fn one_in(&mut self, count: usize) -> bool {
        self.below(count) == 0
    }
}
