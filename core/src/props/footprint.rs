//! What the parts of a prop cover on the floor, band by band.

use heapless::Vec;

use super::Placement;
use crate::geom::{Convex, GeomError, Region, Ring, Rounded, StagePoint};
use crate::limits;
use crate::show::{Band, Part, PartShape, Prop, Show};
use crate::units::Angle;

/// The footprint of one part on the stage.
///
/// # Errors
/// [`GeomError`] for a shape that cannot be used: a polygon that is not convex and counter-clockwise, a
/// size that is not positive.
pub fn of_part(show: &Show, part: &Part, placement: &Placement) -> Result<Region, GeomError> {
    match part.shape {
        PartShape::Disc { at, radius_m } => Rounded::disc(placement.to_stage(at), radius_m).map(Region::Rounded),
        PartShape::Ring { at, inner_m, outer_m, gap_deg, gap_m } => {
            let middle = Angle::from_radians(Angle::from_degrees(gap_deg).to_radians() + placement.turn.to_radians());
            Ring::new(placement.to_stage(at), inner_m, outer_m)?.with_gap(middle, gap_m).map(Region::Ring)
        }
        PartShape::Polygon(run) => {
            let mut vertices = Vec::<StagePoint, { limits::HULL_VERTICES }>::new();
            let to_stage = placement.laid_out();
            for &v in run.of(&show.part_vertices) {
                vertices.push(to_stage(v)).map_err(|_| GeomError::TooMany)?;
            }
            Rounded::new(Convex::polygon(&vertices)?, 0.0).map(Region::Rounded)
        }
    }
}

/// The footprints of a prop's parts that reach into `band`, each with its index among the prop's parts.
/// A part that reaches into two bands belongs to both.
pub fn in_band<'s>(
    show: &'s Show,
    prop: &Prop,
    placement: &Placement,
    band: Band,
) -> impl Iterator<Item = (usize, Result<Region, GeomError>)> + use<'s> {
    let placement = *placement;
    let parts = show.parts_of(prop).iter().enumerate().filter(move |(_, part)| part.reaches(band));
    parts.map(move |(i, part)| (i, of_part(show, part, &placement)))
}
