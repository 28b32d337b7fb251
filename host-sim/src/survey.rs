//! The core's answers about a survey, in words.

use underfoot_core::floor::survey::{Grade, SurveyError, Suspect};

use crate::project::SurveyPoint;

/// Name of a point by its index; "?" for none.
pub fn name(points: &[SurveyPoint], index: u8) -> &str {
    points.get(usize::from(index)).map_or("?", |p| p.name.as_str())
}

/// What is wrong, for people.
pub fn error_words(points: &[SurveyPoint], error: &SurveyError) -> String {
    let name = |index: u8| name(points, index);
    match *error {
        SurveyError::TooFew { given } => format!("{given} survey points: at least 3 are needed, 6 are better"),
        SurveyError::TooMany => format!("{} survey points are more than can be fitted", points.len()),
        SurveyError::NotFinite { index } => format!("survey point {} is out of range", name(index)),
        SurveyError::Duplicate { first, second } => {
            format!("survey points {} and {} are one and the same", name(first), name(second))
        }
        SurveyError::TooClose => "all survey points lie within half a metre".into(),
        SurveyError::Collinear => "all survey points lie on one line: the floor could be turned about it".into(),
        SurveyError::Mirrored { mirror_rms_m, rms_m } => format!(
            "the survey looks mirrored: left and right are swapped (as given it is {:.0} mm off, mirrored {:.1} mm)",
            rms_m * 1000.0,
            mirror_rms_m * 1000.0
        ),
    }
}

/// What to do about it, for people.
pub const fn error_remedy(error: &SurveyError) -> &'static str {
    match error {
        SurveyError::TooFew { .. } | SurveyError::TooClose | SurveyError::Collinear => {
            "read six points spread over the floor, the corners among them"
        }
        SurveyError::TooMany => "keep the points at the corners, the middle and the edges",
        SurveyError::NotFinite { .. } => "read that point again",
        SurveyError::Duplicate { .. } => "read one of them again, or take it out",
        SurveyError::Mirrored { .. } => {
            "exchange SL and SR in the readings, then look at the load-in picture from downstage"
        }
    }
}

/// What explains a misfit, for people.
pub fn suspect_words(points: &[SurveyPoint], suspect: &Suspect) -> String {
    match *suspect {
        Suspect::Reading { index, rms_without_m, .. } => {
            let rms_mm = rms_without_m * 1000.0;
            format!("{} is the bad reading: without it the rest fit to {rms_mm:.1} mm RMS", name(points, index))
        }
        Suspect::Swapped { first, second, rms_m } => format!(
            "{} and {} were exchanged: the other way round all fit to {:.1} mm RMS",
            name(points, first),
            name(points, second),
            rms_m * 1000.0
        ),
    }
}

/// The band's word.
pub const fn grade_word(grade: Grade) -> &'static str {
    match grade {
        Grade::Green => "green",
        Grade::Amber => "amber",
        Grade::Red => "red",
    }
}
