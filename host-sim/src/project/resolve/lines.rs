//! Walk lines as they are written.

use underfoot_core::geom::{StagePoint, polygon};
use underfoot_core::limits;
use underfoot_core::props::physical;
use underfoot_core::show::{Line, LinePoint, PersonId};

use super::marks::who_of;
use super::resolver::{Resolver, metres, name, point, run, small};
use crate::project::model::LineWish;
use crate::project::raw::RawFile;
use crate::project::raw::marks::{RawLine, Spot};
use crate::project::raw::numbers::RefText;

/// Width of a corridor that nobody asked for, metres.
const CORRIDOR_M: f32 = 0.9;

impl Resolver<'_> {
    pub(super) fn lines(&mut self, raw: &RawFile) {
        self.unique("line", raw.line.iter().map(|l| l.name.0.as_str()));
        let people: Vec<&str> = raw.person.iter().map(|p| p.name.0.as_str()).collect();
        let points: usize = raw.line.iter().map(|l| l.points.len()).sum();
        if points > limits::LINE_POINTS {
            return self.full("line", "points over all walk lines", points, limits::LINE_POINTS);
        }
        for (i, l) in raw.line.iter().enumerate() {
            self.line(raw, l, i, &people);
        }
    }

    fn line(&mut self, raw: &RawFile, l: &RawLine, i: usize, people: &[&str]) {
        let path = format!("line[{i}]");
        let before = self.show.line_points.len();
        self.line_points(raw, l, &path);
        let person = self.find_some(&format!("{path}.person"), "person", l.person.as_ref(), people);
        let width = person.and_then(|p| self.show.people.get(p)).and_then(|p| self.show.classes.get(p.class.index()));
        let corridor_m = l.corridor_m.map_or_else(|| width.map_or(CORRIDOR_M, |c| c.walk_width_m), |c| c as f32);
        self.line_turns_s.push(l.turns_s.map(|s| s.get()));
        self.line_wishes
            .push(LineWish { person: person.map(|p| PersonId(small(p))), corridor_m: l.corridor_m.map(|c| c as f32) });
        self.put("lines", i, &path);
        let _ = self.show.lines.push(Line {
            name: name(&l.name.0),
            points: run(before, self.show.line_points.len()),
            dots: l.dots.0,
            dot_m: metres(l.dot_mm),
            spacing_m: l.spacing_m as f32,
            corridor_m,
            who: l.who.map_or_else(|| who_of(raw, person), |w| w.0),
            planned: l.route.0,
        });
    }

    fn line_points(&mut self, raw: &RawFile, l: &RawLine, path: &str) {
        let mut last: Option<StagePoint> = None;
        for (k, spot) in l.points.iter().enumerate() {
            let path = format!("{path}.points[{k}]");
            let Some(place) = self.line_point(raw, l, spot, &path) else { continue };
            if last.is_some_and(|p| p.distance(place) < 0.01) {
                let what = format!("points {k} and {} of line `{}` are one place", k + 1, l.name.0);
                self.fault(&path, what, "take one out");
            }
            last = Some(place);
            let _ = self.show.line_points.push(LinePoint::sharp(place));
        }
    }

    /// The place of one point; `None` after a fault.
    fn line_point(&mut self, raw: &RawFile, l: &RawLine, spot: &Spot, path: &str) -> Option<StagePoint> {
        let name = match spot {
            Spot::Place(place) => {
                let place = point(*place);
                if l.route.0 {
                    self.stop_can_be_walked_to(place, &l.name.0, path);
                }
                return Some(place);
            }
            Spot::Name(name) => name,
        };
        let mark = raw.mark.iter().find(|m| m.name.0 == name.0);
        let entry = raw.entry.iter().find(|e| e.name.0 == name.0);
        match (mark, entry) {
            (Some(_), Some(_)) => {
                let what = format!("`{}` is a mark and an entry: which of them is meant?", name.0);
                self.fault(path, what, "give one of the two another name");
                None
            }
            (Some(mark), None) => Some(point(mark.at)),
            // An entry may be written a little beside the floor's edge; a way that is planned ends on the edge.
            (None, Some(entry)) if l.route.0 => Some(self.on_the_edge(point(entry.at))),
            (None, Some(entry)) => Some(point(entry.at)),
            (None, None) => {
                self.no_such_place(raw, name, path);
                None
            }
        }
    }

    fn no_such_place(&mut self, raw: &RawFile, name: &RefText, path: &str) {
        let known: Vec<&str> =
            raw.mark.iter().map(|m| m.name.0.as_str()).chain(raw.entry.iter().map(|e| e.name.0.as_str())).collect();
        self.unknown(path, "mark or entry", &name.0, &known);
    }

    /// Refuses a stop to which no way can be planned: it lies off the floor, or in something that stands there.
    /// A mark has findings of its own, so only places that the line itself gives are looked at.
    fn stop_can_be_walked_to(&mut self, place: StagePoint, line: &str, path: &str) {
        let outline = self.show.floor.vertices.as_slice();
        // Without an outline its own fault is on the list already.
        if outline.len() < 3 {
            return;
        }
        if polygon::locate(outline, place) == polygon::Place::Outside {
            let off_m = polygon::boundary_distance(outline, place);
            let what = format!("line `{line}` is to pass a place {off_m:.2} m off the floor");
            return self.fault(
                path,
                what,
                "put it on the floor; a line that begins or ends at the edge names an entry",
            );
        }
        let inside = |p: &&underfoot_core::show::Physical| {
            physical::stops_people(p.kind) && physical::rectangle(p).is_ok_and(|r| r.signed_distance(place) < 0.0)
        };
        if let Some(thing) = self.show.physicals.iter().find(inside) {
            let what = format!("line `{line}` is to pass a place inside `{}`", thing.name);
            self.fault(path, what, "put it beside the thing, or move the thing");
        }
    }
}
