//! A union of intervals of height in one column.

use heapless::Vec;

/// Stretches of a column that can lie apart; what is more is joined to the nearest.
const STRETCHES: usize = 24;

/// A union of closed intervals, kept apart from each other, in no order.
#[derive(Clone, Debug, Default)]
pub(super) struct Heights {
    stretches: Vec<(f32, f32), STRETCHES>,
}

impl Heights {
    /// Nothing.
    pub(super) const EMPTY: Self = Self { stretches: Vec::new() };

    /// Adds an interval.
    pub(super) fn add(&mut self, (mut low, mut high): (f32, f32)) {
        let mut i = 0;
        while let Some(&(a, b)) = self.stretches.get(i) {
            if a <= high && b >= low {
                (low, high) = (low.min(a), high.max(b));
                self.stretches.swap_remove(i);
            } else {
                i += 1;
            }
        }
        if self.stretches.push((low, high)).is_err() {
            self.join((low, high));
        }
    }

    /// Closes the smallest gap to a stretch.
    fn join(&mut self, (low, high): (f32, f32)) {
        let gap = |&(a, b): &(f32, f32)| (a - high).max(low - b);
        let nearest = self.stretches.iter_mut().min_by(|s, t| gap(s).total_cmp(&gap(t)));
        if let Some(stretch) = nearest {
            *stretch = (stretch.0.min(low), stretch.1.max(high));
        }
    }

    /// Length of what lies in an interval.
    pub(super) fn within(&self, band: (f32, f32)) -> f32 {
        self.stretches.iter().map(|&s| length(meet(s, band))).sum()
    }

    /// Length of what of `stretch` is not in the union.
    pub(super) fn missing_of(&self, stretch: (f32, f32)) -> f32 {
        let covered: f32 = self.within(stretch);
        (length(stretch) - covered).max(0.0)
    }

    /// Length of what of this union lies in `band` and not in `other`.
    pub(super) fn beyond(&self, other: &Self, band: (f32, f32)) -> f32 {
        self.stretches.iter().map(|&s| other.missing_of(meet(s, band))).sum()
    }
}

/// The common part of two intervals; its ends are the wrong way round when there is none.
pub(super) fn meet(a: (f32, f32), b: (f32, f32)) -> (f32, f32) {
    (a.0.max(b.0), a.1.min(b.1))
}

/// Length of an interval; 0 when its ends are the wrong way round.
pub(super) fn length((low, high): (f32, f32)) -> f32 {
    (high - low).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_union_joins_what_touches_and_measures_the_rest() {
        let mut hidden = Heights::default();
        for stretch in [(0.0, 1.0), (2.0, 3.0), (5.0, 6.0), (1.0, 1.5), (2.5, 5.5)] {
            hidden.add(stretch);
        }
        assert_eq!(hidden.within((-1.0, 9.0)), 1.5 + 4.0);
        assert_eq!(hidden.within((1.25, 2.25)), 0.5);
        let mut painted = Heights::default();
        painted.add((0.5, 4.0));
        assert_eq!(painted.beyond(&hidden, (0.0, 9.0)), 0.5);
        painted.add((3.0, 6.5));
        assert_eq!(painted.beyond(&hidden, (0.0, 9.0)), 1.0);
        assert_eq!(painted.beyond(&hidden, (2.0, 6.0)), 0.0);
    }

    #[test]
    fn more_stretches_than_fit_are_joined_to_the_nearest() {
        let mut many = Heights::default();
        (0..STRETCHES).for_each(|i| many.add((i as f32, i as f32 + 0.5)));
        many.add((STRETCHES as f32 + 0.1, STRETCHES as f32 + 0.2));
        assert!((many.within((0.0, 99.0)) - (STRETCHES as f32 / 2.0 + 0.7)).abs() < 1e-5);
    }
}
