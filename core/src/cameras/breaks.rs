//! Where the columns of a person's rectangle change their kind, and at which columns to look.
//!
//! Between a part's edges, the tangents to its discs, and the places where its upper and lower rim cross the
//! limits of the bands or the rectangle's own plane, the length of a column that a part takes is a smooth
//! function of the column's place. Each such panel is summed by Gauss and Legendre's rule, which is exact for
//! flat sides; over random scenes the sums are within a twentieth of a point of dense rays.

use heapless::Vec;

use super::column::Aim;
use super::solids::{Solid, SolidShape};
use crate::geom::{StagePoint, StageVector};

/// Changes at most; more are summed across.
const CHANGES: usize = 96;
/// Panels narrower than this share of the rectangle join the next.
const NARROW: f32 = 1e-3;
/// No panel is wider than this share of the rectangle, for the sake of what several parts do together.
const WIDEST: f32 = 0.25;

/// Places and weights of Gauss and Legendre's rule of four points, the half of them right of the middle (Abramowitz
/// and Stegun, table 25.4; from memory).
const RULE: [(f32, f32); 2] = [(0.339_981_04, 0.652_145_15), (0.861_136_3, 0.347_854_84)];

/// Places across the rectangle at which columns change their kind.
#[derive(Clone, Debug, Default)]
pub(super) struct Breaks {
    places: Vec<f32, CHANGES>,
}

impl Breaks {
    /// Adds the changes that a part makes.
    pub(super) fn add(&mut self, aim: &Aim, solid: &Solid) {
        match &solid.shape {
            SolidShape::Disc { centre, radius_m } => self.tangents(aim, *centre, *radius_m),
            SolidShape::Polygon(vertices) => vertices.iter().for_each(|&v| self.corner(aim, v)),
            SolidShape::Ring { centre, inner_m, outer_m, gap } => {
                self.tangents(aim, *centre, *inner_m);
                self.tangents(aim, *centre, *outer_m);
                for side in gap.iter().flat_map(|g| [g.first, g.last]) {
                    self.corner(aim, *centre + side * *inner_m);
                    self.corner(aim, *centre + side * *outer_m);
                }
            }
        }
        self.section(aim, solid, 1.0);
        let bands = &aim.bands;
        for rim in [solid.bottom_m, solid.top_m] {
            for limit in [bands.feet_m, bands.hip_m, bands.neck_m, bands.top_m] {
                self.section(aim, solid, (rim - aim.centre.z) / (limit - aim.centre.z));
            }
        }
    }

    /// Where the footprint's boundary lies at λ all across.
    fn section(&mut self, aim: &Aim, solid: &Solid, lambda: f32) {
        if !(lambda > 0.0 && lambda.is_finite()) {
            return;
        }
        let from = aim.centre.on_floor() + aim.upright.ahead * (lambda * aim.upright.distance_m);
        for (a, b) in solid.crossings(from, aim.upright.across) {
            self.place(aim, a / lambda);
            self.place(aim, b / lambda);
        }
    }

    fn tangents(&mut self, aim: &Aim, centre: StagePoint, radius_m: f32) {
        let to = centre - aim.centre.on_floor();
        let square = to.dot(to) - radius_m * radius_m;
        if square > 0.0 {
            // The way to the centre turned by the angle whose sine is radius over distance.
            let (cos, sin) = (libm::sqrtf(square), radius_m);
            self.direction(aim, to * cos + to.perp() * sin);
            self.direction(aim, to * cos - to.perp() * sin);
        }
    }

    fn corner(&mut self, aim: &Aim, v: StagePoint) {
        self.direction(aim, v - aim.centre.on_floor());
    }

    fn direction(&mut self, aim: &Aim, way: StageVector) {
        let along = way.dot(aim.upright.ahead);
        if along > 0.0 {
            self.place(aim, aim.upright.distance_m * (way.dot(aim.upright.across) / along));
        }
    }

    fn place(&mut self, aim: &Aim, u_m: f32) {
        if libm::fabsf(u_m) < aim.half_m {
            self.places.push(u_m).unwrap_or(());
        }
    }

    /// Calls `look` with place and width of every column, panel by panel, until it says false.
    pub(super) fn columns(mut self, half_m: f32, look: &mut impl FnMut(f32, f32) -> bool) {
        self.places.sort_unstable_by(f32::total_cmp);
        let mut from = -half_m;
        for &to in self.places.iter().chain(&[half_m]) {
            let last = to >= half_m;
            if to - from > NARROW * 2.0 * half_m || last {
                if !panel((from, to), half_m, look) {
                    return;
                }
                from = to;
            }
        }
    }
}

/// The columns of one panel, in equal pieces when it is wide; false when `look` has said so.
fn panel((from, to): (f32, f32), half_m: f32, look: &mut impl FnMut(f32, f32) -> bool) -> bool {
    let share = (to - from) / (2.0 * half_m);
    let pieces = libm::ceilf(share / WIDEST).max(1.0) as u8;
    let half_piece = (to - from) / (2.0 * f32::from(pieces));
    (0..pieces).all(|i| {
        let middle = from + half_piece * (2.0 * f32::from(i) + 1.0);
        RULE.iter().all(|&(place, weight)| {
            let (off, width) = (place * half_piece, weight * half_piece);
            look(middle - off, width) && look(middle + off, width)
        })
    })
}
