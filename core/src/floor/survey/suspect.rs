//! Which reading is to blame, when exactly one is, or which two were exchanged.

use super::fit::{Fit, Scale, fit};
use super::sample::Sample;
use super::{GREEN_RMS_M, GREEN_WORST_M};

/// What explains a misfit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Suspect {
    /// One reading is wrong: without it the rest fit.
    Reading {
        /// Its index.
        index: u8,
        /// Root mean square of the residuals without it, metres.
        rms_without_m: f32,
        /// The same on the floor plan, metres.
        plan_rms_without_m: f32,
        /// Largest residual without it, metres.
        worst_without_m: f32,
    },
    /// Two readings were exchanged: the other way round all fit.
    Swapped {
        /// Index of one.
        first: u8,
        /// Index of the other.
        second: u8,
        /// Root mean square of the residuals the other way round, metres.
        rms_m: f32,
    },
}

/// An explanation must be this much better than the next best one, and than none.
pub const DECISIVE: f32 = 2.0;

/// The best of some trials, and the figure of the runner-up.
#[derive(Clone, Copy, Debug)]
struct Race<T> {
    best: Option<(T, Fit)>,
    second_rms_m: f32,
}

/// Names the reading to blame for the misfit of `whole`; `None` when none or several would do.
pub(super) fn find(sample: &Sample<'_>, scale: Scale, whole: &Fit) -> Option<Suspect> {
    if whole.rms_m <= GREEN_RMS_M && whole.worst_m <= GREEN_WORST_M {
        return None;
    }
    let count = sample.readings.len();
    let left_out = (0..count).map(|i| (i, Sample { without: Some(i), ..*sample }));
    // Three points are the least that can be fitted, so four are the least that can be judged.
    if count > 3
        && let Some((index, rest)) = run(left_out, scale, whole)
    {
        return Some(Suspect::Reading {
            index: index as u8,
            rms_without_m: rest.rms_m,
            plan_rms_without_m: rest.plan_rms_m,
            worst_without_m: rest.worst_m,
        });
    }
    let pairs = (0..count).flat_map(|i| (i + 1..count).map(move |j| (i, j)));
    let exchanged = pairs.map(|pair| (pair, Sample { swapped: Some(pair), ..*sample }));
    let ((first, second), other) = run(exchanged, scale, whole)?;
    Some(Suspect::Swapped { first: first as u8, second: second as u8, rms_m: other.rms_m })
}

/// Fits every trial; the winner if it is green and decisive.
fn run<'r, T: Copy>(trials: impl Iterator<Item = (T, Sample<'r>)>, scale: Scale, whole: &Fit) -> Option<(T, Fit)> {
    let mut race = Race { best: None, second_rms_m: whole.rms_m };
    for (name, sample) in trials {
        if sample.check().is_err() {
            continue;
        }
        let trial = fit(&sample, scale, false);
        match race.best {
            Some((_, best)) if trial.rms_m >= best.rms_m => {
                race.second_rms_m = race.second_rms_m.min(trial.rms_m);
            }
            previous => {
                race.second_rms_m = previous.map_or(race.second_rms_m, |(_, best)| race.second_rms_m.min(best.rms_m));
                race.best = Some((name, trial));
            }
        }
    }
    race.best.filter(|(_, best)| {
        let green = best.rms_m <= GREEN_RMS_M && best.worst_m <= GREEN_WORST_M;
        green && best.rms_m * DECISIVE <= race.second_rms_m
    })
}
