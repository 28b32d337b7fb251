//! Props, their parts and their motions.

use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::limits;
use underfoot_core::show::{Layer, Motion, MotionKey, MotionKind, Part, PartShape, Prop, PropId};
use underfoot_core::units::Angle;

use super::resolver::Take::{Needed, Optional, Stray};
use super::resolver::{Resolver, name, point, point3, run, small};
use crate::project::raw::RawFile;
use crate::project::raw::props::{RawMotion, RawPart, RawProp, Shape, Way};

impl Resolver<'_> {
    pub(super) fn props(&mut self, raw: &RawFile) {
        self.unique("prop", raw.prop.iter().map(|p| p.name.0.as_str()));
        self.unique("motion", raw.motion.iter().map(|m| m.name.0.as_str()));
        let parts: usize = raw.prop.iter().map(|p| p.part.len()).sum();
        if parts > limits::PARTS {
            return self.full("prop", "parts over all props", parts, limits::PARTS);
        }
        for (i, p) in raw.prop.iter().enumerate() {
            self.prop(p, i);
        }
        let keys: usize = raw.motion.iter().map(|m| m.key.as_ref().map_or(0, Vec::len)).sum();
        if keys > limits::MOTION_KEYS {
            return self.full("motion", "keys over all motions", keys, limits::MOTION_KEYS);
        }
        let props: Vec<&str> = raw.prop.iter().map(|p| p.name.0.as_str()).collect();
        for (i, m) in raw.motion.iter().enumerate() {
            self.motion(m, i, &props);
        }
    }

    fn prop(&mut self, p: &RawProp, i: usize) {
        let path = format!("prop[{i}]");
        let before = self.show.parts.len();
        for (k, part) in p.part.iter().enumerate() {
            let path = format!("{path}.part[{k}]");
            if let Some(shape) = self.shape(part, &path) {
                self.part(part, p.layer.0, shape, &path);
            }
        }
        self.put("props", i, &path);
        let parts = run(before, self.show.parts.len());
        let _ =
            self.show.props.push(Prop { name: name(&p.name.0), at: point(p.at), turn_deg: p.turn_deg.get(), parts });
    }

    fn part(&mut self, part: &RawPart, layer: Layer, shape: PartShape, path: &str) {
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

    fn shape(&mut self, p: &RawPart, path: &str) -> Option<PartShape> {
        let kind = p.shape.0;
        let of = |shape: Shape, take| if kind == shape { take } else { Stray };
        let owner = match kind {
            Shape::Box => "a box",
            Shape::Cylinder => "a cylinder",
            Shape::Ring => "a ring",
            Shape::Polygon => "a polygon",
        };
        let fits = self.takes(
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
        );
        if !fits {
            return None;
        }
        let at = point(p.at);
        match kind {
            Shape::Cylinder => Some(PartShape::Disc { at, radius_m: p.radius_m?.get() }),
            Shape::Ring => self.ring(p, at, path),
            Shape::Box => {
                let [w, d] = p.size_m?.map(|side| side.get() / 2.0);
                let (sin, cos) = Angle::from_degrees(p.turn_deg.map_or(0.0, |t| t.get())).sin_cos();
                let corners = [(-w, -d), (w, -d), (w, d), (-w, d)];
                let corners = corners.map(|(x, y)| at + StageVector::new(x * cos - y * sin, x * sin + y * cos));
                self.polygon(&corners, path)
            }
            Shape::Polygon => {
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
        }
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

    fn motion(&mut self, m: &RawMotion, i: usize, props: &[&str]) {
        let path = format!("motion[{i}]");
        self.motion_names.push(m.name.0.clone());
        let prop = self.find(&format!("{path}.prop"), "prop", &m.prop, props);
        let kind = self.motion_kind(m, &path);
        self.put("motions", i, &path);
        // A refused motion still takes its place, so that cues that name it raise no fault of their own.
        let kind = kind.unwrap_or(MotionKind::Presence);
        let _ = self.show.motions.push(Motion { prop: PropId(small(prop.unwrap_or(0))), kind });
    }

    fn motion_kind(&mut self, m: &RawMotion, path: &str) -> Option<MotionKind> {
        let kind = m.kind.0;
        let of = |ways: &[Way], take| if ways.contains(&kind) { take } else { Stray };
        let owner = match kind {
            Way::Keys => "a motion by keys",
            Way::Circle => "a circle",
            Way::Pendulum => "a pendulum",
            Way::Grow => "growing",
            Way::Presence => "a motion by presence",
        };
        let fits = self.takes(
            path,
            owner,
            &[
                ("key", m.key.is_some(), of(&[Way::Keys], Needed)),
                ("ease", m.ease.is_some(), of(&[Way::Keys], Optional)),
                ("centre", m.centre.is_some(), of(&[Way::Circle], Needed)),
                ("radius_m", m.radius_m.is_some(), of(&[Way::Circle], Needed)),
                ("start_deg", m.start_deg.is_some(), of(&[Way::Circle], Optional)),
                ("clockwise", m.clockwise.is_some(), of(&[Way::Circle], Optional)),
                ("period_s", m.period_s.is_some(), of(&[Way::Circle, Way::Pendulum], Needed)),
                ("pivot", m.pivot.is_some(), of(&[Way::Pendulum], Needed)),
                ("length_m", m.length_m.is_some(), of(&[Way::Pendulum], Needed)),
                ("swing_deg", m.swing_deg.is_some(), of(&[Way::Pendulum], Needed)),
                ("plane_deg", m.plane_deg.is_some(), of(&[Way::Pendulum], Optional)),
                ("grow_s", m.grow_s.is_some(), of(&[Way::Grow], Needed)),
            ],
        );
        if !fits {
            return None;
        }
        match kind {
            Way::Keys => self.motion_keys(m, path),
            Way::Circle => {
                let sign = if m.clockwise == Some(true) { -1.0 } else { 1.0 };
                Some(MotionKind::Circle {
                    centre: point(m.centre?),
                    radius_m: m.radius_m?.get(),
                    period_s: sign * m.period_s?.get(),
                    start_deg: m.start_deg.map_or(0.0, |d| d.get()),
                })
            }
            Way::Pendulum => self.pendulum(m, path),
            Way::Grow => Some(MotionKind::Grow { seconds_s: m.grow_s?.get() }),
            Way::Presence => Some(MotionKind::Presence),
        }
    }

    fn pendulum(&mut self, m: &RawMotion, path: &str) -> Option<MotionKind> {
        let (pivot, length_m) = (point3(m.pivot?), m.length_m?.get());
        if pivot.z <= length_m {
            let what = format!("the pendulum is {length_m} m long and hangs from {} m", pivot.z);
            self.fault(&format!("{path}.pivot[2]"), what, "hang it higher than it is long");
            return None;
        }
        Some(MotionKind::Pendulum {
            pivot: pivot.on_floor(),
            pivot_m: pivot.z,
            length_m,
            swing_deg: m.swing_deg? as f32,
            plane_deg: m.plane_deg.map_or(0.0, |d| d.get()),
            period_s: m.period_s?.get(),
        })
    }

    fn motion_keys(&mut self, m: &RawMotion, path: &str) -> Option<MotionKind> {
        let keys = m.key.as_ref()?;
        let before = self.show.motion_keys.len();
        for (k, key) in keys.iter().enumerate() {
            let path = format!("{path}.key[{k}]");
            if let Some(last) = k.checked_sub(1).and_then(|b| keys.get(b)).filter(|last| key.at_s.0 <= last.at_s.0) {
                let what =
                    format!("key {} is at {} s, not after the one before at {} s", k + 1, key.at_s.0, last.at_s.0);
                self.fault(&format!("{path}.at_s"), what, "write keys in time order");
            }
            self.put("motion_keys", self.show.motion_keys.len(), &path);
            let _ = self.show.motion_keys.push(MotionKey { at_s: key.at_s.get(), place: point(key.at) });
        }
        let keys = run(before, self.show.motion_keys.len());
        Some(MotionKind::Keys { keys, ease: m.ease.unwrap_or(true) })
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
