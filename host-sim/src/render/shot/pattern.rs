//! What is wrong with a place of a person, and the pattern that says so. Form tells them apart, not colour.

use super::palette::{DARK, LIGHT, Tint, mixed};

/// What a picture does to a place of a person.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Flaw {
    /// Nothing.
    #[default]
    None,
    /// Head or torso is behind a nearer overlay.
    Hidden,
    /// It is drawn where no LED surface backs it.
    OffWall,
    /// It shows in front of a part that ought to be nearer.
    InFront,
    /// An overlay that is farther away is painted over it.
    Painted,
}

impl Flaw {
    /// All that have a pattern, worst first.
    pub const ALL: [Self; 4] = [Self::Painted, Self::InFront, Self::OffWall, Self::Hidden];

    /// What the legend calls it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Painted => "painted over",
            Self::InFront => "shows in front",
            Self::OffWall => "off the wall",
            Self::Hidden => "head or torso hidden",
        }
    }

    /// The colour with the pattern over it at a place of the picture; `size` is the pattern's period in pixels.
    pub(super) fn over(self, color: Tint, (x, y): (f64, f64), size: f64) -> Tint {
        let share = |v: f64| (v / size).rem_euclid(1.0);
        // Stripes of equal light and dark along a line are `size` apart across it.
        let dark_on_light = |light: bool| mixed(color, if light { LIGHT } else { DARK }, 0.72);
        match self {
            Self::None => color,
            Self::Painted => dark_on_light(share((x + y) * 0.7) < 0.5),
            Self::InFront => dark_on_light((share(x) < 0.5) != (share(y) < 0.5)),
            Self::OffWall => {
                let (dx, dy) = (share(x) - 0.5, share(y) - 0.5);
                let dot = dx * dx + dy * dy;
                if dot < 0.05 { mixed(color, LIGHT, 0.9) } else { mixed(color, DARK, 0.75) }
            }
            Self::Hidden => {
                if share(x) < 0.3 {
                    mixed(color, DARK, 0.8)
                } else {
                    color
                }
            }
        }
    }
}
