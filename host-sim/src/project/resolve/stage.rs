//! The floor and what stands round it, in the order in which one needs the other; entries and walls.

use underfoot_core::geom::{StagePoint, polygon, segment};
use underfoot_core::show::{Entry, Wall};

use super::resolver::{Resolver, name, point};
use crate::project::raw::RawFile;

/// How far from the floor's edge an entry's middle may be written, metres.
const ENTRY_REACH_M: f32 = 0.1;

impl Resolver<'_> {
    pub(super) fn stage(&mut self, raw: &RawFile) {
        self.canvases(raw);
        self.blocks(raw);
        self.outline(raw);
        self.tiles(raw);
        self.entries(raw);
        self.walls(raw);
        self.physicals(raw);
    }

    fn entries(&mut self, raw: &RawFile) {
        self.unique("entry", raw.entry.iter().map(|e| e.name.0.as_str()));
        for (i, e) in raw.entry.iter().enumerate() {
            let path = format!("entry[{i}]");
            let at = point(e.at);
            let off = self.edge_distance(at);
            if off > ENTRY_REACH_M {
                let what =
                    format!("entry `{}` is {off:.2} m off the floor's edge; the limit is {ENTRY_REACH_M} m", e.name.0);
                self.fault(&format!("{path}.at"), what, "put its middle on the edge");
            }
            self.put("entries", i, &path);
            let _ = self.show.entries.push(Entry {
                name: name(&e.name.0),
                at,
                width_m: e.width_m.get(),
                passage: e.passage.0,
            });
        }
    }

    fn edge_distance(&self, p: StagePoint) -> f32 {
        self.nearest_side(p).map_or(0.0, |(a, b)| segment::distance(p, a, b))
    }

    /// The side of the floor that is nearest to `p`; none on a floor without an outline, whose own fault is on the
    /// list already.
    fn nearest_side(&self, p: StagePoint) -> Option<(StagePoint, StagePoint)> {
        polygon::nearest_side(&self.show.floor.vertices, p).map(|(_, side)| side)
    }

    /// The point of the floor's edge that is nearest to `p`, in double precision: 0.2 m along a side stays 0.2 m.
    pub(super) fn on_the_edge(&self, p: StagePoint) -> StagePoint {
        let Some((a, b)) = self.nearest_side(p) else { return p };
        let [ax, ay, bx, by, px, py] = [a.x, a.y, b.x, b.y, p.x, p.y].map(f64::from);
        let (ux, uy) = (bx - ax, by - ay);
        let share = (((px - ax) * ux + (py - ay) * uy) / (ux * ux + uy * uy)).clamp(0.0, 1.0);
        StagePoint::new((ax + ux * share) as f32, (ay + uy * share) as f32)
    }

    fn walls(&mut self, raw: &RawFile) {
        self.unique("wall", raw.wall.iter().map(|w| w.name.0.as_str()));
        for (i, w) in raw.wall.iter().enumerate() {
            let path = format!("wall[{i}]");
            let (from, to) = (point(w.from), point(w.to));
            if from.distance(to) < 0.01 {
                self.fault(
                    &format!("{path}.to"),
                    format!("wall `{}` has no length", w.name.0),
                    "check `from` and `to`",
                );
            }
            if w.top_m.0 <= w.bottom_m.0 {
                let what =
                    format!("wall `{}` has its top at {} m and its bottom at {} m", w.name.0, w.top_m.0, w.bottom_m.0);
                self.fault(&format!("{path}.top_m"), what, "put the top above the bottom");
            }
            self.put("walls", i, &path);
            let (bottom_m, top_m) = (w.bottom_m.get(), w.top_m.get());
            let _ = self.show.walls.push(Wall { name: name(&w.name.0), from, to, bottom_m, top_m });
        }
    }
}
