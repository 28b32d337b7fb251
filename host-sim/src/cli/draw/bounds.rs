//! Words for what bounds an in-shot zone, and for its sides.

use underfoot_core::cameras::Side;
use underfoot_core::geom::{StageVector, polygon};
use underfoot_core::props::Limit;
use underfoot_core::show::{PropId, ShotId};
use underfoot_core::zones::{Bound, OutlineRing};

use crate::project::{Places, Project};

/// A side of an outline, as seen from its inside: where it lies and what bounds most of it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Edge {
    /// Which side: "US side".
    pub(crate) side: String,
    /// What bounds it.
    pub(crate) words: String,
    /// Length of the longest stretch, metres.
    pub(crate) length_m: f32,
    /// The middle of the longest stretch, and the way out there.
    pub(crate) middle: (underfoot_core::geom::StagePoint, StageVector),
}

/// "DOME paints over (1-WIDE)".
pub(crate) fn words(project: &Project, bound: &Bound) -> String {
    let show = &project.show;
    let prop = |id: PropId| show.props.get(id.index()).map_or("", |p| p.name.as_str());
    let shot = |id: ShotId| show.shots.get(id.index()).map_or("", |s| s.name.as_str());
    let real = |i: u8| show.physicals.get(usize::from(i)).map_or("", |p| p.name.as_str());
    match *bound {
        Bound::Limit(Limit::OffFloor | Limit::Edge(_)) => "the floor's edge".into(),
        Bound::Limit(Limit::Part { prop: id, .. }) => format!("clear of {}", prop(id)),
        Bound::Limit(Limit::Physical(i)) => format!("clear of {}", real(i)),
        Bound::Frame { shot: id, side } => format!("leaves {}{}", shot(id), at(side)),
        Bound::Painted { shot: id, prop: p, .. } => format!("{} paints over ({})", prop(p), shot(id)),
        Bound::Hidden { shot: id, prop: p, .. } => format!("{} hides ({})", prop(p), shot(id)),
        Bound::InFront { shot: id, prop: p, .. } => format!("shows in front of {} ({})", prop(p), shot(id)),
        Bound::OffWall { shot: id, .. } => format!("off the wall ({})", shot(id)),
    }
}

const fn at(side: Side) -> &'static str {
    match side {
        Side::Left => " at its left",
        Side::Right => " at its right",
        Side::Top => " at its top",
        Side::Bottom => " at its bottom",
    }
}

/// The four sides of an outer ring, upstage first, each with what bounds most of it; sides that there are not are
/// left out.
pub(super) fn edges(project: &Project, ring: &OutlineRing<'_>) -> Vec<Edge> {
    let stretches = stretches(ring);
    let ways = [(0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0)].map(|(x, y)| StageVector::new(x, y));
    let of_way = |way: &StageVector| {
        let most = |s: &&Stretch| s.out.dot(*way) > 0.7;
        let longest = stretches.iter().filter(most).max_by(|a, b| a.length_m.total_cmp(&b.length_m))?;
        Some(Edge {
            side: side(project, *way),
            words: words(project, &longest.bound),
            length_m: longest.length_m,
            middle: (longest.middle, longest.out),
        })
    };
    ways.iter().filter_map(of_way).collect()
}

/// Sides in a row that the same thing bounds.
struct Stretch {
    bound: Bound,
    length_m: f32,
    out: StageVector,
    middle: underfoot_core::geom::StagePoint,
}

fn stretches(ring: &OutlineRing<'_>) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    for ((p, q), bound) in polygon::sides(ring.points).zip(ring.bounds) {
        let way = q - p;
        let (length_m, Some(unit)) = (way.length(), way.unit()) else { continue };
        let (out, middle) = (-unit.perp(), p + way * 0.5);
        match found.last_mut().filter(|s| s.bound == *bound && s.out.dot(out) > 0.7) {
            Some(last) => {
                let all_m = last.length_m + length_m;
                last.middle = last.middle + (middle - last.middle) * (length_m / all_m);
                last.out = (last.out * last.length_m + out * length_m).unit().unwrap_or(out);
                last.length_m = all_m;
            }
            None => found.push(Stretch { bound: *bound, length_m, out, middle }),
        }
    }
    found
}

/// "US side"; in an arena without a front "row 4 side".
fn side(project: &Project, way: StageVector) -> String {
    let upstage = way.y.abs() > way.x.abs();
    if project.naming.places == Places::Stage {
        let name = match (upstage, way.x + way.y > 0.0) {
            (true, true) => "US",
            (true, false) => "DS",
            (false, true) => "SL",
            (false, false) => "SR",
        };
        return format!("{name} side");
    }
    let extent = |of: fn(&underfoot_core::geom::StagePoint) -> f32| {
        let all = || project.show.floor.vertices.iter().map(of);
        all().fold(f32::MIN, f32::max) - all().fold(f32::MAX, f32::min)
    };
    let cells = |m: f32| (m / project.naming.grid_m).round().max(1.0) as u32;
    match (upstage, way.x + way.y > 0.0) {
        (true, true) => format!("row {} side", cells(extent(|p| p.y))),
        (true, false) => "row 1 side".into(),
        (false, true) => {
            let last = char::from_u32(u32::from('A') + cells(extent(|p| p.x)).min(26) - 1).unwrap_or('Z');
            format!("column {last} side")
        }
        (false, false) => "column A side".into(),
    }
}
