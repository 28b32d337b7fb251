//! Things that are really there: what stops people and what carries them.

use crate::geom::{Convex, GeomError, StagePoint, StageVector};
use crate::show::{Physical, PhysicalKind, Show};
use crate::units::Angle;

/// The rectangle that a physical thing covers on the floor.
///
/// # Errors
/// [`GeomError::BadSize`] or [`GeomError::NotFinite`].
pub fn rectangle(thing: &Physical) -> Result<Convex, GeomError> {
    Convex::rectangle(thing.centre, thing.width_m, thing.depth_m, Angle::from_degrees(thing.turn_deg))
}

/// True for things that nobody walks through or over.
pub fn stops_people(kind: PhysicalKind) -> bool {
    match kind {
        PhysicalKind::Furniture | PhysicalKind::Column => true,
        PhysicalKind::Riser | PhysicalKind::Ramp { .. } | PhysicalKind::Step | PhysicalKind::Rug => false,
    }
}

/// True for things that hide the LEDs beneath them.
pub fn hides_floor(kind: PhysicalKind) -> bool {
    !matches!(kind, PhysicalKind::Step)
}

/// True when `p` lies on the thing, its edge included.
pub fn covers(thing: &Physical, p: StagePoint) -> bool {
    rectangle(thing).is_ok_and(|area| crate::geom::polygon::contains(area.vertices(), p))
}

/// Height of a thing's top at `p`, metres above the floor; `None` when `p` is not on it.
pub fn top_at(thing: &Physical, p: StagePoint) -> Option<f32> {
    if !covers(thing, p) {
        return None;
    }
    let PhysicalKind::Ramp { rises_deg } = thing.kind else { return Some(thing.height_m) };
    let (sin, cos) = Angle::from_degrees(rises_deg).sin_cos();
    let up = StageVector::new(cos, sin);
    let (turn_sin, turn_cos) = Angle::from_degrees(thing.turn_deg).sin_cos();
    let own_x = StageVector::new(turn_cos, turn_sin);
    let half =
        libm::fabsf(up.dot(own_x)) * thing.width_m / 2.0 + libm::fabsf(up.dot(own_x.perp())) * thing.depth_m / 2.0;
    let share = (up.dot(p - thing.centre) / half + 1.0) / 2.0;
    Some(thing.height_m * share.clamp(0.0, 1.0))
}

/// The thing that carries a person at `p`: index and height of the highest walkable one, furniture left out.
pub fn carries(show: &Show, p: StagePoint) -> Option<(usize, f32)> {
    let walkable = show.physicals.iter().enumerate().filter(|(_, thing)| !stops_people(thing.kind));
    walkable.filter_map(|(i, thing)| top_at(thing, p).map(|top| (i, top))).max_by(|a, b| a.1.total_cmp(&b.1))
}
