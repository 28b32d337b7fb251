//! Dance numbers: a row along the downstage edge that tells performers how far they are from the centre line.
//!
//! 0 on the centre line and the same numbers to both sides (common practice), one at each step. They lie in the
//! edge's band, where nobody stands, and read from upstage: performers face downstage.

use crate::geom::{StagePoint, StageVector, polygon};
use crate::paint::SceneFull;
use crate::show::{Entry, Show};

use super::digits::Digits;
use super::ink;
use super::labels::{self, Lay, Size};
use super::sheet::Sheet;
use super::sizes::Sizes;

/// Least step that is drawn, metres: nearer numbers would touch.
pub const LEAST_STEP_M: f32 = 0.25;
/// Distance from which a number is read, metres.
const READER_M: f32 = 3.0;
/// Depth of the strip at the edge that numbers take where the band leaves them no room, metres.
const STRIP_M: f32 = 0.3;
/// A reader who looks downstage.
const DOWNSTAGE: StageVector = StageVector::new(0.0, -1.0);

/// The numbers of one show.
#[derive(Clone, Copy, Debug)]
pub(super) struct Numbers<'a> {
    show: &'a Show,
    size: Size,
    /// From the edge to the middle of a number, metres.
    middle_m: f32,
    /// Half the depth of a number's plate, metres.
    half_depth_m: f32,
}

/// One number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Number {
    /// Steps from the centre line.
    pub(super) count: u16,
    /// The middle of its plate.
    pub(super) at: StagePoint,
}

impl<'a> Numbers<'a> {
    /// The numbers of `show`; `None` for a show without.
    pub(super) fn of(show: &'a Show, sizes: &Sizes) -> Option<Self> {
        if show.look.numbers_m < LEAST_STEP_M {
            return None;
        }
        let size = Size::for_reader(sizes, READER_M);
        let depth_m = size.depth_m + size.margin_m();
        // In the band up to its line; a band without room has them behind its line.
        let room_m = show.floor.edge_band_m - sizes.half_m();
        let (from_m, to_m) = if room_m >= depth_m {
            (0.0, room_m)
        } else {
            let line_m = show.floor.edge_band_m + sizes.half_m() + sizes.keyline_m;
            (line_m, libm::fmaxf(line_m + depth_m, STRIP_M))
        };
        Some(Self { show, size, middle_m: (from_m + to_m) * 0.5, half_depth_m: depth_m * 0.5 })
    }

    /// All numbers that have room, from the centre outwards.
    pub(super) fn all(&self) -> impl Iterator<Item = Number> + '_ {
        let step_m = self.show.look.numbers_m;
        let far_m = self.show.floor.vertices.iter().map(|v| libm::fabsf(v.x)).fold(0.0, libm::fmaxf);
        let sides = |count: u16| if count == 0 { &[1.0_f32][..] } else { &[1.0, -1.0] };
        let both =
            (0..=(far_m / step_m) as u16).flat_map(move |count| sides(count).iter().map(move |side| (count, side)));
        both.filter_map(move |(count, side)| {
            let x = step_m * f32::from(count) * side;
            let number = Number { count, at: StagePoint::new(x, edge_y(self.show, x)? + self.middle_m) };
            self.has_room(&number).then_some(number)
        })
    }

    /// True where a tick of the edge, `half_m` wide on each side, would touch a number.
    pub(super) fn meets(&self, tick: StagePoint, half_m: f32) -> bool {
        let reach_m = |n: &Number| self.half_width_m(n) + half_m;
        self.all().any(|n| {
            libm::fabsf(n.at.x - tick.x) < reach_m(&n)
                && libm::fabsf(n.at.y - tick.y) < self.middle_m + self.half_depth_m
        })
    }

    fn half_width_m(&self, number: &Number) -> f32 {
        self.size.half_plate(Digits::of(number.count.into()).text().len()).0
    }

    /// On the floor with its whole plate, and not in a doorway.
    fn has_room(&self, number: &Number) -> bool {
        let (w, d) = (self.half_width_m(number), self.half_depth_m);
        let corner = |x: f32, y: f32| number.at + StageVector::new(x, y);
        let in_doorway = |e: &Entry| {
            e.at.distance(number.at + DOWNSTAGE * self.middle_m) < e.width_m * 0.5 + w + self.size.margin_m()
        };
        [(-w, -d), (w, -d), (w, d), (-w, d)]
            .iter()
            .all(|&(x, y)| polygon::contains(&self.show.floor.vertices, corner(x, y)))
            && !self.show.entries.iter().any(in_doorway)
    }

    /// Draws the row.
    pub(super) fn draw(&self, scene: &mut Sheet<'_, '_>, level: u8) -> Result<(), SceneFull> {
        self.all().try_for_each(|number| {
            let lay = Lay { at: number.at, up: DOWNSTAGE, size: self.size };
            labels::plated(
                scene,
                Digits::of(number.count.into()).text(),
                ink::TEXT.dimmed(level),
                (&lay, (self.half_width_m(&number), self.half_depth_m)),
            )
        })
    }
}

/// The floor's most downstage place at `x`; `None` beside the floor.
fn edge_y(show: &Show, x: f32) -> Option<f32> {
    let at = |(a, b): (StagePoint, StagePoint)| {
        ((a.x <= x) != (b.x <= x)).then(|| a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x)))
    };
    polygon::sides(&show.floor.vertices).filter_map(at).reduce(libm::fminf)
}
