//! What a part passes over that goes round a circle.

use super::{COVER_M, Carried};
use crate::geom::{Convex, GeomError, Region, Ring, Rounded, StagePoint, StageVector};
use crate::limits;
use crate::props::motion;
use crate::props::pieces::{Law, Piece};

use heapless::Vec;

impl Carried<'_> {
    /// Once round it is a ring for a disc; otherwise chords, each with what the lead adds.
    pub(super) fn round(
        &self,
        piece: &Piece,
        (from_s, to_s): (f32, f32),
        each: &mut impl FnMut(Region),
    ) -> Result<(), GeomError> {
        let Law::Round { centre, radius_m, period_s, start_rad } = piece.law else { return Ok(()) };
        let span_rad = core::f32::consts::TAU * ((to_s - from_s) / libm::fabsf(period_s)).min(1.0);
        // The lead points along the tangent: its ends go round on a larger circle.
        let lead_rad = libm::atanf(self.lead_s * core::f32::consts::TAU / period_s);
        let outer_m = radius_m / libm::cosf(lead_rad);
        let set = self.filled(centre)?;
        if let ([middle], true) = (set.core().vertices(), span_rad >= core::f32::consts::TAU) {
            return once_round(*middle, radius_m - set.radius_m(), outer_m + set.radius_m()).map(each);
        }
        // Half of what the cover may be too large on the outer side, half at the chords of the inner one.
        let sag_m = COVER_M / 2.0;
        let half_rad = 2.0 * libm::asinf(libm::sqrtf((sag_m / (2.0 * outer_m)).min(1.0)));
        let steps = libm::ceilf(span_rad / (2.0 * half_rad)).max(1.0);
        let turn = motion::turn_of(from_s, period_s) + start_rad;
        let step_rad = span_rad / steps * if period_s < 0.0 { -1.0 } else { 1.0 };
        let ends = |i: f32| {
            let here = turn + step_rad * i;
            (motion::heading(here) * radius_m, motion::heading(here + lead_rad) * outer_m)
        };
        let (mut i, mut last) = (0.0, ends(0.0));
        while i < steps {
            i += 1.0;
            let next = ends(i);
            for half in halves(set.core()) {
                let core = spread(&half?, &[last.0, last.1, next.0, next.1])?;
                each(Region::Rounded(Rounded::new(core, set.radius_m() + sag_m)?));
            }
            last = next;
        }
        Ok(())
    }
}

/// What a disc leaves that goes once round: a ring, or a disc when it covers the middle, too.
fn once_round(centre: StagePoint, inner_m: f32, outer_m: f32) -> Result<Region, GeomError> {
    if inner_m <= 0.0 {
        return Rounded::disc(centre, outer_m).map(Region::Rounded);
    }
    Ring::new(centre, inner_m, outer_m).map(Region::Ring)
}

/// A footprint in one or two convex pieces that are small enough to be spread over four places.
fn halves(core: &Convex) -> impl Iterator<Item = Result<Convex, GeomError>> + '_ {
    let vertices = core.vertices();
    let middle = vertices.len() / 2;
    let large = vertices.len() + 4 > crate::geom::convex::CONVEX_VERTICES;
    let whole = (!large).then(|| Ok(core.clone()));
    let first = large.then(|| Convex::hull_of(vertices.get(..=middle).unwrap_or(&[])));
    let second = large.then(|| {
        let rest = vertices.get(middle..).unwrap_or(&[]).iter().chain(vertices.first());
        let list: Vec<StagePoint, { limits::HULL_VERTICES }> = rest.copied().collect();
        Convex::hull_of(&list)
    });
    whole.into_iter().chain(first).chain(second)
}

/// The hull of `core` at four places.
fn spread(core: &Convex, offsets: &[StageVector; 4]) -> Result<Convex, GeomError> {
    let mut points = Vec::<StagePoint, 64>::new();
    for &vertex in core.vertices() {
        for &offset in offsets {
            points.push(vertex + offset).map_err(|_| GeomError::TooMany)?;
        }
    }
    match Convex::hull_of(&points) {
        // A disc without a lead goes along a chord.
        Err(GeomError::Collinear | GeomError::TooFew) => {
            let (Some(&a), Some(&b)) = (points.first(), points.last()) else { return Err(GeomError::TooFew) };
            Convex::segment(a, b)
        }
        hull => hull,
    }
}
