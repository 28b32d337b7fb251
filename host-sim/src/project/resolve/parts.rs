//! Parts of props: their shapes, and polygons made convex and counter-clockwise.

use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::limits;
use underfoot_core::show::{Layer, Part, PartShape};
use underfoot_core::units::Angle;

use super::resolver::Resolver;
use super::resolver::Take::{Needed, Optional, Stray};
use super::resolver::{point, run};
use crate::project::raw::props::{RawPart, Shape};

impl Resolver<'_> {
    pub(super) fn part(&mut self, part: &RawPart, layer: Layer, shape: PartShape, path: &str) {
        if part.top_m.0 <= part.bottom_m.0 {
            let what = format!("the part has its top at {} m and its bottom at {} m", part.top_m.0, part.bottom_m.0);
            self.fault(&format!("{path}.top_m"), what, "put the top above the bottom");
        }
        self.put("parts", self.show.parts.len(), path);
        self.part_names.push(part.name.as_ref().map_or(String::new(), |n| n.0.clone()));
        let _ = self.show.parts.push(Part {
            shape,
            bottom_m: part.bottom_m.get(),
            top_m: part.top_m.get(),
            layer: part.layer.map_or(layer, |l| l.0),
            transparent: part.transparent,
        });
    }

    pub(super) fn shape(&mut self, p: &RawPart, path: &str) -> Option<PartShape> {
        if !self.shape_keys(p, path) {
            return None;
        }
        let at = point(p.at);
        match p.shape.0 {
            Shape::Cylinder => Some(PartShape::Disc { at, radius_m: p.radius_m?.get() }),
            Shape::Ring => self.ring(p, at, path),
            Shape::Box => {
                let [w, d] = p.size_m?.map(|side| side.get() / 2.0);
                let (sin, cos) = Angle::from_degrees(p.turn_deg.map_or(0.0, |t| t.get())).sin_cos();
                let corners = [(-w, -d), (w, -d), (w, d), (-w, d)];
                let corners = corners.map(|(x, y)| at + StageVector::new(x * cos - y * sin, x * sin + y * cos));
                self.polygon(&corners, path)
            }
            Shape::Polygon => self.corners(p, at, path),
        }
    }

    /// True when the part has the keys that its shape needs, and no others.
    fn shape_keys(&mut self, p: &RawPart, path: &str) -> bool {
        let kind = p.shape.0;
        let of = |shape: Shape, take| if kind == shape { take } else { Stray };
        let owner = match kind {
            Shape::Box => "a box",
            Shape::Cylinder => "a cylinder",
            Shape::Ring => "a ring",
            Shape::Polygon => "a polygon",
        };
        self.takes(
            path,
            owner,
            &[
                ("size_m", p.size_m.is_some(), of(Shape::Box, Needed)),
                ("turn_deg", p.turn_deg.is_some(), of(Shape::Box, Optional)),
                ("radius_m", p.radius_m.is_some(), of(Shape::Cylinder, Needed)),
                ("inner_m", p.inner_m.is_some(), of(Shape::Ring, Needed)),
                ("outer_m", p.outer_m.is_some(), of(Shape::Ring, Needed)),
                ("gap_m", p.gap_m.is_some(), of(Shape::Ring, Optional)),
                ("gap_deg", p.gap_deg.is_some(), of(Shape::Ring, Optional)),
                ("gap_faces", p.gap_faces.is_some(), of(Shape::Ring, Optional)),
                ("vertices", p.vertices.is_some(), of(Shape::Polygon, Needed)),
            ],
        )
    }

    fn corners(&mut self, p: &RawPart, at: StagePoint, path: &str) -> Option<PartShape> {
        let mut corners: Vec<StagePoint> = p.vertices.as_ref()?.iter().map(|&v| point(v)).collect();
        if let Some((corner, why)) = not_convex(&mut corners) {
            let what = format!("the polygon is not convex: {why} at corner {}", corner + 1);
            let remedy = "split it into convex parts, or fix the corner";
            self.fault(&format!("{path}.vertices[{corner}]"), what, remedy);
            return None;
        }
        let corners: Vec<StagePoint> = corners.into_iter().map(|c| at + (c - StagePoint::default())).collect();
        self.polygon(&corners, path)
    }

    fn ring(&mut self, p: &RawPart, at: StagePoint, path: &str) -> Option<PartShape> {
        let (inner_m, outer_m) = (p.inner_m?.get(), p.outer_m?.get());
        if inner_m >= outer_m {
            let what = format!("the ring's inner radius {inner_m} m is not below its outer radius {outer_m} m");
            self.fault(&format!("{path}.inner_m"), what, "swap them, or check both");
            return None;
        }
        let gap_deg = match (p.gap_deg, p.gap_faces) {
            (Some(_), Some(_)) => {
                self.fault(
                    &format!("{path}.gap_faces"),
                    "the ring has both `gap_deg` and `gap_faces`",
                    "keep one of them",
                );
                return None;
            }
            (Some(deg), None) => Some(deg.get()),
            (None, Some(side)) => Some(side.0),
            (None, None) => None,
        };
        if p.gap_m.is_some() != gap_deg.is_some() {
            let what = "the ring's gap has a width or a direction, but not both";
            self.fault(path, what, "write `gap_m` with `gap_faces` or `gap_deg`");
            return None;
        }
        let gap_m = p.gap_m.map_or(0.0, |g| g.get());
        if gap_m >= 2.0 * inner_m {
            let what = format!("the ring's gap of {gap_m} m is as wide as its inner diameter of {} m", 2.0 * inner_m);
            self.fault(&format!("{path}.gap_m"), what, "narrow the gap");
            return None;
        }
        Some(PartShape::Ring { at, inner_m, outer_m, gap_deg: gap_deg.unwrap_or(0.0), gap_m })
    }

    fn polygon(&mut self, corners: &[StagePoint], path: &str) -> Option<PartShape> {
        let before = self.show.part_vertices.len();
        if self.show.part_vertices.extend_from_slice(corners).is_err() {
            self.full(path, "vertices over all parts up to here", before + corners.len(), limits::PART_VERTICES);
            return None;
        }
        Some(PartShape::Polygon(run(before, self.show.part_vertices.len())))
    }
}

