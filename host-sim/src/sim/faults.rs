//! A line in a bad mood: what goes through is dropped, flipped, repeated, reordered and delayed, by a
//! seed, so that the same seed harms the same bytes.

use std::collections::BTreeMap;
use std::ops::Range;

use underfoot_core::units::{Duration, Instant};

use super::Chance;

/// How often what happens: shares of 1, each for one byte.
#[derive(Clone, Debug, PartialEq)]
pub struct Rates {
    /// It gets lost.
    pub drop: f64,
    /// One of its bits falls over.
    pub flip: f64,
    /// It comes twice.
    pub repeat: f64,
    /// What follows overtakes it.
    pub reorder: f64,
    /// The line breaks after it; see [`Mood::is_broken`].
    pub cut: f64,
    /// How long it takes, from the least to the most.
    pub delay_us: Range<u64>,
}

impl Rates {
    /// A line without faults.
    pub const NONE: Self = Self { drop: 0.0, flip: 0.0, repeat: 0.0, reorder: 0.0, cut: 0.0, delay_us: 0..0 };

    /// Faults of all four kinds that together harm this share of all bytes.
    pub const fn noise(share: f64) -> Self {
        let each = share / 4.0;
        Self { drop: each, flip: each, repeat: each, reorder: each, ..Self::NONE }
    }
}

/// What was done to whatever went through.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Harm {
    /// Bytes that went in.
    pub taken: u64,
    /// Lost.
    pub dropped: u64,
    /// Changed.
    pub flipped: u64,
    /// Doubled.
    pub repeated: u64,
    /// Overtaken.
    pub reordered: u64,
}

impl Harm {
    /// All that was harmed.
    pub const fn total(self) -> u64 {
        self.dropped + self.flipped + self.repeated + self.reordered
    }
}

/// One direction of a line.
#[derive(Clone, Debug)]
pub struct Mood {
    rates: Rates,
    chance: Chance,
    /// What is on its way, by when it arrives, and by its turn.
    waiting: BTreeMap<(Instant, u64), u8>,
    turn: u64,
    /// When the last byte arrives: none overtakes it but by [`Rates::reorder`].
    last: Instant,
    is_broken: bool,
    harm: Harm,
}

impl Mood {
    /// A direction with these rates; equal seeds do equal harm.
    pub const fn new(rates: Rates, seed: u64) -> Self {
        Self {
            rates,
            chance: Chance::new(seed),
            waiting: BTreeMap::new(),
            turn: 0,
            last: Instant::ZERO,
            is_broken: false,
            harm: Harm { taken: 0, dropped: 0, flipped: 0, repeated: 0, reordered: 0 },
        }
    }

    /// What was done so far.
    pub const fn harm(&self) -> Harm {
        self.harm
    }

    /// True once the line broke: nothing goes in or comes out any more.
    pub const fn is_broken(&self) -> bool {
        self.is_broken
    }

    /// Bytes go in at `now`.
    pub fn put(&mut self, now: Instant, bytes: &[u8]) {
        let arrives = now.after(self.delay()).max(self.last);
        self.last = arrives;
        let mut held = None;
        for &byte in bytes {
            if self.is_broken {
                return;
            }
            let copies = self.harmed(byte);
            let overtaken = self.chance.falls(self.rates.reorder);
            self.harm.reordered += u64::from(overtaken);
            let first = if overtaken { held.replace(copies) } else { Some(copies) };
            for copy in first.into_iter().flatten() {
                self.push(arrives, copy);
            }
            if !overtaken {
                held.take().into_iter().flatten().for_each(|copy| self.push(arrives, copy));
            }
            self.is_broken |= self.chance.falls(self.rates.cut);
        }
        held.into_iter().flatten().for_each(|copy| self.push(arrives, copy));
    }

    /// A byte that has arrived by `now`.
    pub fn take(&mut self, now: Instant) -> Option<u8> {
        let next = self.waiting.first_entry().filter(|entry| entry.key().0 <= now)?;
        Some(next.remove())
    }

