//! Counting what takes the floor.

use heapless::Vec;

use super::Bound;
use crate::limits;

/// Bounds that are counted at most; what comes later is left out.
const KINDS: usize = 64;
/// Families of bounds, in the order in which a place is judged.
const FAMILIES: usize = 4;

/// How many nodes each bound takes.
#[derive(Clone, Debug)]
pub(super) struct Tally {
    counts: Vec<(Bound, u32), KINDS>,
}

impl Tally {
    pub(super) const fn new() -> Self {
        Self { counts: Vec::new() }
    }

    pub(super) fn add(&mut self, bound: Bound) {
        match self.counts.iter_mut().find(|(known, _)| *known == bound) {
            Some((_, count)) => *count += 1,
            None => drop(self.counts.push((bound, 1))),
        }
    }

    /// The bounds that fight: of each family (the floor, framing, depth, backing) the one that takes most of what
    /// the families before it left, most floor first. The floor's own is named only when it takes everything.
    pub(super) fn fighting(&self) -> Vec<Bound, { limits::ZONE_FIGHTING }> {
        let most_of = |family: usize| {
            let own = self.counts.iter().filter(|(bound, _)| family_of(bound) == family);
            own.fold(
                None,
                |best: Option<(Bound, u32)>, one| if best.is_none_or(|b| one.1 > b.1) { Some(*one) } else { best },
            )
        };
        let mut found: Vec<(Bound, u32), FAMILIES> = (1..FAMILIES).filter_map(most_of).collect();
        if found.is_empty() {
            found.extend(most_of(0));
        }
        // Room left over goes to the next largest.
        while found.len() < limits::ZONE_FIGHTING {
            let rest = self.counts.iter().filter(|(b, _)| family_of(b) > 0 && !found.iter().any(|(f, _)| f == b));
            let Some(next) = rest.max_by_key(|(_, count)| *count) else { break };
            let _ = found.push(*next);
        }
        found.sort_unstable_by_key(|(_, count)| core::cmp::Reverse(*count));
        found.iter().map(|(bound, _)| *bound).take(limits::ZONE_FIGHTING).collect()
    }
}

const fn family_of(bound: &Bound) -> usize {
    match bound {
        Bound::Limit(_) => 0,
        Bound::Frame { .. } => 1,
        Bound::Painted { .. } | Bound::Hidden { .. } | Bound::InFront { .. } => 2,
        Bound::OffWall { .. } => 3,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cameras::Side;
    use crate::props::Limit;
    use crate::show::{PropId, ShotId};

    #[test]
    fn the_fight_names_one_of_each_family_before_a_second() {
        let shot = ShotId(0);
        let (left, top) = (Bound::Frame { shot, side: Side::Left }, Bound::Frame { shot, side: Side::Top });
        let painted = Bound::Painted { shot, prop: PropId(2), part: 0 };
        let mut tally = Tally::new();
        (0..9).for_each(|_| tally.add(Bound::Limit(Limit::Edge(0))));
        assert_eq!(tally.fighting(), [Bound::Limit(Limit::Edge(0))]);
        (0..5).for_each(|_| tally.add(left));
        (0..4).for_each(|_| tally.add(top));
        tally.add(painted);
        assert_eq!(tally.fighting(), [left, top, painted]);
    }
}
