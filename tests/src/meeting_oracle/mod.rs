//! Who meets what when, by looking at every millisecond.
//!
//! Naive on purpose and in `f64`: motions and walks are written down again from their definitions, shapes are
//! lists of corners, and what is passed ahead is wrapped like a gift. It shares no code with the core.

pub mod cast;
pub mod motion;
pub mod shape;
pub mod walk;

pub use cast::{Case, Least};
pub use motion::Move;
pub use shape::Shape;
pub use walk::Walk;

/// A place or a way on the plan, metres.
pub type P = [f64; 2];

/// The sum of two ways.
pub fn add(a: P, b: P) -> P {
    [a[0] + b[0], a[1] + b[1]]
}

/// The way from `b` to `a`.
pub fn sub(a: P, b: P) -> P {
    [a[0] - b[0], a[1] - b[1]]
}

/// A way, `k` times.
pub fn times(a: P, k: f64) -> P {
    [a[0] * k, a[1] * k]
}

/// The length of a way.
pub fn length(a: P) -> f64 {
    a[0].hypot(a[1])
}

/// Twice the area that three points span, positive when they turn left.
pub fn turn(a: P, b: P, c: P) -> f64 {
    let (u, v) = (sub(b, a), sub(c, a));
    u[0] * v[1] - u[1] * v[0]
}
