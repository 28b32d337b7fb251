//! Why there is no way.

use super::error::{NoWay, WalkError};
use super::route_work::PlanWork;
use super::terrain::Terrain;
use crate::geom::StagePoint;
use crate::props::Limit;

pub(super) fn explain<const N: usize>(
    _terrain: &Terrain<N>,
    leg: u8,
    (from, to): (StagePoint, StagePoint),
    _work: &mut PlanWork,
) -> WalkError {
    let at = from + (to - from) * 0.5;
    WalkError::NoWay(NoWay { leg, at, between: [Limit::OffFloor; 2], missing_m: 0.0 })
}
