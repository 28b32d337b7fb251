//! A ring as an obstacle: its outer circle and the corners of its gap are bends, its hole is not.

use crate::geom::{Ring, StagePoint, StageVector, meet, segment};
use crate::walk::obstacle::leg::Leg;
use crate::walk::obstacle::reach::Circle;
use crate::walk::obstacle::{Bend, LEAST_THICK_M};

/// How far a corner's arc and the outer circle that it joins overlap, radians and metres: where two circles
/// touch from inside, rounding moves the touching point by millimetres and the outline by micrometres.
const JOINT: f32 = 2e-3;

/// A ring with what is asked about it again and again worked out once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::walk) struct RingWall {
    pub(in crate::walk) centre: StagePoint,
    pub(in crate::walk) inner_m: f32,
    pub(in crate::walk) outer_m: f32,
    /// By how much it is grown, metres.
    pub(in crate::walk) grown_m: f32,
    mouth: Option<Mouth>,
}

/// The gap of a ring.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Mouth {
    /// Unit vector from the centre to the middle of the gap.
    middle: StageVector,
    /// Cosine of half the gap's angle, and of what is left of it beyond the joints.
    cosine: f32,
    open_cosine: f32,
    /// Where the material begins, counter-clockwise from the gap, and where it ends: unit vectors from the centre.
    ends: [StageVector; 2],
}

impl RingWall {
    pub(in crate::walk) fn of(ring: &Ring) -> Self {
        let (inner_m, outer_m) = ring.radii_m();
        let mouth = ring.gap_rad().map(|(middle_rad, half_rad)| {
            let heading = |rad: f32| StageVector::new(libm::cosf(rad), libm::sinf(rad));
            Mouth {
                middle: heading(middle_rad),
                cosine: libm::cosf(half_rad),
                open_cosine: libm::cosf((half_rad - JOINT).max(0.0)),
                ends: [heading(middle_rad + half_rad), heading(middle_rad - half_rad)],
            }
        });
        Self { centre: ring.bounds().0, inner_m, outer_m, grown_m: ring.grown_m().max(LEAST_THICK_M), mouth }
    }

    /// The outer circle, and four corners where there is a gap.
    pub(in crate::walk) fn bends(&self) -> u8 {
        if self.mouth.is_some() { 5 } else { 1 }
    }

    /// Bend `i`: the outer circle, then outer and inner corner of either end.
    pub(in crate::walk) fn bend(&self, i: u8, grown_m: f32) -> Option<Bend> {
        let Some(mouth) = self.mouth else {
            let sides = [StageVector::default(); 2];
            return (i == 0).then_some(Bend {
                centre: self.centre,
                radius_m: self.outer_m + grown_m,
                sides,
                mouth: None,
            });
        };
        if i == 0 {
            let (sides, opening) = ([StageVector::default(); 2], Some((mouth.middle, mouth.open_cosine)));
            return Some(Bend { centre: self.centre, radius_m: self.outer_m + grown_m, sides, mouth: opening });
        }
        let (end, is_inner) = (usize::from(i - 1) / 2, i.is_multiple_of(2));
        let out = *mouth.ends.get(end)?;
        // Material lies counter-clockwise of the first end and clockwise of the second.
        let into = out.perp() * if end == 0 { JOINT } else { -JOINT };
        let (radius_m, other) = if is_inner { (self.inner_m, out) } else { (self.outer_m, -out) };
        let sides = [into, other * (self.outer_m - self.inner_m)];
        Some(Bend { centre: self.centre + out * radius_m, radius_m: grown_m, sides, mouth: None })
    }

    /// Distance from `p` to the ring before it was grown, metres; negative inside.
    pub(in crate::walk) fn core_distance(&self, p: StagePoint) -> f32 {
        let v = p - self.centre;
        let radius_m = v.length();
        let across = (self.inner_m - radius_m).max(radius_m - self.outer_m);
        let Some(mouth) = self.mouth else { return across };
        let to_end = mouth
            .ends
            .map(|out| segment::distance(p, self.centre + out * self.inner_m, self.centre + out * self.outer_m));
        let to_end = to_end.into_iter().fold(f32::INFINITY, f32::min);
        match (self.is_material(v), across < 0.0) {
            (false, _) => to_end,
            (true, true) => across.max(-to_end),
            (true, false) => across,
        }
    }

    /// Distance between the leg and the ring before it was grown, metres; 0 or less when they meet.
    ///
    /// Beside the ends of the leg, the ends of the ring and the outer circle where the leg passes it,
    /// nothing can be nearest: from the hole the distance to the inner circle has no least inside a leg.
    pub(in crate::walk) fn distance_to(&self, leg: &Leg) -> f32 {
        let mut least = self.core_distance(leg.from).min(self.core_distance(leg.to));
        for radius_m in [self.inner_m, self.outer_m] {
            for share in meet::line_and_circle((leg.from, leg.to), (self.centre, radius_m)).into_iter().flatten() {
                let at = leg.from + leg.along * share;
                if (0.0..=1.0).contains(&share) && self.is_material(at - self.centre) {
                    return least.min(0.0);
                }
            }
        }
        let off = leg.point(leg.share(self.centre)) - self.centre;
        if self.is_material(off) && off.length() >= self.outer_m {
            least = least.min(off.length() - self.outer_m);
        }
        for out in self.mouth.iter().flat_map(|mouth| mouth.ends) {
            let square = leg.square_to_side(self.centre + out * self.inner_m, self.centre + out * self.outer_m);
            least = least.min(libm::sqrtf(square));
        }
        least
    }

    /// Shortens the circle's free turn to where it enters the ring grown by `keep_m`.
    pub(in crate::walk) fn shorten(&self, keep_m: f32, circle: &mut Circle) {
        for radius_m in [self.inner_m - keep_m, self.outer_m + keep_m] {
            if radius_m > 0.0 {
                circle.enter_arc(self.centre, radius_m, |direction| self.is_material(direction));
            }
        }
        for (i, out) in self.mouth.iter().flat_map(|mouth| mouth.ends).enumerate() {
            let [inner, outer] = [self.inner_m, self.outer_m].map(|radius_m| self.centre + out * radius_m);
            let off = out.perp() * if i == 0 { -keep_m } else { keep_m };
            circle.enter_side(inner + off, outer + off, |_| true);
            circle.enter_disc(inner, keep_m);
            circle.enter_disc(outer, keep_m);
            // The outer circle itself ends where the gap begins.
            if circle.centre == self.centre && (i == 0) == circle.is_clockwise() {
                circle.enter_at(outer);
            }
        }
    }

    /// True when `p` is in the gap, between the chord of its inner corners and the outer circle.
    pub(in crate::walk) fn has_in_mouth(&self, p: StagePoint) -> bool {
        let off = p - self.centre;
        let chord_m = self.inner_m * self.mouth.map_or(1.0, |mouth| mouth.cosine);
        !self.is_material(off) && (chord_m..=self.outer_m).contains(&off.length())
    }

    /// True when `direction` from the centre meets the ring, not its gap.
    fn is_material(&self, direction: StageVector) -> bool {
        self.mouth.is_none_or(|mouth| direction.dot(mouth.middle) <= mouth.cosine * direction.length())
    }
}
