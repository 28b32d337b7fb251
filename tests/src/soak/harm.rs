//! One packet in a hundred comes malformed: bits flipped, cut short, too long, or anything at all, by a seed.

use underfoot_core::ports::{DATAGRAM_BYTES, Door};

use super::ports::Packet;
use crate::dice::Dice;

/// One packet of so many is harmed.
const ONE_IN: usize = 100;

/// What became of a packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// Nothing.
    Whole,
    /// It is none any more, and the box has to count it.
    Malformed,
    /// Still a packet by its standard, which knows no checksum, but not the one that was sent.
    Altered {
        /// In a field that the box acts by.
        matters: bool,
    },
}

/// Harms packets, and counts.
#[derive(Clone, Debug)]
pub struct Harm {
    dice: Dice,
    /// Nothing is harmed.
    pub is_resting: bool,
    /// Packets in all.
    pub packets: u64,
    /// Packets that are none any more.
    pub malformed: u64,
    /// Packets that say something else.
    pub altered: u64,
}

impl Harm {
    /// Equal seeds do equal harm.
    pub const fn new(seed: u64) -> Self {
        Self { dice: Dice::new(seed), is_resting: false, packets: 0, malformed: 0, altered: 0 }
    }

    /// Harms a packet, or not.
    pub fn strike(&mut self, packet: &mut Packet) -> Fate {
        self.packets += 1;
        if self.is_resting || !self.dice.one_in(ONE_IN) {
            return Fate::Whole;
        }
        let before = *packet;
        match self.dice.below(4) {
            0 => self.flip(packet),
            1 => packet.len = self.dice.below(packet.len),
            2 if packet.len < DATAGRAM_BYTES => self.lengthen(packet),
            _ => self.replace(packet),
        }
        let fate = fate(&before, packet);
        self.malformed += u64::from(fate == Fate::Malformed);
        self.altered += u64::from(matches!(fate, Fate::Altered { .. }));
        fate
    }

    /// Flips one to three bits, each in another byte.
    fn flip(&mut self, packet: &mut Packet) {
        let third = packet.len.div_ceil(3);
        for part in 0..=self.dice.below(3) {
            let at = (part * third + self.dice.below(third)).min(packet.len - 1);
            packet.bytes[at] ^= 1 << self.dice.below(8);
        }
    }

    fn lengthen(&mut self, packet: &mut Packet) {
        let len = (packet.len + 1 + self.dice.below(40)).min(DATAGRAM_BYTES);
        packet.bytes[packet.len..len].fill_with(|| self.dice.byte());
        packet.len = len;
    }

    /// Anything at all, at any door.
    fn replace(&mut self, packet: &mut Packet) {
        packet.len = self.dice.below(DATAGRAM_BYTES + 1);
        packet.bytes[..packet.len].fill_with(|| self.dice.byte());
        packet.door = Door::ALL[self.dice.below(Door::ALL.len())];
    }
}

fn fate(before: &Packet, packet: &Packet) -> Fate {
    if packet.door != Door::Sacn || !is_packet(packet.content()) {
        // Frames of the link and words of boxes end in a CRC-32.
        return Fate::Malformed;
    }
    let acted_by = |at: &usize| ACTED_BY.iter().any(|field| field.contains(at));
    let matters = (0..packet.len).filter(acted_by).any(|at| packet.bytes[at] != before.bytes[at]);
    Fate::Altered { matters }
}

/// Bytes of a data packet that a receiver of ten slots acts by: who sends, priority to universe, start code and slots.
const ACTED_BY: [std::ops::Range<usize>; 4] = [18..38, 40..44, 108..115, 125..136];

/// Whether bytes are a packet of ANSI E1.31-2018, clauses 5 to 8 (offsets and values from memory): root layer, framing
/// layer and DMP layer by their fixed fields and their lengths.
fn is_packet(bytes: &[u8]) -> bool {
    let word = |at: usize| usize::from(bytes[at]) << 8 | usize::from(bytes[at + 1]);
    let fits = |at: usize| word(at) == 0x7000 + bytes.len() - at;
    if bytes.len() < 49 || bytes[..16] != *b"\x00\x10\x00\x00ASC-E1.17\x00\x00\x00" || !fits(16) || !fits(38) {
        return false;
    }
    match (&bytes[18..22], &bytes[40..44]) {
        ([0, 0, 0, 4], [0, 0, 0, 2]) => {
            bytes.len() >= 126
                && bytes[108] <= 200
                && word(109) <= 63_999
                && (1..=63_999).contains(&word(113))
                && fits(115)
                && bytes[117..123] == [0x02, 0xA1, 0, 0, 0, 1]
                && (1..=513).contains(&word(123))
                && word(123) == bytes.len() - 125
        }
        // A list of universes.
        ([0, 0, 0, 8], [0, 0, 0, 2]) => true,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use underfoot_core::ports::Station;

    use super::*;
    use crate::soak::senders::Lighting;

    #[test]
    fn one_in_a_hundred_is_harmed_in_every_way_and_equal_seeds_do_equal_harm() {
        let whole = Lighting::new(20).packet([9; 10]);
        let run = |seed| {
            let mut harm = Harm::new(seed);
            let mut harmed = Vec::new();
            for _ in 0..100_000 {
                let mut packet = whole;
                if harm.strike(&mut packet) != Fate::Whole {
                    harmed.push(packet.content().to_vec());
                }
            }
            (harm.malformed, harm.altered, harmed)
        };
        let (malformed, altered, harmed) = run(5);
        assert!((900..1_100).contains(&(malformed + altered)) && altered > 50, "{malformed} {altered}");
        assert!(harmed.iter().all(|bytes| bytes != whole.content()), "harm is seen");
        assert!(
            harmed.iter().any(|bytes| bytes.len() < whole.len) && harmed.iter().any(|bytes| bytes.len() > whole.len)
        );
        assert_eq!(run(5).2, harmed);
    }

    #[test]
    fn nothing_but_a_whole_packet_is_one() {
        let packet = Lighting::new(20).packet([0; 10]);
        assert!(is_packet(packet.content()));
        assert!((0..packet.len).all(|len| !is_packet(&packet.content()[..len])), "cut short");
        let mut other = Packet::new(Door::Sacn, Station::everybody(1), packet.content());
        other.bytes[108] = 201;
        assert!(!is_packet(other.content()), "priorities end at 200");
    }
}
