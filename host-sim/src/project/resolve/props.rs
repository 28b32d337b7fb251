//! Props: each with its parts, then the motions that name them.

use underfoot_core::limits;
use underfoot_core::show::Prop;

use super::resolver::{Resolver, name, point, run};
use crate::project::raw::RawFile;
use crate::project::raw::props::RawProp;

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
}
