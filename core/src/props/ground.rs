//! Where a person may stand: on the floor, off its edge band, clear of every keep-out.

use heapless::Vec;

use super::keepout::{KeepOut, Limit};
use crate::geom::{Convex, GeomError, Region, Rounded, StagePoint, StageVector, Stretch, polygon, segment};
use crate::limits as cap;
use crate::show::{Edge, Entry, FloorOutline};

/// How far from an LED wall marks and people keep, metres: its reflection doubles what is nearer.
pub const WALL_LINE_M: f32 = 0.15;

/// The floor and what is kept out of it, for one person class in one cue.
#[derive(Clone, Debug)]
pub struct Ground<'k> {
    outline: &'k [StagePoint],
    edges: Vec<KeepOut, { cap::FLOOR_VERTICES }>,
    openings: Vec<Opening, { cap::ENTRIES }>,
    keepouts: &'k [KeepOut],
}

/// A declared entry: a rectangle from the floor's edge through its band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Opening {
    /// The side of the floor that it belongs to: from vertex i to the next.
    pub(crate) edge: u8,
    middle: StagePoint,
    along: StageVector,
    inwards: StageVector,
    half_m: f32,
    depth_m: f32,
}

/// Whether a person may stand somewhere, and by how much.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// The nearest limit, or the one that is passed the most.
    pub limit: Limit,
    /// Metres to spare; negative: so many are missing.
    pub margin_m: f32,
}

impl Standing {
    /// True when nothing is missing; on a limit, within [`polygon::ON_EDGE_M`], is allowed.
    pub fn is_allowed(&self) -> bool {
        self.margin_m >= -polygon::ON_EDGE_M
    }
}

/// Width of the band that people keep off along a side, metres.
pub fn band_m(floor: &FloorOutline, edge: Edge) -> f32 {
    match edge {
        Edge::Open => floor.edge_band_m,
        Edge::Wall => WALL_LINE_M,
        Edge::Level => 0.0,
    }
}

impl<'k> Ground<'k> {
    /// The ground of `floor` with its entries and keep-outs.
    ///
    /// An entry belongs to the side that it is nearest to. Inside its width that side's band is waived;
    /// the bands of other sides and the floor's end are not.
    ///
    /// # Errors
    /// [`GeomError`] for an outline that is not a simple counter-clockwise polygon
    /// ([`GeomError::NotConvex`] stands for a clockwise one) or too many entries.
    pub fn new(floor: &'k FloorOutline, entries: &[Entry], keepouts: &'k [KeepOut]) -> Result<Self, GeomError> {
        let outline = floor.vertices.as_slice();
        polygon::check(outline)?;
        if polygon::signed_area(outline) < 0.0 {
            return Err(GeomError::NotConvex);
        }
        let mut edges = Vec::new();
        for (i, ((a, b), &kind)) in polygon::sides(outline).zip(&floor.edges).enumerate() {
            let band = Rounded::new(Convex::segment(a, b)?, band_m(floor, kind))?;
            let edge = KeepOut { limit: Limit::Edge(i as u8), region: Region::Rounded(band) };
            edges.push(edge).map_err(|_| GeomError::TooMany)?;
        }
        let mut openings = Vec::new();
        for entry in entries {
            let opening = Opening::of(entry, floor).ok_or(GeomError::Collinear)?;
            openings.push(opening).map_err(|_| GeomError::TooMany)?;
        }
        Ok(Self { outline, edges, openings, keepouts })
    }

    /// What limits a person at `p` the most.
    ///
    /// Distances outside keep-outs are exact, so a positive margin is the distance to the nearest limit.
    pub fn standing(&self, p: StagePoint) -> Standing {
        let off = polygon::signed_distance(self.outline, p);
        if polygon::locate(self.outline, p) == polygon::Place::Outside {
            return Standing { limit: Limit::OffFloor, margin_m: -off };
        }
        let mut nearest = Standing { limit: Limit::OffFloor, margin_m: f32::INFINITY };
        for keepout in self.items().filter(|k| !self.is_waived(k.limit, p)) {
            let margin_m = keepout.signed_distance(p);
            if margin_m < nearest.margin_m {
                nearest = Standing { limit: keepout.limit, margin_m };
            }
        }
        nearest
    }

    /// True when a person may stand at `p`.
    pub fn may_stand(&self, p: StagePoint) -> bool {
        self.standing(p).is_allowed()
    }

    /// Keep-outs and edge bands.
    pub(super) fn items(&self) -> impl Iterator<Item = &KeepOut> {
        self.keepouts.iter().chain(&self.edges)
    }

    /// True when an entry lets people through the band of the side that `limit` names.
    pub(super) fn is_waived(&self, limit: Limit, p: StagePoint) -> bool {
        self.openings.iter().any(|o| limit == Limit::Edge(o.edge) && o.contains(p))
    }

    /// The floor's own outline.
    pub(super) fn outline(&self) -> &[StagePoint] {
        self.outline
    }

    /// The sides of the openings, from the floor's edge inwards, each with its edge.
    pub(super) fn jambs(&self) -> impl Iterator<Item = (Limit, Stretch)> {
        self.openings.iter().filter(|o| o.depth_m > 0.0).flat_map(|o| {
            [-o.half_m, o.half_m].map(|side| {
                let from = o.middle + o.along * side;
                (Limit::Edge(o.edge), Stretch::Line { from, to: from + o.inwards * o.depth_m })
            })
        })
    }
}

impl Opening {
    /// The entry in the side that it is nearest to; `None` when that side has no length.
    pub(crate) fn of(entry: &Entry, floor: &FloorOutline) -> Option<Self> {
        let outline = floor.vertices.as_slice();
        let (i, (a, b)) = polygon::nearest_side(outline, entry.at)?;
        let along = (b - a).unit()?;
        Some(Self {
            edge: i as u8,
            middle: segment::nearest(entry.at, a, b),
            along,
            inwards: along.perp(),
            half_m: entry.width_m / 2.0,
            depth_m: band_m(floor, *floor.edges.get(i)?),
        })
    }

    /// True when `p` is no farther to either side than the entry is wide, its jambs included.
    pub(crate) fn is_abreast(&self, p: StagePoint) -> bool {
        libm::fabsf((p - self.middle).dot(self.along)) <= self.half_m + polygon::ON_EDGE_M
    }

    /// The rectangle is closed: its sides belong to it.
    fn contains(&self, p: StagePoint) -> bool {
        let v = p - self.middle;
        let depth = v.dot(self.inwards);
        libm::fabsf(v.dot(self.along)) <= self.half_m && depth >= -polygon::ON_EDGE_M && depth <= self.depth_m
    }
}
