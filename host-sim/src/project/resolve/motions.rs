//! Motions of props.

use underfoot_core::show::{Motion, MotionKey, MotionKind, PropId};

use super::resolver::Take::{Needed, Optional, Stray};
use super::resolver::{Resolver, point, point3, run, small};
use crate::project::raw::props::{RawMotion, Way};

impl Resolver<'_> {
    pub(super) fn motion(&mut self, m: &RawMotion, i: usize, props: &[&str]) {
        let path = format!("motion[{i}]");
        self.motion_names.push(m.name.0.clone());
        let prop = self.find(&format!("{path}.prop"), "prop", &m.prop, props);
        let kind = self.motion_kind(m, &path);
        self.put("motions", i, &path);
        // A refused motion still takes its place, so that cues that name it raise no fault of their own.
        let kind = kind.unwrap_or(MotionKind::Presence);
        let _ = self.show.motions.push(Motion { prop: PropId(small(prop.unwrap_or(0))), kind });
    }

    /// True when the motion has the keys that its kind needs, and no others.
    fn kind_keys(&mut self, m: &RawMotion, path: &str) -> bool {
        let kind = m.kind.0;
        let of = |ways: &[Way], take| if ways.contains(&kind) { take } else { Stray };
        let owner = match kind {
            Way::Keys => "a motion by keys",
            Way::Circle => "a circle",
            Way::Pendulum => "a pendulum",
            Way::Grow => "growing",
            Way::Presence => "a motion by presence",
        };
        self.takes(
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
        )
    }

    fn motion_kind(&mut self, m: &RawMotion, path: &str) -> Option<MotionKind> {
        if !self.kind_keys(m, path) {
            return None;
        }
        match m.kind.0 {
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
