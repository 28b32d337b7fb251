//! What makes a shape unusable.

/// Why a shape was refused. Nothing is clamped or repaired.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum GeomError {
    /// A coordinate or a radius is infinite or not a number.
    NotFinite,
    /// Fewer points than the shape needs.
    TooFew,
    /// More points than the capacity of the result.
    TooMany,
    /// All points lie on one line: there is no area.
    Collinear,
    /// The vertices are not a convex polygon in counter-clockwise order.
    NotConvex,
    /// Two sides of the polygon cross or touch.
    SelfCrossing,
    /// A radius, width or tolerance is negative, or zero where it must not be.
    BadSize,
}
