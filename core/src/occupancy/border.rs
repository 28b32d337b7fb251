//! The floor's end and its edge bands, with the entries that let people through.

use heapless::Vec;

use super::area::Area;
use super::{Cause, CellClass, MapError};
use crate::geom::{Convex, GeomError, Region, Rounded, polygon};
use crate::limits;
use crate::props::Limit;
use crate::props::ground::{Opening, band_m};
use crate::show::Show;

/// Calls `each` with what lies beyond the floor and with the band of every side.
pub(super) fn areas(
    show: &Show,
    each: &mut impl FnMut(CellClass, Cause, &Area<'_>) -> Result<(), MapError>,
) -> Result<(), MapError> {
    let floor = &show.floor;
    let outline = floor.vertices.as_slice();
    let bad = |fault: GeomError| MapError::Shape { cause: None, fault };
    if outline.len() < 3 {
        return Err(bad(GeomError::TooFew));
    }
    each(CellClass::Edge, Cause::Limit(Limit::OffFloor), &Area::Beyond(outline))?;
    let mut openings = Vec::<Opening, { limits::ENTRIES }>::new();
    for entry in &show.entries {
        let opening = Opening::of(entry, floor).ok_or(bad(GeomError::Collinear))?;
        openings.push(opening).map_err(|_| bad(GeomError::TooMany))?;
    }
    for (i, ((a, b), &kind)) in polygon::sides(outline).zip(&floor.edges).enumerate() {
        let (edge, width_m) = (i as u8, band_m(floor, kind));
        if width_m > 0.0 {
            let band = Convex::segment(a, b).and_then(|side| Rounded::new(side, width_m)).map_err(bad)?;
            let band = Area::Band { region: &Region::Rounded(band), edge, openings: &openings };
            each(CellClass::Edge, Cause::Limit(Limit::Edge(edge)), &band)?;
        }
    }
    Ok(())
}
