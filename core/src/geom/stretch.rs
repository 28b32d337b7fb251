//! A piece of an outline: a straight line or a circular arc, exact, to be flattened only for drawing.

use super::meet::{circle_touching_circle, line_touching_circle};
use super::{GeomError, StagePoint, StageVector};
use crate::units::Angle;

/// Most pieces that one full turn is flattened into.
pub const FULL_TURN_STEPS: u16 = 512;

/// A straight or round stretch of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stretch {
    /// From one point straight to another.
    Line {
        /// Where it starts.
        from: StagePoint,
        /// Where it ends.
        to: StagePoint,
    },
    /// Round a centre.
    Arc {
        /// Centre.
        centre: StagePoint,
        /// Radius, metres.
        radius_m: f32,
        /// Direction from the centre to the start, counter-clockwise from stage left (+X).
        start: Angle,
        /// Turn from start to end, counter-clockwise when positive, at most a full turn.
        sweep: Angle,
    },
}

impl Stretch {
    /// The point at share `t` of the way, 0 to 1.
    pub fn point(&self, t: f32) -> StagePoint {
        match *self {
            Self::Line { from, to } if t < 0.5 => from + (to - from) * t,
            Self::Line { from, to } => to - (to - from) * (1.0 - t),
            Self::Arc { centre, radius_m, start, sweep } => {
                let (sin, cos) = Angle::from_radians(start.to_radians() + sweep.to_radians() * t).sin_cos();
                centre + StageVector::new(cos, sin) * radius_m
            }
        }
    }

    /// Unit direction of travel at share `t`; zero for a line without length.
    pub fn heading(&self, t: f32) -> StageVector {
        match *self {
            Self::Line { from, to } => (to - from).unit().unwrap_or_default(),
            Self::Arc { start, sweep, .. } => {
                let (sin, cos) = Angle::from_radians(start.to_radians() + sweep.to_radians() * t).sin_cos();
                let ahead = StageVector::new(cos, sin).perp();
                if sweep.to_radians() < 0.0 { -ahead } else { ahead }
            }
        }
    }

    /// Length, metres.
    pub fn length(&self) -> f32 {
        match *self {
            Self::Line { from, to } => from.distance(to),
            Self::Arc { radius_m, sweep, .. } => radius_m * libm::fabsf(sweep.to_radians()),
        }
    }

    /// The part between shares `from_t` and `to_t`.
    pub fn part(&self, from_t: f32, to_t: f32) -> Self {
        match *self {
            Self::Line { .. } => Self::Line { from: self.point(from_t), to: self.point(to_t) },
            Self::Arc { centre, radius_m, start, sweep } => Self::Arc {
                centre,
                radius_m,
                start: Angle::from_radians(start.to_radians() + sweep.to_radians() * from_t),
                sweep: Angle::from_radians(sweep.to_radians() * (to_t - from_t)),
            },
        }
    }

    /// Equal straight pieces that keep within `tolerance_m` of the stretch.
    ///
    /// A chord over the angle a lies at most r (1 - cos(a/2)) inside its arc. Never more than
    /// [`FULL_TURN_STEPS`] per full turn, so a tolerance below 1.9e-5 of the radius is not kept.
    ///
    /// # Errors
    /// [`GeomError::BadSize`] unless the tolerance is positive.
    pub fn steps(&self, tolerance_m: f32) -> Result<u16, GeomError> {
        if tolerance_m <= 0.0 || !tolerance_m.is_finite() {
            return Err(GeomError::BadSize);
        }
        let Self::Arc { radius_m, sweep, .. } = *self else { return Ok(1) };
        if radius_m <= tolerance_m {
            // A quarter's chord lies at most 0.29 r inside.
            return Ok(whole(libm::fabsf(sweep.to_radians()) / core::f32::consts::FRAC_PI_2));
        }
        // 1 - cos x = 2 sin²(x/2): no digits are lost for small tolerances.
        let half_step = 2.0 * libm::asinf(libm::sqrtf(tolerance_m / (2.0 * radius_m)));
        Ok(whole(libm::fabsf(sweep.to_radians()) / (2.0 * half_step)))
    }

    /// The points of the flattened stretch, both ends included. See [`Stretch::steps`].
    ///
    /// # Errors
    /// [`GeomError::BadSize`] unless the tolerance is positive.
    pub fn points(&self, tolerance_m: f32) -> Result<impl Iterator<Item = StagePoint> + use<>, GeomError> {
        let (steps, stretch) = (self.steps(tolerance_m)?, *self);
        Ok((0..=steps).map(move |i| stretch.point(f32::from(i) / f32::from(steps))))
    }

    /// Calls `cut` with shares of this stretch at which `other` may cross it.
    ///
    /// No crossing is missed; a share more (where the other's full circle or line passes) does no harm,
    /// since whoever cuts asks afterwards which parts to keep.
    pub fn cuts(&self, other: &Self, cut: &mut impl FnMut(f32)) {
        match (*self, *other) {
            (Self::Line { from, to }, Self::Line { from: a, to: b }) => {
                let (u, v) = (to - from, b - a);
                let cross = u.cross(v);
                if cross != 0.0 {
                    cut((a - from).cross(v) / cross);
                }
            }
            (Self::Line { from, to }, Self::Arc { centre, radius_m, .. }) => {
                line_touching_circle((from, to), (centre, radius_m)).into_iter().flatten().for_each(cut);
            }
            (Self::Arc { .. }, Self::Line { from, to }) => {
                let Self::Arc { centre, radius_m, .. } = *self else { return };
                for t in line_touching_circle((from, to), (centre, radius_m)).into_iter().flatten() {
                    self.share_towards(from + (to - from) * t, cut);
                }
            }
            (Self::Arc { centre, radius_m, .. }, Self::Arc { centre: c, radius_m: r, .. }) => {
                for p in circle_touching_circle((centre, radius_m), (c, r)).into_iter().flatten() {
                    self.share_towards(p, cut);
                }
            }
        }
    }

