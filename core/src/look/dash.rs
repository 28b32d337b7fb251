//! Dash arithmetic: whole numbers of dashes that close evenly.

/// A row of dashes and gaps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dashes {
    /// Number of dashes.
    pub count: u16,
    /// Length of one dash, metres.
    pub dash_m: f32,
    /// Length of one gap, metres.
    pub gap_m: f32,
}

/// Length of a dash that a body outline aims at, metres.
pub const DASH_M: f32 = 0.20;
/// Length of a gap that a body outline aims at, metres.
pub const GAP_M: f32 = 0.13;
/// Most dashes of one outline: longer outlines get longer dashes.
pub const MOST: u16 = 24;

impl Dashes {
    /// As many dashes as gaps round a closed line: `count * (dash + gap) = length`.
    ///
    /// The ratio of dash to gap is kept; the count is the nearest whole one between `least` and [`MOST`].
    pub fn closed(length_m: f32, least: u16) -> Self {
        let count = whole(length_m / (DASH_M + GAP_M), least);
        let period = length_m / f32::from(count);
        let dash_m = period * (DASH_M / (DASH_M + GAP_M));
        Self { count, dash_m, gap_m: period - dash_m }
    }

    /// Dashes along an open line that begin and end with a dash: `count * dash + (count - 1) * gap = length`.
    pub fn open(length_m: f32) -> Self {
        let count = whole((length_m + GAP_M) / (DASH_M + GAP_M), 1);
        let n = f32::from(count);
        let scale = length_m / (n * DASH_M + (n - 1.0) * GAP_M);
        Self { count, dash_m: DASH_M * scale, gap_m: GAP_M * scale }
    }

    /// Length of a dash and a gap, metres.
    pub fn period_m(&self) -> f32 {
        self.dash_m + self.gap_m
    }
}

fn whole(n: f32, least: u16) -> u16 {
    let n = libm::roundf(n);
    if n <= f32::from(least) {
        least
    } else if n >= f32::from(MOST) {
        MOST
    } else {
        n as u16
    }
}
