//! A closed area of the floor that gives the cells it touches a class.

use super::Cell;
use crate::geom::{Convex, GeomError, Region, StagePoint, polygon};
use crate::props::ground::Opening;

/// What is farther from a shape than this, or deeper in it, is so whatever rounding did, metres.
const SURE_M: f32 = 1e-4;

/// A closed area, with one exact question and two quick ones.
pub(super) enum Area<'a> {
    /// A footprint, a swept area, a physical thing, a panel.
    Region(&'a Region),
    /// The band inside one side of the floor; its entries let people through.
    Band {
        /// All within the band's width of the side.
        region: &'a Region,
        /// The side: from vertex i to the next.
        edge: u8,
        /// The entries of the floor.
        openings: &'a [Opening],
    },
    /// All that lies beyond this outline. The outline itself is on the floor.
    Beyond(&'a [StagePoint]),
}

impl Area<'_> {
    /// A disc that holds the area; `None` when it has no end.
    pub(super) fn bounds(&self) -> Option<(StagePoint, f32)> {
        match self {
            Self::Region(region) | Self::Band { region, .. } => Some(region.bounds()),
            Self::Beyond(_) => None,
        }
    }

    /// True when the area touches the cell: they share a point, to [`polygon::ON_EDGE_M`].
    pub(super) fn touches(&self, cell: &Cell) -> Result<bool, GeomError> {
        if self.is_away(cell) {
            return Ok(false);
        }
        if self.fills(cell) {
            return Ok(true);
        }
        let meets = |region: &Region| Ok(region.gap_to(&cell.set()?) <= polygon::ON_EDGE_M);
        match *self {
            Self::Region(region) => meets(region),
            Self::Band { region, edge, openings } => Ok(!is_let_through(openings, edge, cell) && meets(region)?),
            Self::Beyond(outline) => is_partly_beyond(outline, cell),
        }
    }

    /// True only when the area touches no part of the cell.
    pub(super) fn is_away(&self, cell: &Cell) -> bool {
        self.depth_m(cell.centre()) < -(cell.reach_m() + SURE_M)
    }

    /// True only when all of the cell lies in the area.
    pub(super) fn fills(&self, cell: &Cell) -> bool {
        let whole = match self {
            Self::Band { edge, openings, .. } => openings.iter().all(|o| o.edge != *edge),
            Self::Region(_) | Self::Beyond(_) => true,
        };
        whole && self.depth_m(cell.centre()) > cell.reach_m() + SURE_M
    }

    /// How deep a place lies in the area, metres, at most; negative: how far it is from it.
    fn depth_m(&self, p: StagePoint) -> f32 {
        match self {
            Self::Region(region) | Self::Band { region, .. } => -region.signed_distance(p),
            Self::Beyond(outline) => polygon::signed_distance(outline, p),
        }
    }
}

/// True when the cell lies wholly in the width of one entry of the side.
fn is_let_through(openings: &[Opening], edge: u8, cell: &Cell) -> bool {
    let corners = cell.corners();
    openings.iter().any(|o| o.edge == edge && corners.iter().all(|&corner| o.is_abreast(corner)))
}

/// True when some of the cell lies more than [`polygon::ON_EDGE_M`] beyond the outline.
fn is_partly_beyond(outline: &[StagePoint], cell: &Cell) -> Result<bool, GeomError> {
    if cell.corners().iter().any(|&corner| !polygon::contains(outline, corner)) {
        return Ok(true);
    }
    // All corners on the floor: only a notch of the outline can still reach into the cell. A notch that ends on
    // its boundary does not, and neither end of that question is finer than ON_EDGE_M.
    let Some(inner) = cell.shrunk(2.0 * polygon::ON_EDGE_M) else { return Ok(false) };
    let inner = inner.set()?;
    for (a, b) in polygon::sides(outline) {
        if Convex::segment(a, b)?.gap(&inner) == 0.0 {
            return Ok(true);
        }
    }
    Ok(false)
}
