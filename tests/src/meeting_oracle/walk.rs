//! Where a person is at a moment: walks are flattened into thousands of short chords with a time at each end.

use super::{P, add, length, sub, times};

/// A walk as places with times.
#[derive(Clone, Debug)]
pub struct Walk {
    /// (seconds, place), ascending; between them straight and even, before and after them still.
    pub stations: Vec<(f64, P)>,
}

impl Walk {
    /// On one place.
    pub fn stands(at: P) -> Self {
        Self { stations: vec![(0.0, at)] }
    }

    /// Evenly from one place to another.
    pub fn evenly(from: P, to: P, over: f64) -> Self {
        Self { stations: vec![(0.0, from), (over, to)] }
    }

    /// Along corners with radii: waits `start` seconds, goes at `pace`, and turns for `turn` seconds in the middle of
    /// every corner of `least_deg` or more.
    pub fn along(corners: &[(P, f64)], start: f64, pace: f64, turn: f64, least_deg: f64) -> Self {
        let mut walk = Self { stations: vec![(0.0, corners[0].0), (start, corners[0].0)] };
        for i in 1..corners.len() {
            let (here, radius) = corners[i];
            let Some(&(next, _)) = corners.get(i + 1) else {
                walk.goes(here, pace);
                break;
            };
            let (u, v) = (unit(sub(here, corners[i - 1].0)), unit(sub(next, here)));
            let angle = (u[0] * v[1] - u[1] * v[0]).atan2(u[0] * v[0] + u[1] * v[1]);
            // An arc that touches both legs starts r tan(angle / 2) before the corner.
            let setback = radius * (angle.abs() / 2.0).tan();
            let from = add(here, times(u, -setback));
            walk.goes(from, pace);
            let side = angle.signum();
            let centre = add(from, times([-u[1], u[0]], radius * side));
            let steps = if radius > 0.0 { 4000 } else { 0 };
            for k in 1..=steps {
                let (sin, cos) = (angle * f64::from(k) / f64::from(steps)).sin_cos();
                let spoke = sub(from, centre);
                walk.goes(add(centre, [spoke[0] * cos - spoke[1] * sin, spoke[0] * sin + spoke[1] * cos]), pace);
                if 2 * k == steps {
                    walk.waits(angle, turn, least_deg);
                }
            }
            if steps == 0 {
                walk.waits(angle, turn, least_deg);
            }
        }
        walk
    }

    fn goes(&mut self, to: P, pace: f64) {
        let &(t, at) = self.stations.last().expect("a station");
        self.stations.push((t + length(sub(to, at)) / pace, to));
    }

    fn waits(&mut self, angle: f64, turn: f64, least_deg: f64) {
        let &(t, at) = self.stations.last().expect("a station");
        if angle.to_degrees().abs() >= least_deg {
            self.stations.push((t + turn, at));
        }
    }

    /// The place at `t`.
    pub fn place(&self, t: f64) -> P {
        let after = self.stations.partition_point(|s| s.0 <= t);
        let before = self.stations[after.max(1) - 1];
        let Some(&(t1, b)) = self.stations.get(after) else { return before.1 };
        if after == 0 {
            return before.1;
        }
        add(before.1, times(sub(b, before.1), (t - before.0) / (t1 - before.0)))
    }

    /// When the last place is reached.
    pub fn ends(&self) -> f64 {
        self.stations.last().expect("a station").0
    }
}

fn unit(v: P) -> P {
    times(v, 1.0 / length(v))
}
