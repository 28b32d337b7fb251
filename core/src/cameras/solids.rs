//! Parts of props as they stand on the stage at one moment of a cue.

use heapless::Vec;

use super::Crossings;
use crate::geom::{GeomError, StagePoint, StagePoint3, StageVector, polygon};
use crate::limits;
use crate::props::motion::{self, Moment};
use crate::show::{Cue, Layer, Part, PartShape, PropId, Show};
use crate::units::Angle;

/// A part as it stands: an upright prism or ring.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// Its prop.
    pub prop: PropId,
    /// Index among the prop's parts.
    pub part: u8,
    /// Where it is drawn.
    pub layer: Layer,
    /// True when what lies behind can be seen through it.
    pub transparent: bool,
    /// Its footprint.
    pub shape: SolidShape,
    /// Its lower end above the floor, metres.
    pub bottom_m: f32,
    /// Its upper end above the floor, metres.
    pub top_m: f32,
    bounds: (StagePoint, f32),
}

/// A footprint on the stage.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::large_enum_variant, reason = "there is no heap to put the polygon on")]
pub enum SolidShape {
    /// A disc.
    Disc {
        /// Its centre.
        centre: StagePoint,
        /// Radius, metres.
        radius_m: f32,
    },
    /// A ring.
    Ring {
        /// Its centre.
        centre: StagePoint,
        /// Inner radius, metres.
        inner_m: f32,
        /// Outer radius, metres.
        outer_m: f32,
        /// Its gap, if it has one.
        gap: Option<Gap>,
    },
    /// A convex polygon, counter-clockwise.
    Polygon(Vec<StagePoint, { limits::HULL_VERTICES }>),
}

/// The gap of a ring: a sector from its centre, less than half a turn wide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Direction of its clockwise side, of unit length.
    pub first: StageVector,
    /// Direction of its counter-clockwise side, of unit length.
    pub last: StageVector,
}

/// Why the solids of a cue could not be listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SolidsError {
    /// More parts than the list holds.
    Full {
        /// Its capacity.
        capacity: usize,
    },
    /// A part's shape cannot be used.
    Shape {
        /// The prop.
        prop: PropId,
        /// Index among the prop's parts.
        part: u8,
        /// What is wrong with it.
        fault: GeomError,
    },
}

impl Gap {
    /// The sector `half` to both sides of `middle`, both counter-clockwise from stage left.
    pub fn about(middle: Angle, half: Angle) -> Self {
        let side = |radians: f32| {
            let (sin, cos) = Angle::from_radians(radians).sin_cos();
            StageVector::new(cos, sin)
        };
        let (middle, half) = (middle.to_radians(), half.to_radians());
        Self { first: side(middle - half), last: side(middle + half) }
    }
}

impl SolidShape {
    /// A disc that holds the whole footprint: its centre and radius in metres.
    pub fn bounds(&self) -> (StagePoint, f32) {
        match self {
            Self::Disc { centre, radius_m } => (*centre, *radius_m),
            Self::Ring { centre, outer_m, .. } => (*centre, *outer_m),
            Self::Polygon(vertices) => {
                let share = 1.0 / vertices.len().max(1) as f32;
                let sum = vertices.iter().fold(StageVector::default(), |sum, &v| sum + (v - StagePoint::default()));
                let centre = StagePoint::default() + sum * share;
                (centre, vertices.iter().map(|v| v.distance(centre)).fold(0.0, f32::max))
            }
        }
    }

    /// The footprint of a part on the stage.
    ///
    /// # Errors
    /// [`GeomError`] for a polygon that is not convex and counter-clockwise or has too many vertices.
    pub fn of_part(show: &Show, part: &Part, moment: &Moment) -> Result<Self, GeomError> {
        let placement = &moment.placement;
        match part.shape {
            PartShape::Disc { at, radius_m } => Ok(Self::Disc { centre: placement.to_stage(at), radius_m }),
            PartShape::Ring { at, inner_m, outer_m, gap_deg, gap_m } => {
                let middle = Angle::from_degrees(gap_deg).to_radians() + placement.turn.to_radians();
                let half = Angle::from_radians(libm::asinf((gap_m / (2.0 * outer_m)).min(1.0)));
                let gap = (gap_m > 0.0).then(|| Gap::about(Angle::from_radians(middle), half));
                Ok(Self::Ring { centre: placement.to_stage(at), inner_m, outer_m, gap })
            }
            PartShape::Polygon(run) => {
                let local = run.of(&show.part_vertices);
                if !polygon::is_convex(local) {
                    return Err(GeomError::NotConvex);
                }
                let (mut vertices, to_stage) = (Vec::new(), placement.laid_out());
                for &v in local {
                    vertices.push(to_stage(v)).map_err(|_| GeomError::TooMany)?;
                }
                Ok(Self::Polygon(vertices))
            }
        }
    }
}

impl Solid {
    /// An opaque overlay of this shape, part 0 of prop 0.
    pub fn new(shape: SolidShape, bottom_m: f32, top_m: f32) -> Self {
        let bounds = shape.bounds();
        let layer = Layer::Overlay;
        Self { prop: PropId(0), part: 0, layer, transparent: false, shape, bottom_m, top_m, bounds }
    }

    /// The same as part `index` of `prop`.
    pub fn named(self, prop: PropId, index: u8) -> Self {
        Self { prop, part: index, ..self }
    }

