//! Where pictures work, once more in `f64` and from the definitions alone: no code of the core's cameras, props'
//! distances or zones. A place has the list of everything that is wrong with it.
//!
//! [`Plan`] is the floor and its keep-outs, [`Eye`] a picture, [`Thing`] a part; [`Oracle`] puts them together, and
//! [`erode`] shrinks a grid of places by exact distances.

mod backing;
mod build;
mod depth;
mod erode;
mod eye;
mod plan;
mod thing;

pub use build::oracle;
pub use depth::Person;
pub use erode::{Erosion, erode};
pub use eye::Eye;
pub use plan::Plan;
pub use thing::{Shape, Thing};

use underfoot_core::zones::Bound;

/// A place on the plan, metres.
pub type P2 = (f64, f64);

/// Everything that can be wrong with a place.
#[derive(Clone, Debug, Default)]
pub struct Oracle {
    /// The floor.
    pub plan: Plan,
    /// The pictures.
    pub eyes: Vec<Eye>,
    /// The parts, moment by moment.
    pub moments: Vec<Vec<Thing>>,
    /// Stature and radius, metres.
    pub size: (f64, f64),
}

impl Oracle {
    /// What is wrong at `p`, at least the first thing found; all of it when `all` is set.
    pub fn faults(&self, p: P2, all: bool) -> Vec<Bound> {
        let mut found = self.plan.faults(p);
        let enough = |found: &Vec<Bound>| !all && !found.is_empty();
        if enough(&found) {
            return found;
        }
        let person = Person { at: p, base: self.plan.base(p), height: self.size.0, radius: self.size.1 };
        for eye in &self.eyes {
            found.extend(eye.missed(&person).into_iter().map(|side| Bound::Frame { shot: eye.shot, side }));
        }
        for eye in &self.eyes {
            for things in &self.moments {
                if !enough(&found) {
                    found.extend(depth::faults(eye, &person, things));
                }
            }
            if !enough(&found) && self.plan.has_walls() {
                let off = backing::sides(eye, &person, &self.plan);
                found.extend(off.into_iter().map(|side| Bound::OffWall { shot: eye.shot, side }));
            }
        }
        found
    }

    /// True when `bound` is among what is wrong at `p`. Which side of a person the backing ends at is not asked.
    pub fn has(&self, p: P2, bound: Bound) -> bool {
        self.faults(p, true).iter().any(|fault| match (*fault, bound) {
            (Bound::OffWall { shot: a, .. }, Bound::OffWall { shot: b, .. }) => a == b,
            (a, b) => a == b,
        })
    }
}
