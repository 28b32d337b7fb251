//! What props do to a person in a picture, by shooting rays: double precision, and no code of the core's.
//!
//! A ray from the camera through a point of the person's rectangle is cut at every surface of a thing that it
//! meets: its upper and lower plane, its sides or cylinders, the planes of its gap. Whether the middle of each
//! piece lies in the thing is asked of the point itself. What happens at that point of the picture then
//! follows from the definitions, and shares are counted, ray by ray, over jittered strata of each band.

mod thing;

pub use thing::{Foot, Thing};

use crate::dice::Dice;

/// A place in space, metres.
pub type Place = [f64; 3];

/// Where a thing is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drawn {
    /// Over the camera's picture.
    Over,
    /// On the LED surfaces.
    OnLeds,
    /// Outside the LED surfaces.
    Beyond,
}

/// What a thing is along a ray through a point of a person.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Met {
    /// The ray is inside it before the point.
    pub before: bool,
    /// The ray is inside it beyond the point.
    pub beyond: bool,
}

/// A person: an upright rectangle that faces the camera.
#[derive(Clone, Copy, Debug)]
pub struct Standing {
    /// The middle of its foot.
    pub foot: Place,
    /// Its height, metres.
    pub height: f64,
    /// Half its width, metres.
    pub half: f64,
}

/// Counts, as shares of the whole, the head, the torso and the legs.
pub type Counted = [f64; 4];

/// What was counted: painted over, hidden, shown in front of.
#[derive(Clone, Copy, Debug, Default)]
pub struct Counts {
    /// Painted over.
    pub painted: Counted,
    /// Hidden.
    pub hidden: Counted,
    /// Shown in front of something nearer.
    pub in_front: Counted,
}

impl Standing {
    /// The point `u` metres to the right of the middle, as the camera at `eye` has it, and `v` metres up.
    pub fn point(&self, eye: Place, u: f64, v: f64) -> Place {
        let (x, y) = (self.foot[0] - eye[0], self.foot[1] - eye[1]);
        let away = x.hypot(y);
        // Ahead × up = right.
        [self.foot[0] + u * y / away, self.foot[1] - u * x / away, self.foot[2] + v]
    }

    /// The heights between legs, torso and head above the foot: 0.52 of the height; 0.23 m below the top.
    pub fn bands(&self) -> [f64; 4] {
        [0.0, 0.52 * self.height, self.height - 0.23, self.height]
    }
}

/// Painted over, hidden, in front of something nearer: at one point.
fn happens(eye: Place, matte: bool, q: Place, things: &[Thing]) -> [bool; 3] {
    let (mut painted, mut hidden, mut in_front) = (false, false, false);
    for thing in things {
        let met = thing.met(eye, q);
        match thing.drawn {
            Drawn::Over => {
                hidden |= met.before && !thing.glass;
                painted |= met.beyond && !matte;
            }
            Drawn::OnLeds => in_front |= met.before,
            Drawn::Beyond => {}
        }
    }
    [painted && !hidden, hidden, in_front && !hidden]
}

/// Counts by `columns` × `rows` rays in each of the three bands, one at random in each stratum.
pub fn count(
    eye: Place,
    matte: bool,
    person: &Standing,
    things: &[Thing],
    (columns, rows): (usize, usize),
    dice: &mut Dice,
) -> Counts {
    let bands = person.bands();
    let mut shares = [[0.0; 3]; 3];
    for (band, share) in shares.iter_mut().enumerate() {
        let (low, high) = (bands[band], bands[band + 1]);
        for i in 0..columns * rows {
            let across = ((i % columns) as f64 + dice.unit()) / columns as f64;
            let up = ((i / columns) as f64 + dice.unit()) / rows as f64;
            let q = person.point(eye, person.half * (2.0 * across - 1.0), low + (high - low) * up);
            let seen = happens(eye, matte, q, things);
            share.iter_mut().zip(seen).for_each(|(s, yes)| *s += f64::from(u8::from(yes)));
        }
        share.iter_mut().for_each(|s| *s /= (columns * rows) as f64);
    }
    let of = |kind: usize| {
        let [legs, torso, head] = [shares[0][kind], shares[1][kind], shares[2][kind]];
        let whole = legs * (bands[1] - bands[0]) + torso * (bands[2] - bands[1]) + head * (bands[3] - bands[2]);
        [whole / person.height, head, torso, legs]
    };
    Counts { painted: of(0), hidden: of(1), in_front: of(2) }
}
