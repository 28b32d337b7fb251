//! A prop, a person and a span of time: the least distance between them, millisecond by millisecond.

use super::{Move, P, Shape, Walk, length, sub, times};

/// One prop and one person.
#[derive(Clone, Debug)]
pub struct Case {
    /// Parts of the prop: footprint, lower and upper end.
    pub parts: Vec<(Shape, f64, f64)>,
    /// How the prop moves.
    pub motion: Move,
    /// How the person does.
    pub walk: Walk,
    /// The person's body radius.
    pub body: f64,
}

/// The least of something.
#[derive(Clone, Copy, Debug)]
pub struct Least {
    /// When.
    pub at: f64,
    /// How much, metres.
    pub value: f64,
}

/// The room needed: lead in seconds, clearance beside what moves, and beside what stands.
pub type Room = (f64, f64, f64);

impl Case {
    /// From the body's edge to the nearest part that is in people's height at `t`; with `room`, to what the part passes
    /// over until people react, less the clearance.
    pub fn gap(&self, t: f64, room: Option<Room>) -> Option<f64> {
        let (at, travels) = (self.motion.place(t), self.motion.travels(t));
        let way = room.map_or([0.0, 0.0], |(lead, ..)| times(self.motion.velocity(t), lead));
        let needed = room.map_or(0.0, |(_, moving, still)| if travels { moving } else { still });
        let (lift, growth) = (self.motion.lift(t), self.motion.growth(t));
        let low =
            self.parts.iter().filter(|(_, bottom, top)| bottom * growth + lift < 2.3 && top * growth + lift > 0.0);
        let p = sub(self.walk.place(t), at);
        low.map(|(shape, ..)| shape.distance(p, way, travels) - self.body - needed).min_by(f64::total_cmp)
    }

    /// The least of [`Case::gap`] over all milliseconds of `span`.
    pub fn least(&self, span: (f64, f64), room: Option<Room>) -> Option<Least> {
        let all = stepped(span).filter_map(|t| self.gap(t, room).map(|value| Least { at: t, value }));
        all.min_by(|a, b| a.value.total_cmp(&b.value))
    }
}

/// The least distance between two people over all milliseconds of `span`.
pub fn least_apart(a: &Walk, b: &Walk, span: (f64, f64)) -> Least {
    let apart = |t: f64| -> f64 {
        let (p, q): (P, P) = (a.place(t), b.place(t));
        length(sub(p, q))
    };
    let all = stepped(span).map(|at| Least { at, value: apart(at) });
    all.min_by(|a, b| a.value.total_cmp(&b.value)).expect("a moment")
}

fn stepped((from, to): (f64, f64)) -> impl Iterator<Item = f64> {
    let steps = ((to - from) * 1000.0).round() as usize;
    (0..=steps).map(move |i| from + (to - from) * i as f64 / steps.max(1) as f64)
}
