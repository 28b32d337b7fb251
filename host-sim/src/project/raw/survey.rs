//! Tables about the survey.

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::floor::survey::Scale;
use underfoot_core::limits;

use super::numbers::{Coord, MmOrNone, NameText, Place3, RefText, words};

words!(
    /// Whether the fit may stretch the tracking frame.
    ScaleWord: Scale { "fixed" => Scale::Fixed, "common" => Scale::Common }
);

impl Default for ScaleWord {
    fn default() -> Self {
        Self(Scale::Fixed)
    }
}

/// The survey that ties the floor to camera tracking.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawSurvey {
    /// A CSV file beside the show file with the points: name, stage x, y, z, tracking x, y, z in metres. Not together with `point`.
    pub(crate) csv: Option<RefText>,
    /// A surveyed point.
    #[schemars(length(max = limits::SURVEY_POINTS))]
    pub(crate) point: Vec<RawPoint>,
    /// `fixed`: metres are metres in both frames. `common`: the fit may find one scale, at most 0.2 % from 1.
    pub(crate) scale: ScaleWord,
    /// Worst residual to add to every clearance, millimetres; computed from the points when it is left out.
    pub(crate) allowance_mm: Option<MmOrNone>,
}

/// A point known in both frames.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawPoint {
    /// What the crew call it.
    pub(crate) name: NameText,
    /// Its place on the stage, metres: x and y on the LED surface, or x, y and z.
    #[schemars(length(min = 2, max = 3))]
    pub(crate) stage: Vec<Coord>,
    /// Its place as tracking reads it, metres.
    pub(crate) tracking: Place3,
    /// It is a permanent reference point for the quick check after a knock.
    #[serde(default)]
    pub(crate) quick: bool,
}
