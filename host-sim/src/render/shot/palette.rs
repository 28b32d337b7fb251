//! Colours of a camera's picture. Only people have a colour that means something.

use underfoot_core::look::ink;
use underfoot_core::show::Who;

/// A colour with channels from 0 to 255.
pub(super) type Tint = [f64; 3];

/// Beyond everything: the dark studio.
pub(super) const STUDIO: Tint = [20.0, 21.0, 24.0];
/// The studio floor round the LED floor.
pub(super) const GROUND: Tint = [43.0, 44.0, 47.0];
/// Lines on the studio floor, a metre apart.
pub(super) const GROUND_LINE: Tint = [52.0, 53.0, 57.0];
/// The side of the LED floor that people step down.
pub(super) const STEP: Tint = [30.0, 31.0, 33.0];
/// An LED wall that shows nothing.
pub(super) const WALL: Tint = [52.0, 61.0, 75.0];
/// Lines on a wall, a metre apart.
pub(super) const WALL_LINE: Tint = [70.0, 81.0, 97.0];
/// What an LED floor shows on air, for want of the real content: a middle tone on which shadows can be seen.
pub const CONTENT: [u8; 3] = [92, 98, 108];
/// Real things.
pub(super) const REAL: Tint = [126.0, 112.0, 92.0];
/// Parts of props.
pub(super) const PROP: Tint = [196.0, 200.0, 190.0];
/// Round a part, where another part or its own other side begins.
pub(super) const EDGE: Tint = [24.0, 26.0, 28.0];
/// Light stripes of patterns.
pub(super) const LIGHT: Tint = [250.0, 250.0, 246.0];
/// Dark stripes of patterns.
pub(super) const DARK: Tint = [8.0, 8.0, 10.0];

/// The colour of a person.
pub(super) fn of(who: Who) -> Tint {
    let ink = ink::of(who);
    [ink.r, ink.g, ink.b].map(f64::from)
}

/// `over` laid on `under` with a share from 0 to 1.
#[inline(always)]
pub(super) fn mixed(under: Tint, over: Tint, share: f64) -> Tint {
    [0, 1, 2].map(|i| under[i] + (over[i] - under[i]) * share)
}

/// A colour at another brightness.
pub(super) fn lit(tint: Tint, light: f64) -> Tint {
    tint.map(|c| (c * light).min(255.0))
}