    /// The same in another layer.
    pub fn on(self, layer: Layer) -> Self {
        Self { layer, ..self }
    }

    /// The same, but one can see through it.
    pub fn see_through(self) -> Self {
        Self { transparent: true, ..self }
    }

    /// A part of a prop at a moment.
    ///
    /// # Errors
    /// As [`SolidShape::of_part`].
    pub fn of_part(show: &Show, prop: PropId, index: u8, part: &Part, moment: &Moment) -> Result<Self, GeomError> {
        let (bottom_m, top_m) = moment.heights(part.bottom_m, part.top_m);
        let overlay = Self::new(SolidShape::of_part(show, part, moment)?, bottom_m, top_m);
        let opaque = overlay.named(prop, index).on(part.layer);
        Ok(if part.transparent { opaque.see_through() } else { opaque })
    }

    /// A disc that holds the footprint: its centre and radius in metres.
    pub fn bounds(&self) -> (StagePoint, f32) {
        self.bounds
    }

    /// Where the way `from` + λ `way` on the floor plan is inside the footprint, for all λ.
    pub fn crossings(&self, from: StagePoint, way: StageVector) -> Crossings {
        self.shape.crossings(from, way)
    }

    /// Where the straight way from `from` (λ 0) through `to` (λ 1) is inside the part, for all λ.
    pub fn crossings3(&self, from: StagePoint3, to: StagePoint3) -> Crossings {
        let rise = to.z - from.z;
        let slab = if rise == 0.0 {
            let inside = self.bottom_m <= from.z && from.z <= self.top_m;
            inside.then_some((f32::NEG_INFINITY, f32::INFINITY))
        } else {
            let (a, b) = ((self.bottom_m - from.z) / rise, (self.top_m - from.z) / rise);
            Some((a.min(b), a.max(b)))
        };
        let Some((low, high)) = slab else { return Crossings::new() };
        let plan = self.crossings(from.on_floor(), to.on_floor() - from.on_floor());
        plan.iter().map(|&(a, b)| (a.max(low), b.min(high))).filter(|(a, b)| a < b).collect()
    }
}

/// The parts that are in the picture at `t_s` seconds after the start of a cue, in the cue's order: of props
/// that are live or leaving, and of props that are coming once their announcement is over. What has not
/// begun to grow is left out.
///
/// # Errors
/// [`SolidsError`].
pub fn of_cue<const N: usize>(show: &Show, cue: &Cue, t_s: f32) -> Result<Vec<Solid, N>, SolidsError> {
    let mut list = Vec::new();
    each_part(show, cue, t_s, &mut |prop, index, part, moment| {
        let named = |fault| SolidsError::Shape { prop, part: index, fault };
        let solid = Solid::of_part(show, prop, index, part, moment).map_err(named)?;
        list.push(solid).map_err(|_| SolidsError::Full { capacity: N })
    })?;
    Ok(list)
}

/// Calls `each` with every part that is in the picture at `t_s`, until it gives an error.
fn each_part<E>(
    show: &Show,
    cue: &Cue,
    t_s: f32,
    each: &mut impl FnMut(PropId, u8, &Part, &Moment) -> Result<(), E>,
) -> Result<(), E> {
    for state in show.props_in(cue) {
        let shown = motion::appears_s(state).is_some_and(|from_s| t_s >= from_s);
        let Some(moment) = motion::at(show, cue, state, t_s).filter(|m| shown && m.growth > 0.0) else { continue };
        let Some(prop) = show.props.get(state.prop.index()) else { continue };
        for (i, part) in (0..).zip(show.parts_of(prop)) {
            each(state.prop, i, part, &moment)?;
        }
    }
    Ok(())
}

/// Parts that may cover something, to be looked at one after the other, as often as need be.
pub trait Covers {
    /// Calls `look` with one after the other until it gives false.
    fn each(&self, look: &mut impl FnMut(&Solid) -> bool);
}

impl Covers for [Solid] {
    fn each(&self, look: &mut impl FnMut(&Solid) -> bool) {
        let _ = self.iter().all(look);
    }
}

/// The opaque overlays of a cue at a moment, without rings. They are made anew each time they are looked at, so that
/// nobody needs memory for them all; one whose shape cannot be used covers nothing.
#[derive(Clone, Copy, Debug)]
pub struct Overlays<'s> {
    /// The show.
    pub show: &'s Show,
    /// Its cue.
    pub cue: &'s Cue,
    /// Seconds since the start of the cue.
    pub t_s: f32,
    /// Bit i for prop i: those that graphics is known to draw now. Others cover nothing.
    pub drawn: u32,
}

impl Covers for Overlays<'_> {
    fn each(&self, look: &mut impl FnMut(&Solid) -> bool) {
        // The error only ends it.
        let _ = each_part(self.show, self.cue, self.t_s, &mut |prop, index, part, moment| {
            let is_ring = matches!(part.shape, PartShape::Ring { .. });
            let is_drawn = self.drawn.checked_shr(prop.0.into()).is_some_and(|bits| bits & 1 == 1);
            if part.layer != Layer::Overlay || part.transparent || is_ring || !is_drawn {
                return Ok(());
            }
            let solid = Solid::of_part(self.show, prop, index, part, moment);
            if solid.is_ok_and(|solid| !look(&solid)) { Err(()) } else { Ok(()) }
        });
    }
}