    /// Calls `cut` with the share at which this arc points towards `p`.
    fn share_towards(&self, p: StagePoint, cut: &mut impl FnMut(f32)) {
        let Self::Arc { centre, start, sweep, .. } = *self else { return };
        let v = p - centre;
        let turn = core::f32::consts::TAU;
        let angle = libm::atan2f(v.y, v.x) - start.to_radians();
        let sign = if sweep.to_radians() < 0.0 { -1.0 } else { 1.0 };
        let mut ahead = libm::fmodf(angle * sign, turn);
        if ahead < 0.0 {
            ahead += turn;
        }
        cut(ahead / libm::fabsf(sweep.to_radians()));
    }
}

/// Whole steps, at least one.
fn whole(steps: f32) -> u16 {
    (libm::ceilf(steps) as u16).clamp(1, FULL_TURN_STEPS)
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    fn arc(radius_m: f32, start_deg: f32, sweep_deg: f32) -> Stretch {
        let (start, sweep) = (Angle::from_degrees(start_deg), Angle::from_degrees(sweep_deg));
        Stretch::Arc { centre: p(1.0, 2.0), radius_m, start, sweep }
    }

    fn cuts(a: &Stretch, b: &Stretch) -> std::vec::Vec<f32> {
        let mut found = std::vec::Vec::new();
        a.cuts(b, &mut |t| found.push(t));
        found.sort_by(f32::total_cmp);
        found
    }

    #[test]
    fn a_flattened_quarter_falls_short_as_the_formula_says() {
        // Inscribed arc, n chords per quarter: shortfall r (1 - cos(pi/4n)); n = 8, r = 1: 0.004815.
        let quarter = arc(1.0, 0.0, 90.0);
        assert_eq!(quarter.steps(0.004_816).unwrap(), 8);
        assert_eq!(quarter.steps(0.004_814).unwrap(), 9);
        let points: std::vec::Vec<_> = quarter.points(0.004_816).unwrap().collect();
        assert_eq!(points.len(), 9);
        let middle = p((points[3].x + points[4].x) / 2.0, (points[3].y + points[4].y) / 2.0);
        assert!((1.0 - middle.distance(p(1.0, 2.0)) - 0.004_815).abs() < 1e-6);
    }

    #[test]
    fn bad_tolerances_are_refused_and_steps_are_bounded() {
        assert_eq!(arc(1.0, 0.0, 90.0).steps(0.0), Err(GeomError::BadSize));
        assert_eq!(arc(1.0, 0.0, 90.0).steps(f32::NAN), Err(GeomError::BadSize));
        assert_eq!(arc(500.0, 0.0, 360.0).steps(1e-9).unwrap(), FULL_TURN_STEPS);
        assert_eq!(arc(0.001, 0.0, 360.0).steps(0.5).unwrap(), 4);
    }

    #[test]
    fn lengths_and_parts() {
        let half = arc(2.0, 0.0, -180.0);
        assert!((half.length() - core::f32::consts::TAU).abs() < 1e-5);
        let last = half.part(0.5, 1.0);
        assert!(last.point(0.0).distance(p(1.0, 0.0)) < 1e-6);
        assert!(last.point(1.0).distance(p(-1.0, 2.0)) < 1e-6);
        // Clockwise from stage left: the first move is downstage.
        assert!((half.heading(0.0).y + 1.0).abs() < 1e-6 && (half.heading(0.5).x + 1.0).abs() < 1e-6);
    }

    #[test]
    fn cuts_of_lines_and_arcs() {
        let line = Stretch::Line { from: p(-3.0, 2.0), to: p(5.0, 2.0) };
        let circle = arc(2.0, 0.0, 360.0);
        assert_eq!(cuts(&line, &circle), [0.25, 0.75]);
        let found = cuts(&circle, &line);
        assert!(found[0].abs() < 1e-6 || (found[0] - 1.0).abs() < 1e-6);
        assert!((found[found.len() - 1] - 0.5).abs() < 1e-6);
        // Two unit circles one radius apart meet 60 degrees either side of the line of centres.
        let first = Stretch::Arc {
            centre: p(0.0, 0.0),
            radius_m: 1.0,
            start: Angle::default(),
            sweep: Angle::from_degrees(360.0),
        };
        let second = Stretch::Arc {
            centre: p(1.0, 0.0),
            radius_m: 1.0,
            start: Angle::default(),
            sweep: Angle::from_degrees(360.0),
        };
        let found = cuts(&first, &second);
        assert!((found[0] - 1.0 / 6.0).abs() < 1e-6 && (found[1] - 5.0 / 6.0).abs() < 1e-6);
    }
}