/// Makes the corners counter-clockwise; names the first corner that keeps them from being a convex polygon.
fn not_convex(corners: &mut [StagePoint]) -> Option<(usize, &'static str)> {
    let n = corners.len();
    let origin = *corners.first()?;
    let doubled: f32 = (0..n).map(|i| (corners[i] - origin).cross(corners[(i + 1) % n] - origin)).sum();
    if doubled.abs() < 1e-6 {
        return Some((0, "it has no area"));
    }
    let clockwise = doubled < 0.0;
    let sign = if clockwise { -1.0 } else { 1.0 };
    let mut turned = 0.0;
    for i in 0..n {
        let before = corners[i] - corners[(i + n - 1) % n];
        let after = corners[(i + 1) % n] - corners[i];
        if before.length() < 1e-3 {
            return Some((i, "two corners in one place"));
        }
        let cross = sign * before.cross(after);
        if cross < -1e-6 {
            return Some((i, "it turns inward"));
        }
        turned += cross.atan2(before.dot(after));
    }
    // A star turns the same way all along, but more than once round.
    if turned > 7.0 {
        return Some((0, "its sides cross"));
    }
    if clockwise {
        corners.reverse();
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corners(list: &[(f32, f32)]) -> Vec<StagePoint> {
        list.iter().map(|&(x, y)| StagePoint::new(x, y)).collect()
    }

    #[test]
    fn polygons_are_convex_or_named() {
        let mut clockwise = corners(&[(0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, 0.0)]);
        assert_eq!(not_convex(&mut clockwise), None);
        assert_eq!(clockwise, corners(&[(1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.0, 0.0)]));
        let mut dented = corners(&[(0.0, 0.0), (2.0, 0.0), (0.5, 0.5), (0.0, 2.0)]);
        assert_eq!(not_convex(&mut dented).map(|(i, _)| i), Some(2));
        let star: Vec<(f32, f32)> =
            (0..5).map(|k| (k as f32 * 144.0).to_radians()).map(|a| (a.cos(), a.sin())).collect();
        assert_eq!(not_convex(&mut corners(&star)), Some((0, "its sides cross")));
        assert_eq!(not_convex(&mut corners(&[(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)])), Some((0, "it has no area")));
    }
}
