//! Where a prop is at a moment, from the definitions of the show file.

use std::f64::consts::{PI, TAU};

use super::{P, add, length, sub, times};

/// How a prop moves.
#[derive(Clone, Debug)]
pub enum Move {
    /// Not at all.
    Still(P),
    /// Through keys of (seconds, place), straight, or on a clock of half a cosine wave over all of it.
    Keys(Vec<(f64, P)>, bool),
    /// Round a circle: centre, radius, seconds per turn, starting angle in radians.
    Circle(P, f64, f64, f64),
    /// A pendulum: pivot, length, half its angle and the direction of its plane in radians, seconds per swing.
    Pendulum(P, f64, f64, f64, f64),
    /// It stands and grows for so many seconds.
    Grow(P, f64),
}

impl Move {
    /// The place at `t` seconds.
    pub fn place(&self, t: f64) -> P {
        match self {
            Self::Still(at) | Self::Grow(at, _) => *at,
            Self::Keys(keys, eased) => on_keys(keys, *eased, t),
            Self::Circle(centre, radius, period, start) => {
                let angle = start + TAU * t / period;
                add(*centre, [radius * angle.cos(), radius * angle.sin()])
            }
            Self::Pendulum(pivot, long, swing, plane, period) => {
                let angle = swing * (TAU * t / period).cos();
                add(*pivot, times([plane.cos(), plane.sin()], long * angle.sin()))
            }
        }
    }

    /// By how much a pendulum's bob is lifted, metres.
    pub fn lift(&self, t: f64) -> f64 {
        match self {
            Self::Pendulum(_, long, swing, _, period) => long * (1.0 - (swing * (TAU * t / period).cos()).cos()),
            _ => 0.0,
        }
    }

    /// What its heights are multiplied by.
    pub fn growth(&self, t: f64) -> f64 {
        if let Self::Grow(_, seconds) = self { (t / seconds).min(1.0) } else { 1.0 }
    }

    /// True while it travels; waiting between two keys it does not.
    pub fn travels(&self, t: f64) -> bool {
        match self {
            Self::Still(_) | Self::Grow(..) => false,
            Self::Keys(keys, eased) => {
                let within = t > keys[0].0 && t < keys[keys.len() - 1].0;
                within && {
                    let leg = leg_at(keys, clock(keys, *eased, t));
                    leg[0].1 != leg[1].1
                }
            }
            Self::Circle(..) | Self::Pendulum(..) => true,
        }
    }

    /// Its velocity, by differences.
    pub fn velocity(&self, t: f64) -> P {
        if !self.travels(t) {
            return [0.0, 0.0];
        }
        let h = 1e-6;
        times(sub(self.place(t + h), self.place(t - h)), 0.5 / h)
    }

    /// Its speed at `t`.
    pub fn speed(&self, t: f64) -> f64 {
        length(self.velocity(t))
    }
}

fn on_keys(keys: &[(f64, P)], eased: bool, t: f64) -> P {
    let (first, last) = (keys[0], keys[keys.len() - 1]);
    if t <= first.0 {
        return first.1;
    }
    if t >= last.0 {
        return last.1;
    }
    let clock = clock(keys, eased, t);
    let pair = leg_at(keys, clock);
    let share = (clock - pair[0].0) / (pair[1].0 - pair[0].0);
    add(pair[0].1, times(sub(pair[1].1, pair[0].1), share))
}

fn clock(keys: &[(f64, P)], eased: bool, t: f64) -> f64 {
    let (first, last) = (keys[0].0, keys[keys.len() - 1].0);
    if eased { first + (last - first) * (1.0 - (PI * (t - first) / (last - first)).cos()) / 2.0 } else { t }
}

fn leg_at(keys: &[(f64, P)], clock: f64) -> &[(f64, P)] {
    keys.windows(2).find(|k| clock <= k[1].0).expect("a leg")
}
