//! Whether the rounded corners of a walk line fit its legs.

use super::LinePoint;
use super::validate::ShowFault;
use crate::geom::fillet;

/// Two arcs may share a leg to its last millimetre; rounding may cost this much more, metres.
const CORNER_SLACK_M: f32 = 1e-3;

/// Sharp ends, and rounded corners whose arcs fit their legs.
pub(super) fn corners_fit(points: &[LinePoint]) -> Result<(), ShowFault> {
    let is_stop = |p: Option<&LinePoint>| p.is_some_and(LinePoint::is_stop);
    if !is_stop(points.first()) || !is_stop(points.last()) {
        return Err(ShowFault::BadPolygon);
    }
    let mut used_m = 0.0;
    for three in points.windows(3) {
        let &[before, here, after] = three else { continue };
        let tangent_m = fillet(before.at, here.at, after.at, here.bend_m).map_or(0.0, |f| f.tangent_m);
        if used_m + tangent_m > before.at.distance(here.at) + CORNER_SLACK_M {
            return Err(ShowFault::BadPolygon);
        }
        used_m = tangent_m;
        if used_m > here.at.distance(after.at) + CORNER_SLACK_M {
            return Err(ShowFault::BadPolygon);
        }
    }
    Ok(())
}
