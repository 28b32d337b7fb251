//! Classes and people. Only classes that somebody has, or that the file declares, reach the show.

use underfoot_core::limits::CLASSES;
use underfoot_core::show::{ClassId, Person, PersonClass};

use super::resolver::{Resolver, name, small};
use crate::project::raw::RawFile;
use crate::project::raw::people::{RawClass, RawPerson, Role};

/// Built-in statures, metres (common practice); `seated` is the total height in a chair.
const BUILT_IN: [(&str, f64); 5] = [("child", 1.10), ("small", 1.50), ("mid", 1.72), ("tall", 1.98), ("seated", 1.33)];
/// Width and length of a wheelchair, metres (common practice).
const CHAIR_M: (f32, f32) = (0.70, 1.20);
/// Eyes below the top of the head, metres: standing and seated (common practice).
const EYE_BELOW_TOP_M: (f64, f64) = (0.12, 0.13);

impl Resolver<'_> {
    pub(super) fn people(&mut self, raw: &RawFile) {
        self.unique("class", raw.class.iter().map(|c| c.name.0.as_str()));
        self.unique("person", raw.person.iter().map(|p| p.name.0.as_str()));
        for (i, c) in raw.class.iter().enumerate() {
            let path = format!("class[{i}]");
            let class = declared(c);
            if class.eye_m > class.height_m {
                let what = format!(
                    "class `{}` has its eyes at {} m, above its height of {} m",
                    c.name.0, class.eye_m, class.height_m
                );
                self.fault(&format!("{path}.eye_m"), what, "put `eye_m` below `height_m`");
            }
            self.put("classes", i, &path);
            let _ = self.show.classes.push(class);
        }
        let mut wanted = self.show.classes.to_vec();
        for (i, p) in raw.person.iter().enumerate() {
            let path = format!("person[{i}]");
            let Some(class) = self.class_of(raw, p, &path) else { continue };
            let index = wanted.iter().position(|c| *c == class).unwrap_or_else(|| {
                wanted.push(class);
                wanted.len() - 1
            });
            self.put("people", self.show.people.len(), &path);
            let person = Person { name: name(&p.name.0), class: ClassId(small(index)), who: p.who.0, sight: p.sight.0 };
            let _ = self.show.people.push(person);
        }
        if wanted.len() > CLASSES {
            self.full("person", "different statures, roles and classes", wanted.len(), CLASSES);
            return;
        }
        self.show.classes.extend(wanted.into_iter().skip(raw.class.len()));
    }

    fn class_of(&mut self, raw: &RawFile, p: &RawPerson, path: &str) -> Option<PersonClass> {
        match (&p.class, p.height_m) {
            (Some(_), Some(_)) | (None, None) => {
                let what = format!("person `{}` needs one of `class` and `height_m`", p.name.0);
                self.fault(path, what, "write `class = \"mid\"`, or `height_m` in metres");
                None
            }
            (None, Some(height)) => {
                Some(of_height(&format!("{height:.2} m"), height, p, p.role.map_or(Role::Presenter, |r| r.0)))
            }
            (Some(class), None) => {
                if let Some(own) = raw.class.iter().find(|c| c.name.0 == class.0) {
                    if p.role.is_some() || p.chair_m.is_some() {
                        let key = if p.role.is_some() { "role" } else { "chair_m" };
                        let what = format!("class `{}` brings its own pace and chair, so `{key}` has no use", class.0);
                        self.fault(&format!("{path}.{key}"), what, "take it out, or declare another class");
                    }
                    return Some(declared(own));
                }
                let known: Vec<&str> =
                    raw.class.iter().map(|c| c.name.0.as_str()).chain(BUILT_IN.map(|b| b.0)).collect();
                let index = self.find(&format!("{path}.class"), "class", class, &known)?;
                let &(word, height) = BUILT_IN.get(index.checked_sub(raw.class.len())?)?;
                let role = p.role.map_or(if word == "seated" { Role::Wheelchair } else { Role::Presenter }, |r| r.0);
                Some(of_height(word, height, p, role))
            }
        }
    }
}

fn declared(c: &RawClass) -> PersonClass {
    let below = if c.chair_m.is_some() { EYE_BELOW_TOP_M.1 } else { EYE_BELOW_TOP_M.0 };
    PersonClass {
        name: name(&c.name.0),
        height_m: c.height_m as f32,
        eye_m: c.eye_m.unwrap_or(c.height_m - below) as f32,
        radius_m: c.radius_m as f32,
        walk_width_m: c.walk_width_m as f32,
        pace_mps: c.pace_mps as f32,
        chair_m: c.chair_m.map(|[w, l]| (w as f32, l as f32)),
    }
}

/// A class for a stature and a role; paces and widths are common practice.
fn of_height(word: &str, height: f64, p: &RawPerson, role: Role) -> PersonClass {
    let (suffix, pace_mps, walk_width_m) = match role {
        Role::Presenter | Role::Performer => ("", 0.9, 0.9),
        Role::Guest => (" guest", 0.7, 0.9),
        Role::Guided => (" guided", 0.6, 1.2),
        Role::Wheelchair => (" wheel", 0.8, 1.2),
    };
    let chair_m = p.chair_m.map(|[w, l]| (w as f32, l as f32)).or((role == Role::Wheelchair).then_some(CHAIR_M));
    let suffix = if word == "seated" && role == Role::Wheelchair { "" } else { suffix };
    let below = if chair_m.is_some() || word == "seated" { EYE_BELOW_TOP_M.1 } else { EYE_BELOW_TOP_M.0 };
    PersonClass {
        name: name(&format!("{word}{suffix}")),
        height_m: height as f32,
        eye_m: (height - below) as f32,
        radius_m: 0.25,
        walk_width_m,
        pace_mps,
        chair_m,
    }
}
