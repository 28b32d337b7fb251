//! Rings and pieces of rings.

use core::f32::consts::TAU;

use crate::geom::{StagePoint, StageVector};
use crate::paint::SceneFull;

use super::dash::Dashes;
use super::sheet::Sheet;

/// Most chords of one arc.
pub(super) const MOST_STEPS: u16 = 96;

/// Number of chords that keep an arc of `sweep` radians within `tolerance_m` of its circle.
pub(super) fn steps(radius_m: f32, sweep: f32, tolerance_m: f32) -> u16 {
    // A chord over angle a leaves its circle by r (1 - cos a/2), which is r a^2 / 8 for small a.
    let one = libm::sqrtf(8.0 * tolerance_m / libm::fmaxf(radius_m, tolerance_m));
    let n = libm::ceilf(libm::fabsf(sweep) / one);
    if n >= f32::from(MOST_STEPS) { MOST_STEPS } else { libm::fmaxf(n, 1.0) as u16 }
}

/// The place `radius_m` from `centre` in direction `angle`, radians counter-clockwise from +X.
pub(super) fn on_circle(centre: StagePoint, radius_m: f32, angle: f32) -> StagePoint {
    centre + StageVector::new(libm::cosf(angle), libm::sinf(angle)) * radius_m
}

/// Points along an arc, both ends in.
pub(super) fn along(
    centre: StagePoint,
    radius_m: f32,
    (from, to): (f32, f32),
    steps: u16,
) -> impl DoubleEndedIterator<Item = StagePoint> {
    let one = (to - from) / f32::from(steps.max(1));
    (0..=steps).map(move |i| on_circle(centre, radius_m, from + one * f32::from(i)))
}

/// A whole ring: `half_m` on each side of its circle.
pub(super) fn ring(scene: &mut Sheet<'_, '_>, centre: StagePoint, radius_m: f32, half_m: f32) -> Result<(), SceneFull> {
    scene.disc(centre, radius_m + half_m)?;
    if radius_m > half_m { scene.hole(centre, radius_m - half_m) } else { Ok(()) }
}

/// A piece of a ring with radial ends, counter-clockwise from angle `from` to `to`.
pub(super) fn sector(
    scene: &mut Sheet<'_, '_>,
    centre: StagePoint,
    (inner_m, outer_m): (f32, f32),
    (from, to): (f32, f32),
    tolerance_m: f32,
) -> Result<(), SceneFull> {
    let n = steps(outer_m, to - from, tolerance_m);
    let out = along(centre, outer_m, (from, to), n);
    let back = along(centre, libm::fmaxf(inner_m, 0.0), (from, to), n).rev();
    scene.polygon_from(out.chain(back))
}

/// `count` equal pieces of a ring, each `share` of its period, one of them centred on angle `first`.
pub(super) fn pieces(
    scene: &mut Sheet<'_, '_>,
    centre: StagePoint,
    (radius_m, half_m): (f32, f32),
    (count, share, first): (u16, f32, f32),
    tolerance_m: f32,
) -> Result<(), SceneFull> {
    let period = TAU / f32::from(count.max(1));
    let reach = period * share * 0.5;
    for i in 0..count {
        let middle = first + period * f32::from(i);
        let band = (radius_m - half_m, radius_m + half_m);
        sector(scene, centre, band, (middle - reach, middle + reach), tolerance_m)?;
    }
    Ok(())
}

/// A dashed ring with one dash centred on angle `first`.
pub(super) fn dashed(
    scene: &mut Sheet<'_, '_>,
    centre: StagePoint,
    (radius_m, half_m): (f32, f32),
    first: f32,
    tolerance_m: f32,
) -> Result<(), SceneFull> {
    let dashes = Dashes::closed(TAU * radius_m, 4);
    let share = dashes.dash_m / libm::fmaxf(dashes.period_m(), f32::MIN_POSITIVE);
    pieces(scene, centre, (radius_m, half_m), (dashes.count, share, first), tolerance_m)
}
