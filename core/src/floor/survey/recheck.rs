//! The quick re-check after a knock: a few reference points read again.

use heapless::Vec;

use super::{GREEN_WORST_M, SurveyError};
use crate::geom::{StagePoint, StagePoint3, StageVector};
use crate::limits;
use crate::units::Angle;

/// What a re-check found.
#[derive(Clone, Debug, PartialEq)]
pub struct Recheck {
    /// How far each point seems to have moved, metres, height included.
    pub moves_m: Vec<f32, { limits::SURVEY_POINTS }>,
    /// Turn of the readings about the stage's Z, counter-clockwise seen from above.
    pub yaw: Angle,
    /// Shift of the stage origin on the floor plan.
    pub shift: StageVector,
    /// Largest move that yaw and shift leave unexplained, metres on the floor plan: a single reading is
    /// wrong, or the floor itself has bent, when it is large.
    pub unexplained_m: f32,
}

impl Recheck {
    /// Compares places read through the survey in force with where the points were.
    ///
    /// # Errors
    /// [`SurveyError::TooFew`] for fewer than three points or lists of different length,
    /// [`SurveyError::TooMany`], [`SurveyError::NotFinite`], [`SurveyError::TooClose`] when all points lie
    /// within half a metre.
    pub fn of(expected: &[StagePoint3], read: &[StagePoint3]) -> Result<Self, SurveyError> {
        check(expected, read)?;
        let pairs = || expected.iter().zip(read);
        let moves_m = pairs().map(|(&was, &is)| length3(was, is)).collect();
        let (was_centre, is_centre) = (centre(expected), centre(read));
        let (mut cross, mut dot) = (0.0, 0.0);
        for (was, is) in pairs() {
            let (a, b) = (was.on_floor() - was_centre, is.on_floor() - is_centre);
            cross += a.cross(b);
            dot += a.dot(b);
        }
        let yaw = Angle::from_radians(libm::atan2f(cross, dot));
        let moved = |p: StagePoint| is_centre + turned(p - was_centre, yaw);
        let unexplained = pairs().map(|(was, is)| is.on_floor().distance(moved(was.on_floor())));
        let unexplained_m = unexplained.fold(0.0, f32::max);
        Ok(Self { moves_m, yaw, shift: moved(StagePoint::default()) - StagePoint::default(), unexplained_m })
    }

    /// True when a point moved by more than the survey's green limit: fit again.
    pub fn needs_fit(&self) -> bool {
        self.moves_m.iter().any(|&m| m > GREEN_WORST_M)
    }
}

fn check(expected: &[StagePoint3], read: &[StagePoint3]) -> Result<(), SurveyError> {
    let count = expected.len().min(read.len());
    if count < 3 || expected.len() != read.len() {
        return Err(SurveyError::TooFew { given: count as u8 });
    }
    if count > limits::SURVEY_POINTS {
        return Err(SurveyError::TooMany);
    }
    if let Some(index) = expected.iter().zip(read).position(|(a, b)| !(a.is_finite() && b.is_finite())) {
        return Err(SurveyError::NotFinite { index: index as u8 });
    }
    let middle = centre(expected);
    let spread = expected.iter().map(|p| p.on_floor().distance(middle)).fold(0.0, f32::max);
    if spread * 2.0 < super::SPREAD_M { Err(SurveyError::TooClose) } else { Ok(()) }
}

fn centre(points: &[StagePoint3]) -> StagePoint {
    let sum = points.iter().fold(StageVector::default(), |sum, p| sum + (p.on_floor() - StagePoint::default()));
    StagePoint::default() + sum * (1.0 / points.len().max(1) as f32)
}

fn turned(v: StageVector, by: Angle) -> StageVector {
    let (sin, cos) = by.sin_cos();
    v * cos + v.perp() * sin
}

fn length3(a: StagePoint3, b: StagePoint3) -> f32 {
    let flat = b.on_floor() - a.on_floor();
    libm::sqrtf(flat.dot(flat) + (b.z - a.z) * (b.z - a.z))
}

#[cfg(test)]
mod tests {
    use super::*;

    const POINTS: [StagePoint3; 3] =
        [StagePoint3::new(-4.0, -3.0, 0.0), StagePoint3::new(4.0, -3.0, 0.0), StagePoint3::new(0.0, 3.0, 0.0)];

    #[test]
    fn a_knock_shows_as_moves_yaw_and_shift() {
        // Hand sums: |(32, -23)| = 39.4, |(32, 5)| = 32.4, |(12, -9)| = 15.0 mm; a turn of 0.2 degrees
        // moves the points' centre (0, -1) by 3.4 mm along X, which leaves a shift of (21.9, -9.0) mm.
        let read = [
            StagePoint3::new(-3.968, -3.023, 0.0),
            StagePoint3::new(4.032, -2.995, 0.0),
            StagePoint3::new(0.012, 2.991, 0.0),
        ];
        let found = Recheck::of(&POINTS, &read).unwrap();
        for (m, mm) in found.moves_m.iter().zip([39.4, 32.4, 15.0]) {
            assert!((m * 1000.0 - mm).abs() < 0.06, "{m} {mm}");
        }
        assert!((found.yaw.to_degrees() - 0.2).abs() < 0.005, "{}", found.yaw.to_degrees());
        assert!((found.shift.x - 0.0219).abs() < 1e-4 && (found.shift.y + 0.009).abs() < 1e-4);
        assert!(found.unexplained_m < 0.001 && found.needs_fit());
    }

    #[test]
    fn nothing_moved() {
        let found = Recheck::of(&POINTS, &POINTS).unwrap();
        assert!(!found.needs_fit() && found.yaw.to_degrees() == 0.0);
    }

    #[test]
    fn one_wrong_reading_stays_unexplained() {
        let mut read = POINTS;
        read[2].x += 0.2;
        assert!(Recheck::of(&POINTS, &read).unwrap().unexplained_m > 0.05);
    }

    #[test]
    fn bad_input_is_named() {
        assert_eq!(Recheck::of(&POINTS[..2], &POINTS[..2]), Err(SurveyError::TooFew { given: 2 }));
        assert_eq!(Recheck::of(&POINTS, &POINTS[..2]), Err(SurveyError::TooFew { given: 2 }));
        let mut read = POINTS;
        read[1].z = f32::NAN;
        assert_eq!(Recheck::of(&POINTS, &read), Err(SurveyError::NotFinite { index: 1 }));
        let near = POINTS.map(|p| StagePoint3::new(p.x / 100.0, p.y / 100.0, p.z));
        assert_eq!(Recheck::of(&near, &near), Err(SurveyError::TooClose));
    }
}
