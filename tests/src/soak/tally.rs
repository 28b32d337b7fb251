//! What an hour gave, in a row of a table, and what it had to.

use std::fmt;

/// Most that the latency of the last hour may be off that of the first: one frame of 50 a second, milliseconds.
pub const DRIFT_MS: u64 = 20;
/// From OFF to a dark floor, milliseconds (the brief's feature 8).
pub const OFF_MS: u64 = 100;
/// From GO to the whole picture, milliseconds: all that a press may take to the light (feature 22), the LEDs left out.
pub const GO_MS: u64 = 150;
/// Most that the program's memory may grow by after the first hour, KiB: pages that the system counts late.
pub const PAGES_KIB: u64 = 512;

/// Latencies: the least, the middle and the most, milliseconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Spread {
    /// How many were measured.
    pub count: usize,
    /// The least.
    pub least: u64,
    /// The middle one.
    pub middle: u64,
    /// The most.
    pub most: u64,
}

impl Spread {
    /// That of some times; sorts them.
    pub fn of(times: &mut [u64]) -> Self {
        times.sort_unstable();
        let at = |i: usize| times.get(i).copied().unwrap_or(0);
        let count = times.len();
        Self { count, least: at(0), middle: at(count / 2), most: at(count.saturating_sub(1)) }
    }

    const fn drift(&self, last: &Self) -> u64 {
        let (a, b) = (self.middle.abs_diff(last.middle), self.most.abs_diff(last.most));
        if a > b { a } else { b }
    }
}

impl fmt::Display for Spread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}/{}/{}", self.least, self.middle, self.most))
    }
}

/// An hour, or another part of a run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hour {
    /// Poses that were sent whole, and that the box took.
    pub poses: [u64; 2],
    /// Packets in all.
    pub packets: u64,
    /// Packets that were none, and that the box counted.
    pub malformed: [u64; 2],
    /// Packets that said something else than their sender.
    pub altered: u64,
    /// Advances.
    pub cues: u64,
    /// Looks at everything that people are told, beside the rules.
    pub looks: u64,
    /// From GO to the first row of the new picture.
    pub row: Spread,
    /// From GO to the whole picture.
    pub whole: Spread,
    /// From OFF to a dark floor.
    pub off: Spread,
    /// Pictures.
    pub pictures: u64,
    /// Packets of pixel tape.
    pub tape: u64,
    /// Polls after which the watchdog would not have been fed, and wishes to start over.
    pub resets: u64,
    /// Pictures, ports and flash that failed.
    pub failures: u64,
    /// Blocks that the box asked of the heap.
    pub made: u64,
    /// Blocks that the test holds at the end.
    pub blocks: i64,
    /// Bytes that it holds.
    pub bytes: i64,
    /// Memory of the program, KiB.
    pub resident_kib: u64,
    /// Real time that it took, seconds.
    pub took_s: u64,
}

/// The table's heading.
pub const HEADING: &str = "hour |   poses | packets | malformed | counted | altered | cues | looks | \
    GO to row, ms | to picture, ms | OFF, ms | pictures |  tape | resets | heap in polls | heap held | memory | took";

impl fmt::Display for Hour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { packets, altered, cues, looks, row, whole, off, pictures, tape, resets, made, .. } = self;
        let ([poses, _], [malformed, counted]) = (self.poses, self.malformed);
        write!(
            f,
            "{poses:>7} | {packets:>7} | {malformed:>9} | {counted:>7} | {altered:>7} | {cues:>4} | {looks:>5} | "
        )?;
        write!(f, "{row:>13} | {whole:>14} | {off:>7} | {pictures:>8} | {tape:>5} | {resets:>6} | {made:>13} | ")?;
        write!(f, "{:>4} {} B | {} KiB | {} s", self.blocks, self.bytes, self.resident_kib, self.took_s)
    }
}

/// True when the whole program grew after the first hour. Tests that run beside each other are one program.
pub fn grew(hours: &[Hour]) -> bool {
    let first = hours.first().map_or(0, |hour| hour.resident_kib);
    hours.iter().any(|hour| hour.resident_kib > first + PAGES_KIB)
}

/// What is not as it had to be, but for [`grew`].
pub fn breaches(hours: &[Hour]) -> Vec<String> {
    let mut found = Vec::new();
    let (Some(first), Some(last)) = (hours.first(), hours.last()) else { return vec!["no hour".to_owned()] };
    for (i, hour) in hours.iter().enumerate() {
        let mut must = |holds: bool, what: &str| {
            if !holds {
                found.push(format!("hour {}: {what}", i + 1));
            }
        };
        must(hour.resets == 0, "the box had to start over");
        must(hour.failures == 0, "a picture, a port or flash failed");
        must(hour.made == 0, "the box used the heap");
        must((hour.blocks, hour.bytes) == (first.blocks, first.bytes), "memory is not flat");
        must(hour.poses[0] > 0 && hour.poses[0] == hour.poses[1], "poses got lost");
        must(hour.malformed[0] > 0 && hour.malformed[0] == hour.malformed[1], "malformed packets are not all counted");
        must(hour.row.count > 0 && hour.whole.count > 0 && hour.cues > 0, "nothing was measured");
        must(hour.off.most <= OFF_MS, "OFF came late");
        must(hour.whole.most <= GO_MS, "GO came late");
    }
    for (what, drift) in [("rows", first.row.drift(&last.row)), ("pictures", first.whole.drift(&last.whole))] {
        if drift > DRIFT_MS {
            found.push(format!("{what} drifted by {drift} ms"));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn good() -> Hour {
        let ms = |most| Spread { count: 9, least: 31, middle: 32, most };
        Hour { poses: [9, 9], malformed: [4, 4], cues: 9, row: ms(34), whole: ms(41), off: ms(30), ..Hour::default() }
    }

    #[test]
    fn everything_that_is_wrong_is_found() {
        assert_eq!(breaches(&[good(); 8]), Vec::<String>::new());
        let late = Spread { most: 62, ..good().whole };
        let spoiled: [(Hour, &str); 8] = [
            (Hour { resets: 1, ..good() }, "start over"),
            (Hour { failures: 1, ..good() }, "failed"),
            (Hour { made: 1, ..good() }, "heap"),
            (Hour { blocks: 1, ..good() }, "flat"),
            (Hour { poses: [9, 8], ..good() }, "poses"),
            (Hour { malformed: [4, 5], ..good() }, "counted"),
            (Hour { whole: late, ..good() }, "drifted by 21 ms"),
            (Hour { off: Spread { most: 101, ..good().off }, ..good() }, "OFF"),
        ];
        for (hour, word) in spoiled {
            let found = breaches(&[good(), hour]);
            assert!(found.len() == 1 && found[0].contains(word), "{word}: {found:?}");
        }
        assert!(!breaches(&[]).is_empty());
        let grown = |by| grew(&[good(), Hour { resident_kib: by, ..good() }, good()]);
        assert!(grown(PAGES_KIB + 1) && !grown(PAGES_KIB));
    }

    #[test]
    fn a_spread_is_least_middle_and_most() {
        let spread = Spread::of(&mut [50, 31, 33]);
        assert_eq!(
            (spread, format!("{spread:>9}")),
            (Spread { count: 3, least: 31, middle: 33, most: 50 }, " 31/33/50".into())
        );
    }
}
