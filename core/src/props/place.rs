//! Where a prop is, which way it is turned and how it travels.

use crate::geom::{StagePoint, StageVector};
use crate::show::Prop;
use crate::units::Angle;

/// A prop's place at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// The prop's place on the stage.
    pub at: StagePoint,
    /// Its turn, counter-clockwise seen from above.
    pub turn: Angle,
    /// How it travels, metres per second.
    pub velocity: StageVector,
}

impl Placement {
    /// At rest where the show puts the prop.
    pub fn resting(prop: &Prop) -> Self {
        Self { at: prop.at, turn: Angle::from_degrees(prop.turn_deg), velocity: StageVector::default() }
    }

    /// The stage place of a point given relative to the prop.
    pub fn to_stage(&self, local: StagePoint) -> StagePoint {
        let (sin, cos) = self.turn.sin_cos();
        let v = local - StagePoint::default();
        self.at + v * cos + v.perp() * sin
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turned_a_quarter_stage_left_becomes_upstage() {
        let placement = Placement {
            at: StagePoint::new(1.0, 2.0),
            turn: Angle::from_degrees(90.0),
            velocity: StageVector::default(),
        };
        let p = placement.to_stage(StagePoint::new(0.5, 0.25));
        assert!((p.x - 0.75).abs() < 1e-6 && (p.y - 2.5).abs() < 1e-6);
    }
}
