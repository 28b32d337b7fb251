//! The survey's points, from the file or from a CSV beside it.

use std::path::PathBuf;

use underfoot_core::geom::{StagePoint3, TrackingPoint};

use super::ReadBeside;
use super::resolver::Resolver;
use crate::project::model::{Survey, SurveyPoint};
use crate::project::raw::survey::{RawPoint, RawSurvey};
use crate::project::survey_csv;

/// Largest allowance that a show holds, metres.
const MOST_ALLOWANCE_M: f32 = 1.0;

impl Resolver<'_> {
    pub(super) fn survey(&mut self, raw: &RawSurvey, beside: ReadBeside<'_>) -> Survey {
        let allowance_m = raw.allowance_mm.map(|a| a.get() / 1000.0);
        let mut survey = Survey { points: Vec::new(), csv: None, scale: raw.scale.0, allowance_m };
        if let Some(csv) = &raw.csv {
            if !raw.point.is_empty() {
                self.fault("survey.csv", "[survey] has both `csv` and `point`", "keep one of them");
            }
            match beside(&csv.0).and_then(|(name, text)| Ok((survey_csv::parse(&name, &text)?, name))) {
                Ok((points, name)) => {
                    survey.points = points;
                    survey.csv = Some(PathBuf::from(name));
                }
                Err(errors) => self.errors.extend(errors.iter().cloned()),
            }
        }
        self.unique("survey.point", raw.point.iter().map(|p| p.name.0.as_str()));
        for (i, p) in raw.point.iter().enumerate() {
            let path = format!("survey.point[{i}]");
            let (line, _) = self.document.line_column(self.document.span_of(&path).start);
            self.put("survey", i, &path);
            survey.points.push(survey_point(p, line));
        }
        // A survey that cannot be fitted is for the survey's own check to report: it holds no clearance.
        let fitted = survey.fit().map_or(0.0, |fit| fit.worst_m);
        self.show.survey_allowance_m = allowance_m.unwrap_or(fitted).min(MOST_ALLOWANCE_M);
        survey
    }
}

fn survey_point(p: &RawPoint, line: usize) -> SurveyPoint {
    let coordinate = |i: usize| p.stage.get(i).map_or(0.0, |c| c.get());
    let [tx, ty, tz] = p.tracking.map(|c| c.get());
    SurveyPoint {
        name: p.name.0.clone(),
        stage: StagePoint3::new(coordinate(0), coordinate(1), coordinate(2)),
        tracking: TrackingPoint::new(tx, ty, tz),
        quick: p.quick,
        line,
    }
}
