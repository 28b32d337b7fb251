//! Time as integers and angles with their unit in the name.
//!
//! Lengths on the stage are metres in `f32` and say so in every field and argument name (`_m`).
//! Time is integer microseconds so that an engine that runs for weeks keeps its precision.

use serde::{Deserialize, Serialize};

/// A point in time: microseconds since the device or the simulation started.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Instant(u64);

impl Instant {
    /// The start of time.
    pub const ZERO: Self = Self(0);

    /// Microseconds since the start.
    pub const fn from_micros(micros: u64) -> Self {
        Self(micros)
    }

    /// Milliseconds since the start; saturates far beyond any show.
    pub const fn from_millis(millis: u64) -> Self {
        Self(millis.saturating_mul(1000))
    }

    /// Microseconds since the start.
    pub const fn as_micros(self) -> u64 {
        self.0
    }

    /// Whole milliseconds since the start.
    pub const fn as_millis(self) -> u64 {
        self.0 / 1000
    }

    /// Time from `earlier` to `self`; zero when `earlier` is later.
    pub const fn since(self, earlier: Self) -> Duration {
        Duration(self.0.saturating_sub(earlier.0))
    }

    /// The instant `span` earlier, but not before the start.
    pub const fn before(self, span: Duration) -> Self {
        Self(self.0.saturating_sub(span.0))
    }

    /// The instant `span` later.
    pub const fn after(self, span: Duration) -> Self {
        Self(self.0.saturating_add(span.0))
    }
}

/// A span of time in integer microseconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Duration(u64);

impl Duration {
    /// No time.
    pub const ZERO: Self = Self(0);

    /// A span of `micros` microseconds.
    pub const fn from_micros(micros: u64) -> Self {
        Self(micros)
    }

    /// A span of `millis` milliseconds.
    pub const fn from_millis(millis: u64) -> Self {
        Self(millis.saturating_mul(1000))
    }

    /// The span in microseconds.
    pub const fn as_micros(self) -> u64 {
        self.0
    }

    /// The span in whole milliseconds.
    pub const fn as_millis(self) -> u64 {
        self.0 / 1000
    }
}

/// A plane angle; degrees at every edge, radians inside.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
pub struct Angle {
    radians: f32,
}

impl Angle {
    /// An angle of `degrees` degrees.
    pub const fn from_degrees(degrees: f32) -> Self {
        Self { radians: degrees * (core::f32::consts::PI / 180.0) }
    }

    /// An angle of `radians` radians.
    pub const fn from_radians(radians: f32) -> Self {
        Self { radians }
    }

    /// The angle in degrees.
    pub const fn to_degrees(self) -> f32 {
        self.radians * (180.0 / core::f32::consts::PI)
    }

    /// The angle in radians.
    pub const fn to_radians(self) -> f32 {
        self.radians
    }

    /// Sine and cosine, from the one math library that every platform shares.
    pub fn sin_cos(self) -> (f32, f32) {
        (libm::sinf(self.radians), libm::cosf(self.radians))
    }
}
