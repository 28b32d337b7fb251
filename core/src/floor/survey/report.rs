//! The survey as people see it: residuals, band, suspect.

use heapless::Vec;

use super::fit::{self, Fit, Scale};
use super::map::TrackingToStage;
use super::sample::{Reading, Sample};
use super::suspect::{self, Suspect};
use super::vector::Triple;
use crate::geom::StageVector;
use crate::limits;

/// Green: at most this root mean square, metres (common practice).
pub const GREEN_RMS_M: f32 = 0.005;
/// Green: at most this largest residual, metres (common practice).
pub const GREEN_WORST_M: f32 = 0.010;
/// Amber: at most this root mean square, metres (common practice).
pub const AMBER_RMS_M: f32 = 0.010;
/// Amber: at most this largest residual, metres (common practice).
pub const AMBER_WORST_M: f32 = 0.020;

/// A reflection must fit this much better than the best turn before the survey is called mirrored.
pub const MIRROR_DECISIVE: f32 = 3.0;

/// How well a survey fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Grade {
    /// Good.
    Green,
    /// Usable; look again when there is time.
    Amber,
    /// Not to be used without a named override.
    Red,
}

impl Grade {
    /// The band of a root mean square and a largest residual, metres; the limits belong to the better band.
    pub fn of(rms_m: f32, worst_m: f32) -> Self {
        if rms_m <= GREEN_RMS_M && worst_m <= GREEN_WORST_M {
            Self::Green
        } else if rms_m <= AMBER_RMS_M && worst_m <= AMBER_WORST_M {
            Self::Amber
        } else {
            Self::Red
        }
    }
}

/// Why there is no survey.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SurveyError {
    /// Fewer than three points.
    TooFew {
        /// How many were given.
        given: u8,
    },
    /// More than [`limits::SURVEY_POINTS`].
    TooMany,
    /// A coordinate is not a number or farther than [`limits::STAGE_REACH_M`].
    NotFinite {
        /// Index of the reading.
        index: u8,
    },
    /// Two points are one and the same, on the stage or as read.
    Duplicate {
        /// Index of one.
        first: u8,
        /// Index of the other.
        second: u8,
    },
    /// All points lie within half a metre.
    TooClose,
    /// All points lie on one line: the floor could be turned about it.
    Collinear,
    /// Left and right are swapped: a mirror image fits and the stage does not.
    Mirrored {
        /// Root mean square of the residuals of the mirror image, metres.
        mirror_rms_m: f32,
        /// Root mean square of the residuals of the stage as given, metres.
        rms_m: f32,
    },
}

/// How far a reading is off its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Residual {
    /// On the floor plan.
    pub plan: StageVector,
    /// Up, metres.
    pub height_m: f32,
}

impl Residual {
    /// Distance, height included, metres.
    pub fn length_m(&self) -> f32 {
        libm::sqrtf(self.plan.dot(self.plan) + self.height_m * self.height_m)
    }
}

/// A fitted survey.
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    /// The map from tracking to stage.
    pub map: TrackingToStage,
    /// From each point's place to where the map puts its reading, on the stage, in the order given.
    pub residuals: Vec<Residual, { limits::SURVEY_POINTS }>,
    /// Root mean square of the residuals, heights included, metres: this one is graded.
    pub rms_m: f32,
    /// Root mean square of the residuals on the floor plan, metres: what marks and props feel.
    pub plan_rms_m: f32,
    /// Index of the largest residual.
    pub worst: u8,
    /// The largest residual, metres: the show's survey allowance.
    pub worst_m: f32,
    /// The band.
    pub grade: Grade,
    /// The one reading or the two that explain the misfit; `None` when all is green or nothing is clear.
    pub suspect: Option<Suspect>,
    /// True when the best scale was beyond the limit and was held there.
    pub scale_held: bool,
}

impl Survey {
    /// Fits `readings`.
    ///
    /// Three points can be fitted but not judged: a wrong height tilts the floor and leaves no residual.
    /// Six spread over the floor are common practice. Cost: with n points, n² / 2 + n fits at most.
    ///
    /// # Errors
    /// [`SurveyError`] names what is wrong; a mirrored survey is an error, a bad one is [`Grade::Red`].
    pub fn of(readings: &[Reading], scale: Scale) -> Result<Self, SurveyError> {
        let sample = Sample::all(readings);
        sample.check()?;
        let whole = fit::fit(&sample, scale, false);
        let mirror = fit::fit(&sample, scale, true);
        if whole.rms_m > AMBER_WORST_M && mirror.rms_m * MIRROR_DECISIVE < whole.rms_m {
            return Err(SurveyError::Mirrored { mirror_rms_m: mirror.rms_m, rms_m: whole.rms_m });
        }
        let residuals: Vec<Residual, _> = sample.pairs().map(|(from, to)| residual(&whole, from, to)).collect();
        let lengths = residuals.iter().map(Residual::length_m).enumerate();
        let worst = lengths.max_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(i, _)| i as u8);
        Ok(Self {
            map: whole.map,
            residuals,
            rms_m: whole.rms_m,
            plan_rms_m: whole.plan_rms_m,
            worst,
            worst_m: whole.worst_m,
            grade: Grade::of(whole.rms_m, whole.worst_m),
            suspect: suspect::find(&sample, scale, &whole),
            scale_held: whole.scale_held,
        })
    }
}

fn residual(whole: &Fit, from: Triple, to: Triple) -> Residual {
    let off = fit::residual(&whole.map, from, to);
    Residual { plan: StageVector::new(off.x, off.y), height_m: off.z }
}
