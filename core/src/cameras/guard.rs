//! How far a hidden mark has to keep from what would show it.

use super::shots::Speed;
use crate::units::Angle;

/// The guard of a camera that does not move, metres.
pub const STILL_M: f32 = 0.04;

/// Room on the floor between a mark and the limit of what hides it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Guard {
    /// All of it, metres.
    pub metres: f32,
    /// How far the camera itself may get meanwhile, metres: what covers a mark must cover it from there, too.
    pub travel_m: f32,
}

/// The room that a camera needs which goes at `speed` and sees a mark `distance_m` away: as far as its picture
/// travels over the floor in `latency_s`, the time from a pose to the light that answers it, and [`STILL_M`].
pub fn of(speed: Speed, latency_s: f32, distance_m: f32) -> Guard {
    let travel_m = speed.mps * latency_s;
    let turn = Angle::from_degrees(speed.dps).to_radians() * latency_s;
    Guard { metres: travel_m + turn * distance_m + STILL_M, travel_m }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums by hand: 30 degrees a second at 6 m for 140 ms are 0.52360 × 6 × 0.14 = 0.4398 m; 3.33 m/s are 0.4662 m.
    #[test]
    fn guards_of_a_pan_and_of_a_cable_camera() {
        let metres = |mps, dps, distance_m| of(Speed { mps, dps }, 0.140, distance_m).metres;
        assert!((metres(0.0, 30.0, 6.0) - 0.4798).abs() < 1e-4);
        assert!((metres(3.33, 0.0, 17.0) - 0.5062).abs() < 1e-4);
        assert!((metres(0.0, 0.0, 50.0) - 0.04).abs() < 1e-6);
    }
}
