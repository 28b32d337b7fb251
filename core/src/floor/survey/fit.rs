//! The closed-form fit: the turn, scale and shift with the least sum of squared residuals.
//!
//! Method: Horn, "Closed-form solution of absolute orientation using unit quaternions", J. Opt. Soc. Am. A
//! 4 (1987). The quaternions at which the sum is stationary are the eigenvectors of a 4 × 4 matrix. The
//! best of them may hang the floor upside down when left and right were swapped, so the best one that
//! keeps the floor's up pointing up is taken: both systems have Z up.

use super::eigen::{Pair, Symmetric4, eigen4};
use super::map::TrackingToStage;
use super::sample::Sample;
use super::vector::Triple;

/// How far the common scale may leave 1, as a fraction.
pub const SCALE_LIMIT: f32 = 0.002;

/// Whether the fit may stretch the stage.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Scale {
    /// Metres are metres on both sides.
    #[default]
    Fixed,
    /// One common factor, at most [`SCALE_LIMIT`] from 1: joints make a floor grow.
    Common,
}

/// One fit and how well it does.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fit {
    pub(super) map: TrackingToStage,
    pub(super) rms_m: f32,
    /// The same on the floor plan, heights left out.
    pub(super) plan_rms_m: f32,
    pub(super) worst_m: f32,
    /// The best scale was beyond the limit.
    pub(super) scale_held: bool,
}

/// The best fit with the floor's up kept; `mirror` asks for the best reflection instead of a turn.
pub(super) fn fit(sample: &Sample<'_>, scale: Scale, mirror: bool) -> Fit {
    let sign = if mirror { -1.0 } else { 1.0 };
    let (tracking_centre, stage_centre) = sample.centres();
    let centred = || sample.pairs().map(|(from, to)| (from.minus(tracking_centre).times(sign), to.minus(stage_centre)));
    let rows = best_turn(&eigen4(horn_matrix(centred())), sign);
    let (scale, scale_held) = match scale {
        Scale::Fixed => (1.0, false),
        Scale::Common => best_scale(centred().map(|(from, to)| (turned(&rows, from.times(sign)), to))),
    };
    let map = TrackingToStage { rows, scale, tracking_centre, stage_centre };
    let (mut square, mut plan_square, mut worst_m, mut count) = (0.0, 0.0, 0.0_f32, 0.0);
    for (from, to) in sample.pairs() {
        let off = residual(&map, from, to);
        square += off.dot(off);
        plan_square += off.x * off.x + off.y * off.y;
        worst_m = worst_m.max(off.length());
        count += 1.0;
    }
    let (rms_m, plan_rms_m) = (libm::sqrtf(square / count), libm::sqrtf(plan_square / count));
    Fit { map, rms_m, plan_rms_m, worst_m, scale_held }
}

/// From where a reading belongs to where the map puts it, along the stage's axes, metres.
pub(super) fn residual(map: &TrackingToStage, from: Triple, to: Triple) -> Triple {
    let placed = turned(&map.rows, from.minus(map.tracking_centre)).times(map.scale);
    placed.minus(to.minus(map.stage_centre))
}

fn turned(rows: &[Triple; 3], v: Triple) -> Triple {
    let [x, y, z] = rows.map(|row| row.dot(v));
    Triple::new(x, y, z)
}

/// Horn's matrix N of the sums of products of both sides' components, scaled to about 1.
fn horn_matrix(centred: impl Iterator<Item = (Triple, Triple)>) -> Symmetric4 {
    let (mut x, mut y, mut z) = (Triple::default(), Triple::default(), Triple::default());
    for (a, b) in centred {
        x = x.plus(b.times(a.x));
        y = y.plus(b.times(a.y));
        z = z.plus(b.times(a.z));
    }
    let size = x.length() + y.length() + z.length();
    let k = if size > 0.0 { 1.0 / size } else { 1.0 };
    let (x, y, z) = (x.times(k), y.times(k), z.times(k));
    let (wx, wy, wz) = (y.z - z.y, z.x - x.z, x.y - y.x);
    [
        [x.x + y.y + z.z, wx, wy, wz],
        [wx, x.x - y.y - z.z, x.y + y.x, z.x + x.z],
        [wy, x.y + y.x, y.y - x.x - z.z, y.z + z.y],
        [wz, z.x + x.z, y.z + z.y, z.z - x.x - y.y],
    ]
}

/// The best stationary turn (times `sign`) that keeps up up.
fn best_turn(pairs: &[Pair; 4], sign: f32) -> [Triple; 3] {
    let turns = pairs.map(|pair| turn_of(pair.vector).map(|row| row.times(sign)));
    // Four orthogonal quaternions have up-components that add to 0, so at least one keeps up.
    let [best, ..] = turns;
    turns.into_iter().find(|[_, _, up]| up.z > 0.0).unwrap_or(best)
}

/// Rows of the turn of a unit quaternion.
fn turn_of([w, x, y, z]: [f32; 4]) -> [Triple; 3] {
    let k = 2.0 / (w * w + x * x + y * y + z * z);
    [
        Triple::new(1.0 - k * (y * y + z * z), k * (x * y - w * z), k * (x * z + w * y)),
        Triple::new(k * (x * y + w * z), 1.0 - k * (x * x + z * z), k * (y * z - w * x)),
        Triple::new(k * (x * z - w * y), k * (y * z + w * x), 1.0 - k * (x * x + y * y)),
    ]
}

/// Least-squares factor from turned tracking to stage, held inside the limit; true when it had to be held.
fn best_scale(turned: impl Iterator<Item = (Triple, Triple)>) -> (f32, bool) {
    // The sum for the difference from 1, not for the factor: no digits are lost.
    let (mut above, mut square) = (0.0, 0.0);
    for (from, to) in turned {
        above += from.dot(to.minus(from));
        square += from.dot(from);
    }
    let off = if square > 0.0 { above / square } else { 0.0 };
    (1.0 + off.clamp(-SCALE_LIMIT, SCALE_LIMIT), libm::fabsf(off) > SCALE_LIMIT)
}
