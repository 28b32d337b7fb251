//! `underfoot survey SHOW|CSV`.

use std::fmt::Write;
use std::path::Path;

use serde_json::{Value, json};
use underfoot_core::floor::survey::{Grade, Scale, Survey as Fitted};

use super::{Exit, Output, Refusal, show_source};
use crate::project::{LoadErrors, Survey, SurveyPoint, survey_csv};
use crate::survey;

/// Fits the floor to camera tracking, and names the bad reading
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A show, or a CSV: name, stage x, y, z, tracking x, y, z in metres
    source: String,
    /// Fit a common scale too, 0.2 % at most: joints make a floor grow
    #[arg(long)]
    scale: bool,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let path = Path::new(&args.source);
    let is_csv = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("csv"));
    let mut readings = if is_csv { of_csv(path)? } else { show_source::load(&args.source)?.survey };
    if args.scale {
        readings.scale = Scale::Common;
    }
    let points = &readings.points;
    match readings.fit() {
        Ok(fitted) => {
            output.data(&if args.json { format!("{:#}\n", value(points, &fitted)) } else { words(points, &fitted) })?;
            Ok(if fitted.grade == Grade::Green { Exit::Fine } else { Exit::Faults })
        }
        Err(error) => {
            let (what, remedy) = (survey::error_words(points, &error), survey::error_remedy(&error));
            if args.json {
                output.data(&format!("{:#}\n", json!({ "fitted": false, "what": what, "fix": remedy })))?;
            } else {
                output.data(&format!("STOP {what}. Fix: {remedy}.\n"))?;
            }
            Ok(Exit::Faults)
        }
    }
}

/// The readings of a CSV alone, where nothing says that the frame may be stretched.
fn of_csv(path: &Path) -> Result<Survey, LoadErrors> {
    let points = survey_csv::read(path)?;
    Ok(Survey { points, csv: Some(path.to_owned()), scale: Scale::Fixed, allowance_m: None })
}

fn words(points: &[SurveyPoint], fitted: &Fitted) -> String {
    let mut out = String::new();
    let mm = |m: f32| m * 1000.0;
    let map = &fitted.map;
    let worst = survey::name(points, fitted.worst);
    let _ = writeln!(
        out,
        "{} · RMS {:.1} mm ({:.1} mm on plan), worst {:.1} mm at {worst}",
        survey::grade_word(fitted.grade).to_uppercase(),
        mm(fitted.rms_m),
        mm(fitted.plan_rms_m),
        mm(fitted.worst_m)
    );
    let _ = writeln!(
        out,
        "yaw {:.2} deg, tilt {:.2} deg, scale {:+.3} %, floor at {:.3} m in tracking",
        map.yaw().to_degrees(),
        map.tilt().to_degrees(),
        (map.scale() - 1.0) * 100.0,
        map.height_m()
    );
    if fitted.scale_held {
        let _ = writeln!(out, "the scale was held at its limit: measure the floor as built");
    }
    if let Some(suspect) = &fitted.suspect {
        let _ = writeln!(out, "{}", survey::suspect_words(points, suspect));
    }
    let _ = writeln!(out, "\n{:<16} {:>8} {:>8} {:>8} {:>8}", "point (mm off)", "SL", "US", "up", "all");
    for (point, r) in points.iter().zip(&fitted.residuals) {
        let (x, y, z, all) = (mm(r.plan.x), mm(r.plan.y), mm(r.height_m), mm(r.length_m()));
        let _ = writeln!(out, "{:<16} {x:>8.1} {y:>8.1} {z:>8.1} {all:>8.1}", point.name);
    }
    out
}

fn value(points: &[SurveyPoint], fitted: &Fitted) -> Value {
    // Rounded to a hundredth of a millimetre or degree: the digits beyond are arithmetic, not survey.
    let round = |v: f32, places: i32| (f64::from(v) * 10f64.powi(places)).round() / 10f64.powi(places);
    let mm = |m: f32| round(m * 1000.0, 2);
    let residuals = points.iter().zip(&fitted.residuals).map(|(p, r)| {
        json!({
            "point": p.name, "sl_mm": mm(r.plan.x), "us_mm": mm(r.plan.y), "up_mm": mm(r.height_m), "all_mm": mm(r.length_m()),
        })
    });
    json!({
        "fitted": true,
        "grade": survey::grade_word(fitted.grade),
        "rms_mm": mm(fitted.rms_m),
        "plan_rms_mm": mm(fitted.plan_rms_m),
        "worst_mm": mm(fitted.worst_m),
        "worst_point": survey::name(points, fitted.worst),
        "yaw_deg": round(fitted.map.yaw().to_degrees(), 3),
        "tilt_deg": round(fitted.map.tilt().to_degrees(), 3),
        "scale": round(fitted.map.scale(), 6),
        "scale_held": fitted.scale_held,
        "suspect": fitted.suspect.as_ref().map(|s| survey::suspect_words(points, s)),
        "residuals": residuals.collect::<Vec<_>>(),
    })
}