    /// What comes of a byte that goes in: nothing, itself, or two of it.
    fn harmed(&mut self, byte: u8) -> Vec<u8> {
        self.harm.taken += 1;
        if self.chance.falls(self.rates.drop) {
            self.harm.dropped += 1;
            return Vec::new();
        }
        let is_flipped = self.chance.falls(self.rates.flip);
        self.harm.flipped += u64::from(is_flipped);
        let byte = if is_flipped { byte ^ 1 << self.chance.below(8) } else { byte };
        let is_repeated = self.chance.falls(self.rates.repeat);
        self.harm.repeated += u64::from(is_repeated);
        vec![byte; 1 + usize::from(is_repeated)]
    }

    fn push(&mut self, arrives: Instant, byte: u8) {
        self.turn += 1;
        self.waiting.insert((arrives, self.turn), byte);
    }

    fn delay(&mut self) -> Duration {
        let Range { start, end } = self.rates.delay_us;
        Duration::from_micros(start + self.chance.below(end.saturating_sub(start)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn through(rates: Rates, seed: u64, bytes: &[u8]) -> (Vec<u8>, Harm) {
        let mut mood = Mood::new(rates, seed);
        for (i, part) in bytes.chunks(9).enumerate() {
            mood.put(Instant::from_millis(i as u64), part);
        }
        let mut out = Vec::new();
        while let Some(part) = mood.take(Instant::from_millis(u64::MAX / 2000)) {
            out.push(part);
        }
        (out, mood.harm())
    }

    fn long() -> Vec<u8> {
        (0..100_000u32).map(|i| (i.wrapping_mul(i) >> 3) as u8).collect()
    }

    #[test]
    fn without_faults_all_arrives_in_its_order_and_in_its_time() {
        let rates = Rates { delay_us: 100..5_000, ..Rates::NONE };
        assert_eq!(through(rates, 1, &long()).0, long());
        let mut mood = Mood::new(Rates { delay_us: 500..501, ..Rates::NONE }, 1);
        mood.put(Instant::ZERO, &[7]);
        assert_eq!(mood.take(Instant::from_micros(499)), None);
        assert_eq!(mood.take(Instant::from_micros(500)), Some(7));
    }

    #[test]
    fn equal_seeds_do_equal_harm_and_others_do_not() {
        let noise = Rates::noise(0.01);
        assert_eq!(through(noise.clone(), 5, &long()), through(noise.clone(), 5, &long()));
        assert_ne!(through(noise.clone(), 5, &long()).0, through(noise, 6, &long()).0);
    }

    /// 100,000 throws at 1 % fall 1000 times, with a standard deviation of 31 (binomial).
    #[test]
    fn harm_is_as_often_as_asked() {
        let (out, harm) = through(Rates::noise(0.01), 3, &long());
        assert!((850..1_150).contains(&harm.total()), "{harm:?}");
        for kind in [harm.dropped, harm.flipped, harm.repeated, harm.reordered] {
            assert!((180..320).contains(&kind), "{harm:?}");
        }
        assert_eq!(out.len() as u64, harm.taken - harm.dropped + harm.repeated);
    }

    #[test]
    fn one_that_is_overtaken_comes_right_after_the_next() {
        let rates = Rates { reorder: 0.2, ..Rates::NONE };
        let (out, harm) = through(rates, 9, &long());
        let (mut sorted, mut expected) = (out.clone(), long());
        assert!(harm.reordered > 10_000 && out != expected);
        sorted.sort_unstable();
        expected.sort_unstable();
        assert_eq!(sorted, expected, "nothing is lost or added");
    }

    #[test]
    fn a_cut_ends_it() {
        let (out, _) = through(Rates { cut: 0.001, ..Rates::NONE }, 4, &long());
        assert!(out.len() < 20_000 && long().starts_with(&out), "{}", out.len());
    }
}
