//! Physical things: risers, ramps, steps, furniture, rugs, columns.

use underfoot_core::show::{Physical, PhysicalKind, StepOver};

use super::resolver::{Resolver, Take, metres, name, point};
use crate::project::raw::RawFile;
use crate::project::raw::physicals::{RawPhysical, Thing};

impl Resolver<'_> {
    pub(super) fn physicals(&mut self, raw: &RawFile) {
        self.unique("physical", raw.physical.iter().map(|p| p.name.0.as_str()));
        for (i, p) in raw.physical.iter().enumerate() {
            let path = format!("physical[{i}]");
            let Some((kind, height_m)) = self.physical_kind(p, &path) else { continue };
            self.put("physicals", self.show.physicals.len(), &path);
            let _ = self.show.physicals.push(Physical {
                name: name(&p.name.0),
                kind,
                centre: point(p.at),
                width_m: p.size_m[0].get(),
                depth_m: p.size_m[1].get(),
                turn_deg: p.turn_deg.get(),
                height_m,
                step_over: p.step_over.map_or(StepOver::Never, |s| s.0),
            });
        }
    }

    fn physical_kind(&mut self, p: &RawPhysical, path: &str) -> Option<(PhysicalKind, f32)> {
        let ramp = p.kind.0 == Thing::Ramp;
        let only_ramp = if ramp { Take::Optional } else { Take::Stray };
        let (word, kind, least) = match p.kind.0 {
            Thing::Riser => ("a riser", PhysicalKind::Riser, None),
            Thing::Ramp => ("a ramp", PhysicalKind::Ramp { rises_deg: 0.0 }, None),
            Thing::Step => ("a step", PhysicalKind::Step, None),
            Thing::Furniture => ("furniture", PhysicalKind::Furniture, None),
            // A rug is as good as flat when nobody measured it.
            Thing::Rug => ("a rug", PhysicalKind::Rug, Some(metres(10.0))),
            Thing::Column => ("a column", PhysicalKind::Column, None),
        };
        let sides = if matches!(p.kind.0, Thing::Riser | Thing::Ramp) { Take::Optional } else { Take::Stray };
        let height_key = if ramp || least.is_some() { Take::Optional } else { Take::Needed };
        let fits = self.takes(
            path,
            word,
            &[
                ("height_m", p.height_m.is_some(), height_key),
                ("slope", p.slope.is_some(), only_ramp),
                ("rises_to", p.rises_to.is_some(), only_ramp),
                ("rises_deg", p.rises_deg.is_some(), only_ramp),
                ("step_over", p.step_over.is_some(), sides),
            ],
        );
        if !fits {
            return None;
        }
        if ramp { self.ramp(p, path) } else { Some((kind, p.height_m.map(|h| h.get()).or(least)?)) }
    }

    fn ramp(&mut self, p: &RawPhysical, path: &str) -> Option<(PhysicalKind, f32)> {
        let rises_deg = match (p.rises_to, p.rises_deg) {
            (Some(side), None) => side.0,
            (None, Some(deg)) => deg.get(),
            _ => {
                let what = format!("ramp `{}` needs one of `rises_to` and `rises_deg`", p.name.0);
                self.fault(path, what, "write `rises_to = \"SL\"`, or US, SR, DS");
                return None;
            }
        };
        let quarter = ((rises_deg - p.turn_deg.get()) / 90.0).round();
        if (rises_deg - p.turn_deg.get() - quarter * 90.0).abs() > 1.0 {
            let what = format!("ramp `{}` rises across its sides", p.name.0);
            self.fault(path, what, "turn it with `turn_deg` so that it rises along its own X or Y");
            return None;
        }
        let along_m = if quarter as i32 % 2 == 0 { p.size_m[0].0 } else { p.size_m[1].0 };
        let height_m = self.ramp_height(p, along_m, path)?;
        Some((PhysicalKind::Ramp { rises_deg }, height_m as f32))
    }

    /// Height of a ramp whose run is `along_m`: as given, or by its slope; both must agree.
    fn ramp_height(&mut self, p: &RawPhysical, along_m: f64, path: &str) -> Option<f64> {
        let by_slope = match p.slope.as_deref() {
            Some(text) => Some(along_m * self.ramp_slope(p, text, path)?),
            None => None,
        };
        match (p.height_m, by_slope) {
            (Some(given), Some(computed)) if (given.0 - computed).abs() > 0.01 => {
                let what = format!(
                    "ramp `{}` is {} m high, but its slope over {along_m} m gives {computed:.3} m",
                    p.name.0, given.0
                );
                self.fault(&format!("{path}.height_m"), what, "keep one of `height_m` and `slope`");
                None
            }
            (Some(given), _) => Some(given.0),
            (None, Some(computed)) => Some(computed),
            (None, None) => {
                let what = format!("ramp `{}` needs `slope` or `height_m`", p.name.0);
                self.fault(path, what, "write `slope = \"1:12\"`");
                None
            }
        }
    }

    fn ramp_slope(&mut self, p: &RawPhysical, text: &str, path: &str) -> Option<f64> {
        let slope = parse_slope(text);
        if slope.is_none() {
            let what = format!("`slope` of ramp `{}` cannot be \"{text}\"", p.name.0);
            self.fault(&format!("{path}.slope"), what, "write rise to run, like `slope = \"1:12\"`");
        }
        slope
    }
}

/// "1:12" as rise over run.
fn parse_slope(text: &str) -> Option<f64> {
    let (rise, run) = text.split_once(':')?;
    let (rise, run): (f64, f64) = (rise.trim().parse().ok()?, run.trim().parse().ok()?);
    (rise > 0.0 && run >= rise && run.is_finite()).then(|| rise / run)
}
