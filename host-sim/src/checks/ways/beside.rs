//! The least room along a way, asked of the core one thing at a time.

use underfoot_core::geom::{Region, StagePoint};
use underfoot_core::limits;
use underfoot_core::props::Limit;
use underfoot_core::show::{Edge, Entry, FloorOutline, LinePoint};
use underfoot_core::walk::{Narrowest, Path, Terrain, narrowest};

/// A terrain of as many things as a plan takes.
pub(super) type Ground = Terrain<{ limits::WALK_OBSTACLES }>;

/// Where a way comes nearest to something.
#[derive(Clone, Copy, Debug)]
pub(super) struct Nearest {
    /// Metres along the way.
    pub(super) s_m: f32,
    /// The place.
    pub(super) at: StagePoint,
    /// From the way's middle line to the thing, metres; negative inside.
    pub(super) distance_m: f32,
}

/// The least distance from a way to some regions; `None` for no regions, or a way without length.
pub(super) fn nearest(points: &[LinePoint], regions: &[Region]) -> Option<Nearest> {
    let endless = endless();
    let mut ground = Ground::bare(&endless, &[]).ok()?;
    for region in regions {
        ground.push(Limit::Physical(0), region, 0.0).ok()?;
    }
    let path = Path::new(points);
    let found = narrowest(&ground, &path).filter(|_| !regions.is_empty())?;
    Some(Nearest { s_m: path.nearest(found.at)?.0, at: found.at, distance_m: found.standing.margin_m })
}

/// The least room of a way on the floor: to its end, and in its bands where no entry is.
pub(super) fn on_floor(points: &[LinePoint], floor: &FloorOutline, entries: &[Entry]) -> Option<Narrowest> {
    narrowest(&Ground::bare(floor, entries).ok()?, &Path::new(points))
}

/// A floor that ends nowhere near, so that only what is put on it counts.
pub(super) fn endless() -> FloorOutline {
    let far_m = limits::STAGE_REACH_M;
    let corners = [(-far_m, -far_m), (far_m, -far_m), (far_m, far_m), (-far_m, far_m)];
    let mut floor = FloorOutline::default();
    for (x, y) in corners {
        // There is room for many more than four.
        let _ = floor.vertices.push(StagePoint::new(x, y));
        let _ = floor.edges.push(Edge::Level);
    }
    floor
}

/// The way without its last `less_m` metres; nothing when it is not longer.
pub(super) fn without_end(points: &[LinePoint], less_m: f32) -> Vec<LinePoint> {
    let path = Path::new(points);
    let left_m = path.length_m() - less_m;
    if left_m <= 0.0 {
        return Vec::new();
    }
    let mut kept = points.to_vec();
    // Rounded corners near the end are cut off with it: the rest is straight there.
    while kept.len() > 1 && Path::new(&kept[..kept.len() - 1]).length_m() > left_m {
        kept.pop();
    }
    kept.pop();
    kept.push(LinePoint::sharp(path.at(left_m).at));
    kept
}

#[cfg(test)]
mod tests {
    use underfoot_core::geom::Rounded;

    use super::*;

    fn p(x: f32, y: f32) -> LinePoint {
        LinePoint::sharp(StagePoint::new(x, y))
    }

    /// Euclid: the foot of the perpendicular from (3, 1) to the line through (0, 0) and (8, 6) lies where
    /// (3·8 + 1·6) / 100 of its 10 m are gone, and the distance is |3·6 - 1·8| / 10 = 1.
    #[test]
    fn the_least_distance_is_at_the_foot_of_the_perpendicular() {
        let post = Region::Rounded(Rounded::disc(StagePoint::new(3.0, 1.0), 0.25).expect("a disc"));
        let found = nearest(&[p(0.0, 0.0), p(8.0, 6.0), p(8.0, 20.0)], &[post]).expect("a way");
        assert!((found.distance_m - 0.75).abs() < 1e-5 && (found.s_m - 3.0).abs() < 1e-3, "{found:?}");
    }

    #[test]
    fn a_way_loses_its_end_whatever_its_corners() {
        let way = [p(0.0, 0.0), p(3.0, 0.0), p(3.0, 0.5)];
        let length = |points: &[LinePoint]| Path::new(points).length_m();
        for less_m in [0.2, 0.5, 1.0, 3.0] {
            assert!((length(&without_end(&way, less_m)) - (3.5 - less_m)).abs() < 1e-5, "{less_m}");
        }
        assert!(without_end(&way, 3.5).is_empty());
    }
}
