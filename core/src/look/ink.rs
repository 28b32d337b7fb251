//! Our own tints. Who has a colour and a shape; nothing else has a colour that means something.
//!
//! No ink is a pure red, green or blue: those mean tally, stand by and go to different crews.
//! `tests/tests/colours_outside.rs` holds the contrast and colour-vision checks.

use crate::paint::Rgba;
use crate::show::Who;

/// The dark keyline on each side of every light line, and the plate behind a label.
pub const KEY: Rgba = Rgba::opaque(6, 6, 8);
/// Outlines of props: a grey that belongs to nobody.
pub const PROP: Rgba = Rgba::opaque(160, 164, 152);
/// Floor edges and steps.
pub const EDGE: Rgba = Rgba::opaque(214, 206, 178);
/// Labels and the orientation picture.
pub const TEXT: Rgba = Rgba::opaque(236, 234, 226);

/// The colour that stands for a person, together with its shape.
pub const fn of(who: Who) -> Rgba {
    match who {
        Who::WhiteCircle => Rgba::opaque(244, 244, 236),
        Who::AmberSquare => Rgba::opaque(246, 180, 44),
        Who::CyanTriangle => Rgba::opaque(70, 214, 252),
        Who::MagentaDiamond => Rgba::opaque(214, 60, 146),
    }
}

/// The neutral fill of WORKLIGHT at a drive of `level`.
pub const fn worklight(level: u8) -> Rgba {
    Rgba::opaque(255, 250, 240).dimmed(level)
}
