//! Marks.

use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::show::{Label, Mark, PersonId, Who};

use super::resolver::{Resolver, name, point, small};
use crate::project::raw::RawFile;
use crate::project::raw::marks::{RawMark, Spot};
use crate::project::raw::numbers::RefText;

impl Resolver<'_> {
    pub(super) fn marks(&mut self, raw: &RawFile) {
        self.unique("mark", raw.mark.iter().map(|m| m.name.0.as_str()));
        let people: Vec<&str> = raw.person.iter().map(|p| p.name.0.as_str()).collect();
        for (i, m) in raw.mark.iter().enumerate() {
            self.mark(raw, m, i, &people);
        }
    }

    fn mark(&mut self, raw: &RawFile, m: &RawMark, i: usize, people: &[&str]) {
        let path = format!("mark[{i}]");
        let label = m.label.as_ref().map_or(m.name.0.as_str(), |l| l.0.as_str());
        if label.len() > limits::LABEL_CHARS {
            let what = format!(
                "mark `{}` has no `label`, and its name is longer than {} characters",
                m.name.0,
                limits::LABEL_CHARS
            );
            self.fault(&path, what, "add `label`: up to 3 characters to show on the floor");
        } else if !label.chars().all(|c| c.is_ascii_alphanumeric()) {
            let what = format!("mark `{}` cannot show \"{label}\" on the floor", m.name.0);
            self.fault(&format!("{path}.label"), what, "use letters A to Z and digits");
        }
        let person = self.find_some(&format!("{path}.person"), "person", m.person.as_ref(), people);
        let at = point(m.at);
        let facing_deg = self.facing(raw, m, at, &path).unwrap_or(270.0);
        self.put("marks", i, &path);
        let _ = self.show.marks.push(Mark {
            name: name(&m.name.0),
            label: Label::try_from(label).unwrap_or_default(),
            at,
            facing_deg,
            kind: m.kind.0,
            person: person.map(|p| PersonId(small(p))),
            who: m.who.map_or_else(|| who_of(raw, person), |w| w.0),
        });
    }

    /// Degrees counter-clockwise from stage left; `None` after a fault or when nothing is said.
    fn facing(&mut self, raw: &RawFile, m: &RawMark, at: StagePoint, path: &str) -> Option<f32> {
        let target = match (&m.faces, m.facing_deg) {
            (Some(_), Some(_)) => {
                let what = format!("mark `{}` has both `faces` and `facing_deg`", m.name.0);
                self.fault(&format!("{path}.facing_deg"), what, "keep one of them");
                return None;
            }
            (None, deg) => return deg.map(|d| d.get()),
            (Some(Spot::Place(place)), None) => point(*place),
            (Some(Spot::Name(name)), None) => self.faced(raw, name, &format!("{path}.faces"))?,
        };
        if at.distance(target) < 0.01 {
            let what = format!("mark `{}` faces its own place", m.name.0);
            self.fault(&format!("{path}.faces"), what, "face a point away from the mark");
            return None;
        }
        let (dx, dy) = (f64::from(target.x - at.x), f64::from(target.y - at.y));
        Some(dy.atan2(dx).to_degrees().rem_euclid(360.0) as f32)
    }

    /// The place of the camera or mark called `target`.
    fn faced(&mut self, raw: &RawFile, target: &RefText, path: &str) -> Option<StagePoint> {
        if let Some(i) = raw.camera.iter().position(|c| c.name.0 == target.0) {
            let usual = self.cameras.get(i).and_then(|c| c.at).map(|p| p.on_floor());
            let first_shot = || {
                let shot = self.show.shots.iter().find(|s| s.camera.index() == i)?;
                shot.keys.of(&self.show.shot_keys).first().map(|k| k.from.on_floor())
            };
            let found = usual.or_else(first_shot);
            if found.is_none() {
                let remedy = "add `at` to the camera, or face a point";
                self.fault(path, format!("camera `{}` has no place to face", target.0), remedy);
            }
            return found;
        }
        if let Some(mark) = raw.mark.iter().find(|m| m.name.0 == target.0) {
            return Some(point(mark.at));
        }
        let known: Vec<&str> =
            raw.camera.iter().map(|c| c.name.0.as_str()).chain(raw.mark.iter().map(|m| m.name.0.as_str())).collect();
        self.unknown(path, "camera or mark", &target.0, &known);
        None
    }
}

pub(super) fn who_of(raw: &RawFile, person: Option<usize>) -> Who {
    person.and_then(|p| raw.person.get(p)).map_or(Who::default(), |p| p.who.0)
}
