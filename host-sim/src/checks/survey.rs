//! The survey: can it be fitted, is it mirrored, is one reading bad, how much do the rest scatter.

use underfoot_core::floor::survey::{
    AMBER_RMS_M, AMBER_WORST_M, GREEN_RMS_M, GREEN_WORST_M, Grade, Survey, SurveyError, Suspect,
};

use super::board::Board;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};
use crate::project::SurveyPoint;
use crate::survey;

pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    let points = &board.project.survey.points;
    if points.is_empty() {
        let mut finding = Finding::new(FindingId::SurveyMissing, Severity::Note, "survey", "the show has no survey");
        finding.fix = Some("read six points on load-in day before anybody trusts a mark".into());
        report.add(finding);
        return;
    }
    match board.project.survey.fit() {
        Ok(fitted) => graded(board, report, &fitted),
        Err(error) => refused(board, report, &error),
    }
    report.checked.push(format!("the survey's {} points", points.len()));
}

fn refused(board: &Board<'_>, report: &mut Report, error: &SurveyError) {
    let points = &board.project.survey.points;
    let id = if matches!(error, SurveyError::Mirrored { .. }) {
        FindingId::SurveyMirrored
    } else {
        FindingId::SurveyUnusable
    };
    let mut finding = Finding::new(id, Severity::Stop, "survey", survey::error_words(points, error));
    finding.fix = Some(survey::error_remedy(error).into());
    finding.line = points.first().map(|p| p.line);
    report.add(finding);
}

fn graded(board: &Board<'_>, report: &mut Report, fitted: &Survey) {
    let points = &board.project.survey.points;
    for (point, residual) in points.iter().zip(&fitted.residuals) {
        let figure = Figure::at_most(residual.length_m() * 1000.0, GREEN_WORST_M * 1000.0, Unit::Millimetres);
        report.measure(FindingId::SurveySpread, None, format!("survey point {}", point.name), figure);
    }
    let rms = Figure::at_most(fitted.rms_m * 1000.0, GREEN_RMS_M * 1000.0, Unit::Millimetres);
    report.measure(FindingId::SurveySpread, None, "survey RMS", rms);
    let severity = match fitted.grade {
        Grade::Green => return,
        Grade::Amber => Severity::Fix,
        Grade::Red => Severity::Stop,
    };
    let (rms_m, worst_m) = match fitted.grade {
        Grade::Red => (AMBER_RMS_M, AMBER_WORST_M),
        _ => (GREEN_RMS_M, GREEN_WORST_M),
    };
    let (id, what, fix, at) = blame(points, fitted);
    let mut finding = Finding::new(id, severity, "survey", what);
    // The one of the two figures that misses its own limit more.
    let rms = Figure::at_most(fitted.rms_m * 1000.0, rms_m * 1000.0, Unit::Millimetres);
    let single = Figure::at_most(fitted.worst_m * 1000.0, worst_m * 1000.0, Unit::Millimetres);
    finding.figure = Some(if rms.holds() { single } else { rms });
    finding.fix = Some(fix);
    finding.place = points.get(usize::from(at)).map(|p| p.stage.on_floor());
    finding.line = points.get(usize::from(at)).map(|p| p.line);
    report.add(finding);
}

/// Who or what is to blame for a fit that is not green: kind, words, fix, and the point to look at.
fn blame(points: &[SurveyPoint], fitted: &Survey) -> (FindingId, String, String, u8) {
    let name = |index| survey::name(points, index);
    let Some(suspect) = &fitted.suspect else {
        let what = format!("the survey scatters and no single point is to blame, worst {}", name(fitted.worst));
        let fix = "read the points again, on the LED surface and with the head still".to_owned();
        return (FindingId::SurveySpread, what, fix, fitted.worst);
    };
    let (index, fix) = match *suspect {
        Suspect::Reading { index, .. } => (index, format!("read {} again", name(index))),
        Suspect::Swapped { first, second, .. } => {
            (fitted.worst, format!("exchange the readings of {} and {}", name(first), name(second)))
        }
    };
    (FindingId::SurveyBadPoint, survey::suspect_words(points, suspect), fix, index)
}
